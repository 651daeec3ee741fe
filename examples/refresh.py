"""Run every command that the README, the tour and the lessons show; put its real output below it.

Run:  python examples/refresh.py

The tests demand that page and command agree; this is how to make them agree again after
a change that is meant. An output that a page cuts short with a line ``…`` stays that long.
"""

import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path

from PIL import Image

from vireton.answers.reference import reference

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
TOUR = ROOT / "examples" / "tour.md"
JOB = ROOT / "examples" / "job.md"
REFERENCE = ROOT / "examples" / "json.md"
#: Pictures of the README and the tour, and the commands that draw them.
PICTURES = {
    "rest.png": "vireton rest examples/mill_bow.toml --right 1/32in --up 1/32in "
    "--distances 10:60:10yd",
    "spine.png": "vireton spine examples/mill_bow.toml --spine 0.25:0.60:0.05in",
}
LESSONS = sorted((ROOT / "examples" / "classroom").glob("[0-9]*.md"))
WIDEST, COLORS = 900, 64  # pixels and colors of a lesson's picture
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
        env={name: value for name, value in os.environ.items() if name != "COLUMNS"},
    )
    lines = [line.rstrip() for line in done.stdout.rstrip().splitlines()]
    before = match[2].splitlines()
    if before and before[-1] == "…":
        lines = [*lines[: len(before) - 1], "…"]
    shown = "\n".join(lines)
    return f"```\n$ {command}\n{shown}\n```"


def refresh(page: Path) -> None:
    """Put the real outputs into ``page``, and the pictures that it shows beside it."""
    with tempfile.TemporaryDirectory() as scratch:
        # in a folder of its own: some commands write a log
        folder = Path(scratch)
        shutil.copytree(ROOT / "examples", folder / "examples")
        text = page.read_text(encoding="utf-8")
        page.write_text(EXAMPLE.sub(partial(_fresh, folder=folder), text), encoding="utf-8")
        for made in folder.glob("*.*"):
            shown = page.parent / "pictures" / made.name
            if f"pictures/{made.name}" in text and page in LESSONS:
                _keep_small(made, shown)


def _keep_small(made: Path, shown: Path) -> None:
    """Copy a picture of a lesson; a still one smaller and in few colors."""
    shown.parent.mkdir(exist_ok=True)
    if made.suffix != ".png":
        shutil.copy(made, shown)
        return
    with Image.open(made) as picture:
        plain = picture.convert("RGB")
        plain.thumbnail((WIDEST, 2 * WIDEST), Image.Resampling.LANCZOS)
        plain.quantize(COLORS, Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE).save(
            shown, optimize=True
        )


for page in (README, TOUR, JOB, *LESSONS):
    refresh(page)
for name, command in PICTURES.items():
    picture = ROOT / "examples" / "pictures" / name
    picture.parent.mkdir(exist_ok=True)
    subprocess.run(
        [*shlex.split(command), "--plot", picture], cwd=ROOT, check=True, capture_output=True
    )
subprocess.run([sys.executable, ROOT / "examples" / "classroom" / "worksheets.py"], check=True)
REFERENCE.write_text(reference(), encoding="utf-8")
