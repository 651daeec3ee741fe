"""What is said before the first flight of a version."""

import pytest

from vireton.kernel import compiled
from vireton_cli.shooting import say_if_first_run


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
