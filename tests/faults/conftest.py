"""The command as a process of its own, as a shell starts it."""

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from vireton.setup import template_text

MAIN = (sys.executable, "-m", "vireton_cli.main")


@pytest.fixture
def shell(tmp_path: Path) -> Callable[..., "subprocess.CompletedProcess[str]"]:
    """Run ``vireton`` with these arguments in the test's own folder."""

    def run(*arguments: object, **options: object) -> "subprocess.CompletedProcess[str]":
        given = {"capture_output": True, "encoding": "utf-8", "errors": "replace"} | options
        return subprocess.run(
            [*MAIN, *(str(one) for one in arguments)],
            check=False,
            cwd=tmp_path,
            timeout=120,
            **given,
        )

    return run


@pytest.fixture
def bow(tmp_path: Path) -> Path:
    """The template as a file of its own."""
    path = tmp_path / "bow.toml"
    path.write_text(template_text(), encoding="utf-8")
    return path


@pytest.fixture
def log(tmp_path: Path, bow: Path) -> Path:
    """A log of one round for that bow."""
    path = tmp_path / "log.toml"
    path.write_text(
        'schema = 1\nsetup = "bow.toml"\n\n[[round]]\nnumber = 1\n\n[[round.tear]]\n'
        'arrow = "bare"\nat = "6 ft"\nright = "1/8 in"\nup = "1/16 in"\n',
        encoding="utf-8",
    )
    return path
