"""Rest moves by name."""

import pytest

from vireton.units.move_names import exact_move, move_name

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
