"""Places in words."""

import numpy as np
import pytest

from vireton.report.wording import both_words, digits_of, place_words, rounded


@pytest.mark.parametrize(
    ("value", "half", "axis", "said"),
    [
        (-3.14, 1.2, 0, "3.1 left ± 1.2"),
        (3.14, 12.0, 0, "3 right ± 12"),
        (0.58, 0.07, 1, "0.58 high ± 0.07"),
        (-0.58, 0.07, 1, "0.58 low ± 0.07"),
        (0.04, 1.0, 0, "0.0 ± 1.0"),  # nothing that the error supports: no side
        (0.0, 0.0, 1, "0"),
        (1.18, 0.0, 0, "1.18 right"),
        (2.5, 40.0, 1, "3 high ± 40"),  # halves upwards, as scripts do
    ],
)
def test_words(value, half, axis, said):
    assert place_words(value, half, axis) == said


def test_no_finer_digit_than_a_thirtieth_of_the_interval():
    for half in np.geomspace(1e-3, 1e3, 60):
        digits = digits_of(half)
        assert digits == 0 or 10.0**-digits >= 2.0 * half / 31.7 - 1e-12 or digits == 2
    assert digits_of(0.0) == 2


def test_the_error_of_the_tables_bounds_the_digits():
    assert place_words(0.58, 0.07, 1, 0.02) == "0.58 high ± 0.07"
    assert place_words(0.58, 0.07, 1, 0.6) == "0.6 high ± 0.1"
    assert place_words(0.01, 0.0, 0, 0.6) == "0.0"


def test_rounded():
    assert rounded(0.125, 2) == "0.13"
    assert rounded(9.96, 1) == "10.0"


def test_both():
    assert both_words(np.array([1.0, -2.0]), np.array([0.5, 0.5])) == (
        "1.0 right ± 0.5",
        "2.0 low ± 0.5",
    )
