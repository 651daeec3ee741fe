"""Tables and wrapped lines."""

import io
import time

import pytest

from vireton_cli.tables import console, make_table, say, with_progress


def test_a_pipe_has_a_set_width(monkeypatch):
    assert console().width == 80
    monkeypatch.setenv("COLUMNS", "120")
    assert console().width == 120
    for odd in ("0", "wide", "-3", ""):
        monkeypatch.setenv("COLUMNS", odd)
        assert console().width == 80


def test_long_lines_hang_and_square_brackets_stay(capsys):
    say(console(), ["[uncertainty] " + "word " * 40])
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("· [uncertainty] word")
    assert all(line.startswith("  word") for line in lines[1:])
    assert max(map(len, lines)) <= 80


def test_tables_have_their_columns(capsys):
    table = make_table("a title", ["one", "two"])
    table.add_row("1", "2")
    console().print(table)
    shown = capsys.readouterr().out
    assert "a title" in shown
    assert "one" in shown


def test_progress_passes_everything_on():
    assert list(with_progress([1, 2, 3], "counting")) == [1, 2, 3]


def test_brackets_and_colons_in_a_name_are_no_markup(capsys):
    table = make_table("[/b] and [red]more", ["[/x] :bow:"])
    table.add_row("[bold]5[/y]")
    console().print(table)
    console().print("[/z]")
    said = " ".join(capsys.readouterr().out.split())
    for text in ("[/b] and [red]more", "[/x] :bow:", "[bold]5[/y]", "[/z]"):
        assert text in said


class Watched(io.StringIO):
    """A terminal that somebody watches."""

    def isatty(self):
        return True


def wait_for(condition):
    for _ in range(1000):
        if condition():
            return
        time.sleep(0.01)
    raise AssertionError("never")


@pytest.mark.parametrize(("patience", "shown"), [(0.0, True), (60.0, False)])
def test_a_bar_is_shown_only_of_what_takes_long(monkeypatch, patience, shown):
    screen = Watched()
    monkeypatch.setattr("sys.stderr", screen)
    monkeypatch.setattr("vireton_cli.tables._PATIENCE", patience)
    # the first item alone may be what takes long
    for place, one in enumerate(with_progress([1, 2, 3], "counting")):
        assert one == place + 1
        if shown and place == 0:
            wait_for(lambda: "counting" in screen.getvalue())
    assert ("counting" in screen.getvalue()) is shown


def test_a_bar_that_never_was_leaves_nothing(capsys):
    assert list(with_progress([1, 2, 3], "counting")) == [1, 2, 3]
    assert capsys.readouterr().err == ""
