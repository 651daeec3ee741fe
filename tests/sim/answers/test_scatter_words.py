"""How groups, hits and shares are told."""

import numpy as np
import pytest

from vireton.answers.scatter_words import hits, rounded_up, share, steady_words, unsigned
from vireton.answers.table import Span
from vireton.scatter.estimates import Estimate
from vireton.units.display import METRIC, US


@pytest.mark.parametrize(
    "told, value, error, band",
    [
        ("56 % (56 to 57)", 0.564, 0.004, None),
        ("56 % (52 to 60)", 0.564, 0.02, None),
        ("56 % (50 to 61)", 0.564, 0.004, (0.51, 0.6)),
        ("99.8 % (99.7 to 99.9)", 0.998, 0.0005, None),
        ("99.96 % (99.94 to 99.98)", 0.9996, 0.0001, None),
        ("over 99.85 %", 1.0, 0.0005, None),
        ("over 99.97 %", 1.0, 0.0001, None),
        ("over 90 %", 1.0, 1 / 32, None),
        ("over 99.85 % (97 to 100)", 1.0, 0.0005, (0.97, 1.0)),
        ("under 0.15 %", 0.0, 0.0005, None),
        ("0.02 % (0.01 to 0.03)", 0.0002, 0.00004, None),
    ],
)
def test_hits_are_never_told_as_certain(told, value, error, band):
    assert hits(Span(value, *(band or (value, value))), error) == told


def shared(value, error):
    return share(Estimate(np.array([[value]]), np.array([[error]])), 0)


def test_shares_that_nothing_tells_from_none_are_a_dash():
    assert shared(0.943, 0.003) == "94"
    assert shared(0.004, 0.001) == "under 1"
    assert shared(-0.004, 0.001) == shared(0.0004, 1e-5) == "–"
    assert shared(np.nan, np.nan) == "–"


def test_sizes_carry_no_sign_and_no_more_digits_than_their_band():
    assert unsigned(Span(6.9, 5.2, 8.7), 1.0) == "7 (5 to 9)"
    assert unsigned(Span(0.0254, 0.0254, 0.0254), 0.0254) == "1.00"


def test_arrows_needed_are_rounded_up():
    assert rounded_up(234_567) == "240,000"
    assert rounded_up(4096) == "4,100"


def test_the_steady_wind_is_named_and_rounding_is_not():
    assert steady_words((1e-16, 0.0), US) == []
    (words,) = steady_words((-2.0, -1.0), METRIC)
    assert "1 m/s toward the left and 2 m/s in the face, aim not corrected for wind" in words
