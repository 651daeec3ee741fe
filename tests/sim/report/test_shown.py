"""What is shown for one place of the sliders."""

import numpy as np
import pytest
from formula import CASES, MEASURE, MPH, REACH

from demo import INCH
from vireton.report.shown import Setting, Spot, axes_of, is_shown, seen_of, spots


def test_places_in_display_units(tables):
    at = Setting(6, 3, 5.0 * MPH)
    setting = np.array([[REACH.right[6], REACH.up[3], at.wind]])
    for kind in ("fletched", "bare"):
        expected = CASES[0].places(kind, setting)[0] / INCH
        found = [spot.place for spot in spots(tables, 0, kind, at, MEASURE)]
        assert np.array(found) == pytest.approx(expected, abs=0.011)


def test_apart_is_bare_minus_fletched(tables):
    at = Setting(1, 8, -2.0)
    bare, fletched, apart = (
        spots(tables, 1, k, at, MEASURE) for k in ("bare", "fletched", "apart")
    )
    for b, f, a in zip(bare, fletched, apart, strict=True):
        assert a.place == pytest.approx(b.place - f.place)
        assert a.sd[0] > b.sd[0]
    assert seen_of(tables) == ("fletched", "bare", "apart")


def test_spread(tables):
    near, far = spots(tables, 0, "bare", Setting(4, 4, 1.1), MEASURE)
    assert near.sd == pytest.approx([0.8, 1.2], abs=0.006)
    assert far.sd == pytest.approx(2.0 * near.sd, abs=0.02)
    assert near.correlation == pytest.approx(1.0 / 3.0, abs=1e-3)


@pytest.mark.parametrize(
    ("right", "up", "correlation"), [(1.0, 2.0, 0.6), (2.0, 1.0, -0.3), (1.0, 1.0, 0.0)]
)
def test_the_ellipse_is_that_of_the_covariance(right, up, correlation):
    spot = Spot(np.zeros(2), np.array([right, up]), correlation)
    long, short, turn = axes_of(spot, MEASURE)
    covariance = np.array([[right**2, correlation * right * up], [correlation * right * up, up**2]])
    values, vectors = np.linalg.eigh(covariance)
    assert sorted([short, long]) == pytest.approx(MEASURE.ellipse * np.sqrt(values))
    direction = np.array([np.cos(np.radians(turn)), np.sin(np.radians(turn))])
    if values[0] < values[1]:
        assert abs(direction @ vectors[:, 1]) == pytest.approx(1.0)


def test_the_other_way_shows_only_once_the_rest_moves_aside(tables):
    assert is_shown(tables, 0, Setting(4, 0, 0.0))
    assert not is_shown(tables, 1, Setting(4, 0, 0.0))
    assert is_shown(tables, 1, Setting(5, 4, 0.0))
