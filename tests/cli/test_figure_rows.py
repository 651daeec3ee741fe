"""Comparisons in cells and in words."""

import numpy as np
import pytest

from vireton.studies.arrow_figures import ArrowFigures
from vireton.studies.compare import Compared
from vireton.uncertain import Banded
from vireton_cli.figure_rows import ROWS, SAME, difference_text, reading, value_text
from vireton_cli.options import UnitChoice

BY_NAME = {row.name: row for row in ROWS}
NAN = float("nan")


def banded(value, low, high, size=1.0):
    return Banded(*(np.asarray(v * size) for v in (value, low, high)))


def test_every_figure_has_one_row_and_its_unit_in_its_key():
    assert set(BY_NAME) == set(ArrowFigures.__dataclass_fields__)
    assert len({row.key for row in ROWS}) == len(ROWS)
    endings = ("grains", "percent", "fps", "cm2", "coefficient", "in", "length", "yd", "s", "lbf")
    assert all(row.key.endswith(endings) for row in ROWS)


def test_every_row_can_be_read_alone():
    titles = [f"{row.title}, {row.us[0]}" for row in ROWS]
    assert len(set(titles)) == len(ROWS)
    assert not any(row.title.startswith("the same") for row in ROWS)
    assert "pressure behind balance, % of length" in titles


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        ("mass", (414.74, 414.74, 414.74), "414.7"),
        ("drag_coefficient", (2.802, 2.513, 3.084), "2.8 (2.5…3.1)"),
        ("drag_area", (0.8592, 0.8592, 0.8592), "0.859"),
        ("settling", (87.3, 74.1, 106.2), "87 (74…106)"),
        ("margin", (-10.2, -11.4, -9.3), "-10.2 (-11.4…-9.3)"),
        ("wavelength", (NAN, NAN, NAN), "none"),
        ("settling", (87.3, NAN, NAN), "87 (?)"),
    ],
)
def test_values(name, values, said):
    assert value_text(BY_NAME[name], banded(*values), 1.0) == said


@pytest.mark.parametrize(
    ("values", "verdict", "said"),
    [
        ((4.24, 4.21, 4.28), "higher", "+4.24 (+4.21…+4.28)"),
        ((-0.4, -0.7, -0.2), "lower", "-0.4 (-0.7…-0.2)"),
        ((0.1, -0.3, 0.5), "no_clear_difference", f"+0.1 (-0.3…+0.5) {SAME}"),
        ((0.0, 0.0, 0.0), "no_clear_difference", f"0.00 {SAME}"),
        ((0.1, NAN, NAN), "cannot_tell", "?"),
    ],
)
def test_differences(values, verdict, said):
    assert difference_text(BY_NAME["drop"], banded(*values), 1.0, verdict) == said


class Named:
    label = "four vanes"


def compared(**differences):
    """All differences nothing but these, in SI; those at a distance at the second of two."""
    found = {}
    for row in ROWS:
        values = banded(*differences.get(row.name, (0.0, 0.0, 0.0)))
        if row.at_distance:
            values = Banded(
                *(np.array([0.0, float(v)]) for v in (values.nominal, values.low, values.high))
            )
        found[row.name] = values
    return Compared(Named, found, found)


def read(units=UnitChoice.US, **differences):
    return reading(compared(**differences), 1, "60 yd", units)


def test_what_is_clear_comes_first_with_its_band():
    lines = read(mass=(6.5 * 6.479891e-5,) * 3, drop=(0.0445, 0.0432, 0.0462), foc=(-0.008,) * 3)
    assert lines[0] == (
        "four vanes: 6.5 gr heavier; FOC 0.8 points lower; at 60 yd hits 1.75 in (1.70 to 1.82) "
        "lower"
    )
    assert lines[1].startswith("no clear difference: launch speed, ")
    assert "speed at 60 yd" in lines[1]
    assert "mass" not in lines[1]


def test_a_negative_difference_has_its_own_word_and_rising_ends():
    (clear, _) = read(speed=(-1.5, -1.8, -1.2), units=UnitChoice.METRIC)
    assert clear == "four vanes: at 60 yd 1.5 m/s (1.2 to 1.8) slower"


def test_nothing_clear_and_nothing_known():
    clear, alike, unknown = read(wavelength=(NAN, NAN, NAN), drop=(0.1, -0.1, 0.2))
    assert clear == "four vanes: nothing clearly different"
    assert "drop at 60 yd" in alike
    assert unknown == "cannot tell: length of one swing"
