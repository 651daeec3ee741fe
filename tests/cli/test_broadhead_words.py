"""Words about a broadhead: errors that open an inch, and when no number is worth saying."""

import math

import numpy as np
import pytest

from vireton.uncertain import Banded
from vireton_cli.broadhead_words import angle_cell, rate_cell
from vireton_cli.showing import METRIC, US

INCH = 0.0254


def one(nominal, low, high, size=INCH):
    return Banded(*(np.array([size * value]) for value in (nominal, low, high)))


@pytest.mark.parametrize(
    ("per_rate", "said"),
    [
        (one(4.0, 2.0, 8.0), "0.2 (0.1…0.5)"),
        (one(-4.0, -8.0, -2.0), "0.2 (0.1…0.5)"),  # either way it is a size
        (one(1.0, -0.5, 2.0), "over 0.5, or never"),
        (one(0.0, 0.0, 0.0), "over 20"),
        (one(0.01, 0.005, 0.02), "over 20"),
        (one(0.03, 0.01, 0.2), "over 5.0"),
        (one(1.0, 0.02, 2.0), "1.0 (0.5 and up)"),
        (one(500.0, 50.0, 1000.0), "under 0.01"),
        (one(math.nan, math.nan, math.nan), "?"),
    ],
)
def test_the_rate_that_opens_an_inch(per_rate, said):
    assert rate_cell(per_rate, 0, US) == said


def test_a_centimeter_needs_less():
    assert rate_cell(one(4.0, 4.0, 4.0, 0.01), 0, METRIC) == "0.25 (0.25…0.25)"


def test_the_angle_is_in_degrees():
    per_degree = one(0.5, 0.25, 1.0, INCH / math.radians(1.0))
    assert angle_cell(per_degree, 0, US) == "2.0 (1.0…4.0)"
