"""Tables in a given width."""

import pytest

from vireton.answers.table import Grid
from vireton_cli.layout import Cells, pieces, stacks, widths_of, wrapped
from vireton_cli.tables import print_page

BANDS = Grid(
    "moves",
    ("at", "fletched moves, in", "bare moves, in"),
    (("20 yd", "+1.16 (1.13 to 1.19)", "+1.5"), ("100 yd", "-3 ↔ (-15 to 4)", "0.00")),
)
TEXT = Grid(
    "", ("what", "here"), (("center of pressure behind the balance point", "1"),), frozenset({0})
)


def printed(capsys, monkeypatch, width, *page):
    monkeypatch.setenv("COLUMNS", str(width))
    print_page(page)
    return [line.rstrip() for line in capsys.readouterr().out.splitlines()]


def test_a_band_stands_behind_its_number_where_there_is_room(capsys, monkeypatch):
    lines = printed(capsys, monkeypatch, 80, BANDS)
    assert " 20 yd   +1.16 (1.13 to 1.19)             +1.5" in [line[1:] for line in lines]


def test_else_below_it_digit_under_digit_in_every_table_of_the_page(capsys, monkeypatch):
    other = Grid("", ("at", "up in"), (("20 yd", "+2.0 (1.0 to 3.0)"),))
    lines = printed(capsys, monkeypatch, 36, BANDS, other)
    at = next(k for k, line in enumerate(lines) if "+1.16" in line)
    assert lines[at].rstrip().endswith("+1.5")
    assert lines[at].index("+1.16") + len("+1.16") == lines[at + 1].index("1.19)") + len("1.19")
    assert any(line.strip() == "(1.0 to 3.0)" for line in lines)
    # a mark stays with its number
    assert any("-3 ↔" in line for line in lines)
    assert max(map(len, lines)) <= 36


@pytest.mark.parametrize("width", range(25, 90))
def test_nothing_is_cut_and_no_number_torn_from_its_sign_or_unit(capsys, monkeypatch, width):
    lines = printed(capsys, monkeypatch, width, BANDS, TEXT)
    assert max(map(len, lines)) <= width
    said = "\n".join(lines)
    assert "…" not in said
    for row in BANDS.cells:
        for text in (row[0], *row[1].split(" ", 1), row[2]):
            assert text.removeprefix("↔ ") in said


def test_what_does_not_fit_side_by_side_comes_below_with_its_first_column():
    wide = Grid("", ("at", *"abcdef"), (("20 yd", *["+10.0 (9.0 to 11.0)"] * 6),))
    several = pieces(Cells(wide), 80)
    assert [one.grid.heads for one in several] == [("at", *"abc"), ("at", *"def")]
    four = Grid("", wide.heads[:5], (wide.cells[0][:5],))
    assert [one.grid.heads for one in pieces(Cells(four), 80)] == [("at", *"ab"), ("at", *"cd")]
    assert all(widths_of(one, 80) is not None for one in several)


def test_bands_go_below_where_that_keeps_a_table_whole_or_is_shorter():
    row = ("20 yd", *["+10.0 (9.0 to 11.0)"] * 4)
    assert stacks([Grid("", ("at", *"abcd"), (row,))], 80)
    assert not stacks([Grid("", ("at", *"abc"), (row[:4],))], 80)
    many = Grid("", ("at", *"abcdefgh"), ((*row, *row[1:]),))
    assert not stacks([many], 80)
    assert stacks([many], 20)  # no room for even one of them
    assert not stacks([], 80)


def test_heads_take_as_few_lines_as_fit():
    grid = Grid("", ("at", "nose turn that opens"), (("20 yd", "0.4"),))
    assert widths_of(Cells(grid), 80) == [5, 20]
    assert widths_of(Cells(grid), 21) == [5, 10]
    assert wrapped("nose turn that opens", 10) == "nose turn\nthat opens"
    assert widths_of(Cells(grid), 10) is None
