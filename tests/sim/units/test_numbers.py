"""Numbers for other programs."""

import math

import pytest

from vireton.units.numbers import number, pair, percent


def test_twelve_digits_and_nothing_for_nan():
    assert number(1.0 / 3.0) == 0.333333333333
    assert number(float("nan")) is None
    assert number(math.inf) is None


def test_a_pair_in_a_unit():
    assert pair((0.0254, -0.0508), 0.0254) == [1.0, -2.0]


@pytest.mark.parametrize("value", [0.0, -0.0, 1e-300, 123456789.0])
def test_short_numbers_stay_what_they_are(value):
    assert number(value) == value


def test_no_probability_is_certain():
    assert [percent(p) for p in (1.0, 0.994, 0.5, 0.004, 0.0)] == [
        "over 99 %", "over 99 %", "50 %", "under 1 %", "under 1 %",
    ]  # fmt: skip
