"""Numbers as people see them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vireton_cli.options import UnitChoice
from vireton_cli.showing import digits_for, system, with_band, within


@pytest.mark.parametrize(
    ("width", "digits"),
    [(0.0, 2), (0.05, 2), (0.3, 2), (0.4, 1), (3.0, 1), (3.5, 0), (30.0, 0), (math.nan, 2)],
)
def test_digits_follow_the_band(width, digits):
    assert digits_for(width) == digits


@given(st.floats(1e-3, 1e4))
def test_no_digit_is_finer_than_a_thirtieth_of_the_band(width):
    digits = digits_for(width)
    assert digits == 0 or 10.0**-digits >= width / 31.7


def test_bands_in_a_cell():
    assert with_band(1.74, 1.41, 2.35) == "+1.7 (+1.4…+2.4)"
    assert with_band(-12.6, -18.0, -9.0) == "-13 (-18…-9)"
    assert with_band(0.001, 0.0, 0.002) == "0"
    assert with_band(1.0, 1.0, 1.0) == "+1.00"
    assert with_band(math.nan, 0.0, 1.0) == "not reached"
    assert with_band(1.0, math.nan, math.nan) == "+1.00 (?)"


def test_nothing_has_no_sign():
    assert with_band(-0.01, -5.0, 4.0) == "0 (-5…+4)"


def test_within():
    assert within(1.7, 1.41, 2.35) == "1.4 to 2.4"
    assert within(-1.7, -2.35, -1.41) == "1.4 to 2.4"


def test_units():
    assert system(UnitChoice.US).distance(18.288) == "20 yd"
    assert system(UnitChoice.METRIC).distance(18.288) == "18.29 m"
    assert system(UnitChoice.METRIC).small_with_unit(-0.034, -0.04, -0.03) == "3.4 cm"
