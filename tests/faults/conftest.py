"""The command as a process of its own, as a shell starts it, and in this process."""

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from vireton.setup import template_text
from vireton_cli.main import run

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
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


@pytest.fixture(scope="session")
def warm_tuner(warm_kernel: None) -> None:
    """Compile the kernel's derivatives before a test measures time."""
    from vireton.answers.tune import tune_log
    from vireton.job import read_log

    tune_log(read_log(EXAMPLES / "mill_log.toml"))


@pytest.fixture
def call(
    tmp_path: Path,
    bow: Path,
    log: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    warm_tuner: None,
) -> Callable[..., tuple[int, str, str]]:
    """The command in this process, where a bow and a log are: exit code, output, errors."""
    monkeypatch.chdir(tmp_path)

    def run_it(*arguments: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["vireton", *arguments])
        capsys.readouterr()
        code = 0
        try:
            run()
        except SystemExit as end:
            code = int(end.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return run_it
