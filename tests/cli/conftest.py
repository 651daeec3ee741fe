"""Run the command in this process and look at what a shell would see."""

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from vireton.setup import template_text
from vireton_cli.main import run


@dataclass(frozen=True)
class Outcome:
    """Exit code and both streams."""

    code: int
    out: str
    err: str


@pytest.fixture(autouse=True)
def _as_in_a_new_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing was said in this folder before, and no terminal's width counts."""
    kept = tmp_path.parent / f"{tmp_path.name} kept"
    kept.mkdir()
    monkeypatch.setattr("vireton_cli.shooting.kept_folder", lambda: kept)
    monkeypatch.delenv("COLUMNS", raising=False)


@pytest.fixture
def vireton(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Callable[..., Outcome]:
    """The command as a function of its arguments."""

    def call(*arguments: object) -> Outcome:
        monkeypatch.setattr(sys, "argv", ["vireton", *(str(one) for one in arguments)])
        capsys.readouterr()
        code = 0
        try:
            run()
        except SystemExit as end:
            code = int(end.code or 0)
        said = capsys.readouterr()
        return Outcome(code, said.out, said.err)

    return call


@pytest.fixture
def setup_file(tmp_path: Path) -> Path:
    """The template as a file of its own."""
    path = tmp_path / "bow.toml"
    path.write_text(template_text(), encoding="utf-8")
    return path


@pytest.fixture
def edited(tmp_path: Path) -> Callable[..., Path]:
    """The template with some text replaced; every piece must occur in it."""

    def edit(*changes: tuple[str, str]) -> Path:
        text = template_text()
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new)
        path = tmp_path / "edited.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return edit
