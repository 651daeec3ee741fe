"""What sdist and wheel must hold, and must not.

Run:  python .ci/archives.py FOLDER

The folder holds one of each. Every file of the packages in the tree must be in the wheel, so that a
new kind of data file cannot be forgotten.
"""

import sys
import tarfile
import zipfile
from pathlib import Path

ROOT = Path(__file__).parent.parent
PACKAGES = {
    "vireton": ROOT / "sim" / "vireton",
    "vireton_cli": ROOT / "cli" / "vireton_cli",
    "vireton_bench": ROOT / "cli" / "vireton_bench",
}
NEEDED = ("README.md", "LICENSE", "CHANGELOG.md", "pyproject.toml", "tests/conftest.py")


def _one(folder: Path, pattern: str) -> Path:
    (found,) = folder.glob(pattern)
    return found


def _tree() -> set[str]:
    """The packages' files, as the wheel must name them."""
    return {
        f"{name}/{file.relative_to(place).as_posix()}"
        for name, place in PACKAGES.items()
        for file in place.rglob("*")
        if file.is_file() and "__pycache__" not in file.parts
    }


folder = Path(sys.argv[1])
with tarfile.open(_one(folder, "*.tar.gz")) as sdist:
    inside = {name.partition("/")[2] for name in sdist.getnames()}
with zipfile.ZipFile(_one(folder, "*.whl")) as wheel:
    files = {name for name in wheel.namelist() if ".dist-info/" not in name}
    licenses = [name for name in wheel.namelist() if name.endswith("licenses/LICENSE")]
    metadata = wheel.read(next(n for n in wheel.namelist() if n.endswith("/METADATA"))).decode()

wrong = [f"the sdist lacks {name}" for name in NEEDED if name not in inside]
wrong += [f"the wheel lacks {name}" for name in sorted(_tree() - files)]
wrong += [f"the wheel has {name}, which is no file of ours" for name in sorted(files - _tree())]
if not licenses:
    wrong.append("the wheel has no license")
if "License-Expression: MIT" not in metadata:
    wrong.append("the wheel names no SPDX license")
if wrong:
    sys.exit("\n".join(wrong))
print(f"archives: {len(files)} files in the wheel, {len(inside)} in the sdist")
