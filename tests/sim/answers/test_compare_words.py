"""Comparisons in cells and in words."""

import numpy as np
import pytest

from vireton.answers.compare_words import (
    SAME,
    clear_words,
    difference_text,
    named,
    reading,
    value_text,
)
from vireton.studies.compare import Compared
from vireton.studies.figures import BY_NAME, FIGURES
from vireton.uncertain import Banded
from vireton.units.display import METRIC, US
from vireton.units.numbers import GRAIN, INCH, YARD

NAN = float("nan")


def banded(value, low, high, size=1.0):
    return Banded(*(np.asarray(v * size) for v in (value, low, high)))


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        ("mass", (414.74, 414.74, 414.74), "414.7"),
        ("drag_coefficient", (2.802, 2.513, 3.084), "2.8 (2.5 to 3.1)"),
        ("drag_area", (0.8592, 0.8592, 0.8592), "0.859"),
        ("settling_distance", (87.3, 74.1, 106.2), "87 (74 to 106)"),
        ("static_margin", (-10.2, -11.4, -9.3), "-10.2 (-11.4 to -9.3)"),
        ("yaw_wavelength", (NAN, NAN, NAN), "none"),
        ("settling_distance", (87.3, NAN, NAN), "87 (?)"),
    ],
)
def test_values(name, values, said):
    figure = BY_NAME[name]
    assert value_text(figure, banded(*values, US.unit(figure.unit)[1]), US) == said


@pytest.mark.parametrize(
    ("values", "verdict", "said"),
    [
        ((4.24, 4.21, 4.28), "higher", "+4.24 (4.21 to 4.28)"),
        ((-0.4, -0.7, -0.2), "lower", "-0.4 (-0.7 to -0.2)"),
        ((0.1, -0.3, 0.5), "no_clear_difference", f"+0.1 {SAME} (-0.3 to 0.5)"),
        ((0.0, 0.0, 0.0), "no_clear_difference", f"0.00 {SAME}"),
        ((0.1, NAN, NAN), "cannot_tell", "?"),
    ],
)
def test_differences(values, verdict, said):
    assert difference_text(BY_NAME["drop"], banded(*values, INCH), US, verdict) == said


def test_a_figure_at_a_distance_says_where():
    assert named(BY_NAME["speed"], 20 * YARD, US) == "speed at 20 yd"
    assert named(BY_NAME["mass"], 20 * YARD, US) == "mass"


class Named:
    label = "four vanes"


def read(display=US, **differences):
    """All differences nothing but these, in SI; those at a distance at the second of two."""
    found = {}
    for figure in FIGURES:
        values = banded(*differences.get(figure.name, (0.0, 0.0, 0.0)))
        if figure.at_distance:
            values = Banded(
                *(np.array([0.0, float(v)]) for v in (values.nominal, values.low, values.high))
            )
        found[figure.name] = values
    return reading(Compared(Named, found, found), (20 * YARD, 60 * YARD), display)


def test_what_is_clear_comes_first_with_its_band():
    lines = read(mass=(6.5 * GRAIN,) * 3, drop=(0.0445, 0.0432, 0.0462), foc=(-0.008,) * 3)
    assert lines[0] == (
        "four vanes: 6.5 gr heavier; FOC 0.8 points lower; at 60 yd hits 1.75 in (1.70 to 1.82) "
        "lower"
    )
    assert lines[1].startswith("no clear difference: launch speed, ")
    assert "speed at 60 yd" in lines[1]
    assert "mass" not in lines[1]


def test_a_negative_difference_has_its_own_word_and_rising_ends():
    (clear, _) = read(speed=(-1.5, -1.8, -1.2), display=METRIC)
    assert clear == "four vanes: at 54.86 m 1.5 m/s (1.2 to 1.8) slower"


def test_nothing_clear_and_nothing_known():
    clear, alike, unknown = read(yaw_wavelength=(NAN, NAN, NAN), drop=(0.1, -0.1, 0.2))
    assert clear == "four vanes: nothing clearly different"
    assert "drop at 60 yd" in alike
    assert unknown == "cannot tell: length of one swing"


@pytest.mark.parametrize(
    ("first", "own", "said"),
    [
        # close up an arrow drifts against the wind: 0.07 in farther is more of it, not less
        (-0.19, -0.26, "0.07 in more wind drift"),
        (-0.26, -0.19, "0.07 in less wind drift"),
        (0.67, 0.60, "0.07 in less wind drift"),
        (-0.03, 0.04, "wind drift to the other side, 0.07 in apart"),
    ],
)
def test_more_to_a_side_is_farther_off_on_that_side(first, own, said):
    change = own - first
    one = Compared(
        Named,
        {"drift": banded(own, own, own, INCH)},
        {"drift": banded(change, change, change, INCH)},
    )
    verdict = "higher" if change > 0.0 else "lower"
    assert clear_words(BY_NAME["drift"], one, (), verdict, US) == said
