"""Run every command that the README shows and put its real output below it.

Run:  python examples/refresh_readme.py

The tests demand that the README and the command agree; this is how to make them agree again after
a change that is meant.
"""

import re
import shlex
import subprocess
from pathlib import Path

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
EXAMPLE = re.compile(r"^```\n\$ (vireton .*)\n(?:[^`]*?\n)?```$", flags=re.MULTILINE)


def _fresh(match: re.Match[str]) -> str:
    command = match[1]
    done = subprocess.run(
        shlex.split(command), cwd=ROOT, capture_output=True, text=True, check=True, encoding="utf-8"
    )
    shown = "\n".join(line.rstrip() for line in done.stdout.rstrip().splitlines())
    return f"```\n$ {command}\n{shown}\n```"


README.write_text(EXAMPLE.sub(_fresh, README.read_text(encoding="utf-8")), encoding="utf-8")
