"""Rest moves by name."""

import pytest

from vireton.units.move_names import (
    HOLE_SIDES,
    MOVE_SIDES,
    exact_move,
    move_name,
    parse_rest,
    sides,
)
from vireton.units.problems import InputProblem

INCH = 0.0254


@pytest.mark.parametrize(
    ("move", "name"),
    [
        ((INCH / 32, 0.0), "rest right 1/32 in"),
        ((-INCH / 16, INCH / 64), "rest left 1/16 in, up 1/64 in"),
        ((0.0, -INCH), "rest down 1 in"),
        ((0.0, 0.0), "rest where it is"),
    ],
)
def test_names(move, name):
    assert move_name(*move) == name


def test_what_is_no_bench_fraction_is_told_in_decimals():
    assert exact_move(-0.001) == "0.0394 in"


def test_sides_leave_out_what_is_nothing():
    assert sides((-INCH / 16, INCH / 8), HOLE_SIDES, "us") == ["left 1/16 in", "high 1/8 in"]
    assert sides((0.0, -0.001), MOVE_SIDES, "metric") == ["down 1 mm"]


def said(call, *arguments):
    with pytest.raises(InputProblem) as caught:
        call(*arguments)
    return str(caught.value)


def test_rest_moves_leave_the_other_axis_open():
    assert parse_rest("right 1/32 in") == (1 / 32 * INCH, None)
    assert parse_rest("down 1/16 in") == (None, -1 / 16 * INCH)
    assert parse_rest("right 1/32 in, up 1/16 in") == (1 / 32 * INCH, 1 / 16 * INCH)
    assert parse_rest("+1/32 in right") == (1 / 32 * INCH, None)
    assert parse_rest("left 0 in") == (0.0, None)


def test_a_rest_has_neither_in_nor_out_nor_a_tail():
    assert "names no side: right, left, up or down as the archer sees it" in said(
        parse_rest, "out 1/32 in"
    )
    assert "names no side" in said(parse_rest, "in 1/32 in")
    assert "only a tear has a tail" in said(parse_rest, "tail-left 1/32 in")
