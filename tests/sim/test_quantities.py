"""Lists, sweeps and wind as typed."""

import pytest

from vireton.problems import InputProblem
from vireton.quantities import lengths, quantity, wind

YARD, INCH = 0.9144, 0.0254


def read(text):
    return lengths(text, "--distances", "-10 m", "2000 m")


def test_one_and_several():
    assert read("20 yd") == pytest.approx([20 * YARD])
    assert read("20,40,60 yd") == pytest.approx([20 * YARD, 40 * YARD, 60 * YARD])
    assert read("20 yd, 50 m") == pytest.approx([20 * YARD, 50.0])


def test_sweeps_hold_both_ends():
    assert read("10:30:10 yd") == pytest.approx([10 * YARD, 20 * YARD, 30 * YARD])
    assert read("10:35:10 yd") == pytest.approx([10 * YARD, 20 * YARD, 30 * YARD])
    assert read("-1/16:1/16:1/32 in") == pytest.approx(
        [k * INCH / 32 for k in (-2, -1, 0, 1, 2)], abs=1e-15
    )
    assert read("1:0:-1/2 in") == pytest.approx([INCH, INCH / 2, 0.0], abs=1e-15)


def test_mixed_fractions_in_lists():
    assert read("1 3/8, 2 in") == pytest.approx([1.375 * INCH, 2 * INCH])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("20", "no unit"),
        ("", "empty"),
        ("10:20 yd", "first:last:step"),
        ("1:2:3:4 yd", "first:last:step"),
        ("10:20:0 yd", "never gets"),
        ("10:20:-1 yd", "never gets"),
        ("0:2000:0.001 m", "more than 200"),
        ("3000 m", "outside"),
        ("nan yd", "plain number"),
        ("20 kg", "a mass, not a length"),
        (",".join(["1"] * 300) + " m", "more than 200"),
    ],
)
def test_what_is_not_understood_is_refused_in_words(text, says):
    with pytest.raises(InputProblem, match=says):
        read(text)


def test_quantity_names_option_value_and_range():
    with pytest.raises(InputProblem, match=r'--slope: "95 deg" is outside -80 deg to 80 deg'):
        quantity("95 deg", "angle", "--slope", "-80 deg", "80 deg")


def test_wind():
    assert wind("10 mph from 3") == pytest.approx((4.4704, 3.0))
    assert wind("5 m/s from 10.5 o'clock") == pytest.approx((5.0, 10.5))
    assert wind("5 m/s FROM 12 O'CLOCK") == pytest.approx((5.0, 12.0))


@pytest.mark.parametrize("text", ["10 mph", "10 from 3", "10 mph from 13", "99 m/s from 3", "gale"])
def test_wind_that_is_not_understood(text):
    with pytest.raises(InputProblem, match="--wind"):
        wind(text)
