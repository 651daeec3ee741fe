"""Run every command that the README shows and put its real output below it.

Run:  python examples/refresh_readme.py

The tests demand that the README and the command agree; this is how to make them agree again after
a change that is meant. An output that the README cuts short with a line ``…`` stays that long.
"""

import re
import shlex
import shutil
import subprocess
import tempfile
from functools import partial
from pathlib import Path

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
PICTURE = ROOT / "examples" / "pictures" / "spine.png"
EXAMPLE = re.compile(r"^```\n\$ (vireton .*)\n((?:[^`]*?\n)?)```$", flags=re.MULTILINE)


def _fresh(match: re.Match[str], folder: Path) -> str:
    command = match[1]
    done = subprocess.run(
        shlex.split(command),
        cwd=folder,
        capture_output=True,
        text=True,
        check=True,
        encoding="utf-8",
    )
    lines = [line.rstrip() for line in done.stdout.rstrip().splitlines()]
    before = match[2].splitlines()
    if before and before[-1] == "…":
        lines = [*lines[: len(before) - 1], "…"]
    shown = "\n".join(lines)
    return f"```\n$ {command}\n{shown}\n```"


with tempfile.TemporaryDirectory() as scratch:
    # in a folder of its own: some commands write a log
    shutil.copytree(ROOT / "examples", Path(scratch) / "examples")
    text = README.read_text(encoding="utf-8")
    text = EXAMPLE.sub(partial(_fresh, folder=Path(scratch)), text)
PICTURE.parent.mkdir(exist_ok=True)
subprocess.run(
    [*shlex.split("vireton spine examples/mill_bow.toml --spine 0.25:0.60:0.05in --plot"), PICTURE],
    cwd=ROOT,
    check=True,
    capture_output=True,
)
README.write_text(text, encoding="utf-8")
