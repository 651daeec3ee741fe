"""The next shot is the one that separates what is still believed."""

import numpy as np
import pytest

from vireton.tuning.observations import WalkbackPoint
from vireton.tuning.walkback_fit import Drawn
from vireton.tuning.walkback_lines import CAUSES, Lines
from vireton.tuning.walkback_next import ARROWS, Shot, candidates, next_shot
from vireton.units.numbers import YARD

FAR = np.array([10.0, 20.0, 40.0])


def kinds(points, has_bare=True):
    return [one.kind for one in candidates(points, has_bare=has_bare)]


def test_candidates_are_what_was_not_shot_yet():
    near, far = WalkbackPoint(20 * YARD, 0.0), WalkbackPoint(60 * YARD, 0.1, 2, 0.01)
    assert kinds([near, far]) == ["again", "farther", "nearer", "level", "calm", "bare"]
    again, farther = candidates([near, far], has_bare=True)[:2]
    assert again.points[0].count == ARROWS
    assert farther.points[0].distance == pytest.approx(80 * YARD)
    done = [WalkbackPoint(d * YARD, 0.0, level=True, calm=True) for d in (10.0, 100.0)]
    assert kinds(done, has_bare=False) == ["again"]


def half_and_half(one, other):
    """Two beliefs, equally likely: which cause carries the arrow 0.1 m aside at 40 m."""
    parts = np.zeros((400, len(CAUSES), len(FAR) + 1))
    for rows, cause in ((slice(0, 200), one), (slice(200, 400), other)):
        parts[rows, CAUSES.index(cause)] = 0.1 * np.append(FAR, 0.0) / FAR[-1]
        parts[rows, :, -1] = 0.1 * (cause == "yaw_rate")
    outcome = np.repeat([1, 2], 200)
    return Drawn(parts, np.full(400, 1 / 400), np.full(400, 1e-4)), outcome


LINES = Lines(FAR, {}, np.zeros((4, 4)), np.arange(4), np.zeros(4), np.full(4, 0.15))


@pytest.mark.parametrize(
    ("one", "other", "best"),
    [("windage", "cant", "level"), ("windage", "wind", "calm"), ("windage", "yaw_rate", "bare")],
)
def test_the_shot_that_takes_one_cause_away_tells(one, other, best):
    points = (WalkbackPoint(10.0, 0.025), WalkbackPoint(40.0, 0.1))
    shots = [
        Shot("again", points[1:]),
        Shot("level", tuple(WalkbackPoint(p.distance, p.right, level=True) for p in points)),
        Shot("calm", tuple(WalkbackPoint(p.distance, p.right, calm=True) for p in points)),
        Shot("bare"),
    ]
    found = next_shot(shots, LINES, *half_and_half(one, other))
    assert found.shot.kind == best
    assert found.gain == pytest.approx(0.5, abs=0.05)  # from even to sure


def test_nothing_tells_where_nothing_differs():
    shots = [Shot("again", (WalkbackPoint(40.0, 0.1),)), Shot("bare")]
    assert next_shot(shots, LINES, *half_and_half("windage", "cant")) is None
