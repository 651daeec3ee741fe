"""One way to show numbers: two systems, and no more digits than the band supports."""

import math

import pytest

from vireton.units import display as module
from vireton.units.display import (
    FAR,
    METRIC,
    SMALL,
    US,
    Unit,
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


#: One of each in SI: exact, NIST SP 811 (Thompson and Taylor 2008), appendix B.
POUND, POUND_FORCE, FOOT = 0.45359237, 0.45359237 * 9.80665, 0.3048
IN_SI = {
    **{"in": FOOT / 12, "yd": 3 * FOOT, "fps": FOOT, "mph": 5280 * FOOT / 3600},
    **{"grains": POUND / 7000, "lbf": POUND_FORCE, "ft_lbf": FOOT * POUND_FORCE},
    **{"deg": math.pi / 180, "mrad": 1e-3, "rev_s": 2 * math.pi, "percent": 0.01},
    **{"grains_per_pound": POUND / 7000 / POUND_FORCE},
    **{"s": 1, "rad_s": 1, "n_m2": 1, "kg_m3": 1},
}


def test_what_is_not_known_is_no_number():
    nan = float("nan")
    assert plain(nan, 1) == within(1.0, nan, 2.0) == "?"


def test_every_unit_is_so_much_in_si():
    units = [one for one in vars(module).values() if isinstance(one, Unit) and one.key]
    assert {one.key: one.size for one in units} == pytest.approx(IN_SI)
    for one in units:
        assert one.us[1] == pytest.approx(one.size)
