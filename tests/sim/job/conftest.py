"""A log of a setup in a folder of its own."""

from pathlib import Path

import pytest

from vireton.job import create_log
from vireton.setup import template_text


@pytest.fixture
def setup_file(tmp_path: Path) -> Path:
    """The setup template as a file."""
    path = tmp_path / "bow.toml"
    path.write_text(template_text(), encoding="utf-8")
    return path


@pytest.fixture
def log(tmp_path: Path, setup_file: Path) -> Path:
    """A log without rounds."""
    return create_log(tmp_path / "log.toml", setup_file).path
