"""A log given for a setup file, and the reverse, is said in one line, even where it is damaged."""

from pathlib import Path

import pytest

from vireton.job import LogError, read_log
from vireton.setup import SetupError, load_setup, template_text
from vireton.setup.mistaken import has_log_keys, is_log, is_setup

EXAMPLES = Path(__file__).parents[3] / "examples"
LOG = (EXAMPLES / "mill_log.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("text", [LOG, LOG + "[[round\n", LOG[:900], "setup = 'a.toml'\n"])
def test_a_log_is_no_setup_file(tmp_path: Path, text: str) -> None:
    assert is_log(text)
    assert not is_setup(text)
    path = tmp_path / "a.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(SetupError) as caught:
        load_setup(path)
    said = str(caught.value)
    assert said.startswith(f"{path}: is a job file, not a setup file")
    assert "\n" not in said
    assert "vireton tune" in said


@pytest.mark.parametrize(
    "text", [template_text(), template_text() + "[arrow\n", "schema = 1\n [ bow . rest ]\n"]
)
def test_a_setup_file_is_no_log(tmp_path: Path, text: str) -> None:
    assert is_setup(text)
    assert not is_log(text)
    path = tmp_path / "a.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(LogError) as caught:
        read_log(path)
    said = str(caught.value)
    assert said.startswith(f"{path}: is a setup file, not a job file")
    assert "\n" not in said
    assert "vireton record JOB --setup FILE" in said


@pytest.mark.parametrize("text", ["", "a = 1\n", "# [bow]\n# setup = 1\n", template_text() + LOG])
def test_what_is_neither_or_both_is_read_as_what_it_was_given_for(text: str) -> None:
    assert not is_log(text)
    assert not is_setup(text)


def test_a_note_may_look_like_a_setup_file(tmp_path: Path) -> None:
    path = tmp_path / "log.toml"
    path.write_text(
        'schema = 1\nsetup = "a.toml"\n[[round]]\nnote = """see\n[bow]\n"""\n', encoding="utf-8"
    )
    assert has_log_keys(path.read_text(encoding="utf-8"))
    assert read_log(path).rounds.all[0].note == "see\n[bow]\n"
