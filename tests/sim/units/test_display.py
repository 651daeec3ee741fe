"""One way to show numbers: two systems, and no more digits than the band supports."""

import pytest

from vireton.units.display import (
    FAR,
    METRIC,
    SMALL,
    US,
    digits_for,
    display,
    plain,
    with_band,
    within,
)


def test_each_system_has_its_units():
    assert display("us") is US
    assert display("metric") is METRIC
    assert US.distance(18.288) == "20 yd"
    assert METRIC.distance(18.0) == "18 m"
    assert US.unit(SMALL) == ("in", 0.0254)
    assert METRIC.unit(FAR) == ("m", 1.0)
    with pytest.raises(ValueError, match="'imperial' are not known"):
        display("imperial")


def test_digits_follow_the_band():
    assert [digits_for(width) for width in (0.0, 0.3, 3.0, 30.0, float("nan"))] == [2, 2, 1, 0, 2]
    assert digits_for(0.03, most=1) == 1


def test_a_number_with_its_band():
    assert with_band(1.7, 1.4, 2.4) == "+1.7 (1.4 to 2.4)"
    assert with_band(12.3, 5.0, 30.0) == "+12 (5 to 30)"
    assert with_band(-2.0, -2.6, 0.4) == "-2.0 (-2.6 to 0.4)"
    # nothing and next to nothing look alike in a column
    assert with_band(0.0, 0.0, 0.0) == with_band(0.001, 0.0, 0.002) == "0.00"
    assert with_band(2.0, 2.0, 2.0) == "+2.00"
    assert with_band(float("nan"), 0.0, 1.0) == "not reached"
    assert with_band(1.0, float("nan"), 1.0) == "+1.00 (?)"


def test_sizes_without_their_sign():
    assert within(-1.7, -2.4, -1.4) == "1.4 to 2.4"
    assert US.small_with_unit(-0.0254, -0.0508, -0.0127) == "1.0 in"


def test_a_rounded_nothing_has_no_sign():
    assert plain(-0.004, 2) == "0.00"
    assert plain(-0.04, 1) == "0.0"
    assert plain(0.06, 1) == "+0.1"
