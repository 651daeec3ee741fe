"""How groups, hits and shares are told."""

from types import SimpleNamespace

import numpy as np
import pytest

from vireton.scatter.estimates import Estimate
from vireton.uncertain import Banded
from vireton_cli.scatter_words import _hits, _rounded, _share, _size, _steady_words
from vireton_cli.showing import METRIC, US


def hits(value, error, low=None, high=None):
    ends = [np.array([one]) for one in (value, value if low is None else low, high or value)]
    group = SimpleNamespace(hits=Estimate(ends[0], np.array([error])))
    return _hits(group, Banded(*ends), 0)


@pytest.mark.parametrize(
    "told, numbers",
    [
        ("56.4 ± 0.4 %", (0.564, 0.004)),
        ("56 ± 2 %", (0.564, 0.02)),
        ("56.4 ± 0.4 % (51…60)", (0.564, 0.004, 0.51, 0.6)),
        ("over 99.85 %", (1.0, 0.0005)),
        ("over 99.97 %", (1.0, 0.0001)),
        ("over 90 %", (1.0, 1 / 32)),
        ("over 99.85 % (97…100)", (1.0, 0.0005, 0.97, 1.0)),
        ("under 0.15 %", (0.0, 0.0005)),
        ("0.020 ± 0.004 %", (0.0002, 0.00004)),
    ],
)
def test_hits_are_never_told_as_certain(told, numbers):
    assert hits(*numbers) == told


def share(value, error):
    return _share(Estimate(np.array([[value]]), np.array([[error]])), 0)


def test_shares_that_nothing_tells_from_0_are_0():
    assert share(0.943, 0.003) == "94.3 ± 0.3"
    assert share(-0.004, 0.001) == "0"
    assert share(0.0004, 1e-5) == "0"
    assert share(np.nan, np.nan) == "–"


def test_sizes_carry_no_sign_and_no_more_digits_than_their_band():
    band = Banded(*(np.array([one * 0.0254]) for one in (6.9, 5.2, 8.7)))
    assert _size(band, (0,), 0.0254) == "7 (5…9)"
    sure = Banded(*[np.array([0.0254])] * 3)
    assert _size(sure, (0,), 0.0254) == "1.00"


def test_arrows_needed_are_rounded_up():
    assert _rounded(234_567) == "240,000"
    assert _rounded(4096) == "4,100"


def test_the_steady_wind_is_named_and_rounding_is_not():
    assert _steady_words((1e-16, 0.0), US) == "steady wind: none; nobody holds off for it"
    words = _steady_words((-2.0, -1.0), METRIC)
    assert "1 m/s toward the left and 2 m/s in the face" in words
