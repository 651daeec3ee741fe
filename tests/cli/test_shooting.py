"""What is said before the first flight of a version."""

import pytest

from vireton.bow.cautions import IN_SHORT, MEASURING, SHOOTING, SHOOTING_BARE, STANDING
from vireton.kernel import compiled
from vireton_cli.shooting import in_short, say_if_first_run


@pytest.mark.parametrize(("derivatives", "seconds"), [(False, 10), (True, 20)])
def test_the_first_run_says_that_it_compiles(monkeypatch, capsys, tmp_path, derivatives, seconds):
    monkeypatch.setattr(compiled, "CACHE_FOLDER", tmp_path)
    say_if_first_run(derivatives=derivatives)
    said = capsys.readouterr().err
    assert said == (
        f"vireton: first run of this version: compiling the flight kernel once, some {seconds} s\n"
    )
    for number in (1, 2):
        (tmp_path / f"batch.integrate_rows-1.py311.{number}.nbc").touch()
    say_if_first_run(derivatives=derivatives)
    assert capsys.readouterr().err == ""


def test_where_nothing_can_be_kept_it_says_so_and_what_to_do(monkeypatch, capsys):
    monkeypatch.setattr(compiled, "CACHE_FOLDER", None)
    say_if_first_run()
    said = capsys.readouterr().err
    assert "as on every run" in said
    assert "set VIRETON_CACHE_DIR" in said


def test_safety_is_said_in_full_once_in_a_folder_and_then_in_short(monkeypatch, tmp_path):
    first, second = tmp_path / "first", tmp_path / "second"
    first.mkdir(), second.mkdir()
    monkeypatch.chdir(first)
    lines = ["a note", SHOOTING_BARE]
    assert in_short(lines) == lines
    assert in_short(lines) == ["a note", IN_SHORT]
    # another sentence is another warning, another folder may have another reader
    assert in_short([SHOOTING, MEASURING]) == [SHOOTING, MEASURING]
    assert in_short(list(STANDING)) == [STANDING[-1], IN_SHORT]
    monkeypatch.chdir(second)
    assert in_short(lines) == lines
    assert not any(first.iterdir())


def test_in_doubt_it_is_said_in_full(monkeypatch, tmp_path):
    lines = [SHOOTING_BARE]
    monkeypatch.setattr("vireton_cli.shooting.kept_folder", lambda: None)
    assert in_short(lines) == in_short(lines) == lines
    monkeypatch.setattr("vireton_cli.shooting.kept_folder", lambda: tmp_path / "not there")
    assert in_short(lines) == in_short(lines) == lines


def test_what_this_bow_can_do_to_someone_is_always_said(vireton, edited):
    light = edited(('# mass = "415 gr"', 'mass = "280 gr"'), ("280 fps", "300 fps"))
    for _ in (1, 2):
        done = vireton("fly", light, "--draws", "8", "--distances", "20yd")
        assert "DANGER" in done.err
    assert IN_SHORT in done.out
    assert SHOOTING_BARE[:40] not in done.out


def test_help_has_all_of_it_in_full(vireton):
    said = " ".join(vireton("--help").out.split())
    for text in STANDING:
        assert text in said
