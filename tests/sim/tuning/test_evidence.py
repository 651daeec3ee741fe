"""What was seen, as arrays."""

from dataclasses import replace

import numpy as np
import pytest
from bench import AT, STEP, groups, seen, tuner, unknowns

from demo import CONDITIONS, GRAIN, INCH, MAPLE, MILL, SIGHT
from vireton.bow.parts import Blades, Point
from vireton.bow.setting import BowSetting
from vireton.rig import assemble_rig
from vireton.tuning.evidence import (
    BROADHEAD_ALONE,
    REST_PLAY,
    SCATTERS,
    SIGHT_MOVED,
    gathered,
    rest_of,
)
from vireton.tuning.flown import Flown
from vireton.tuning.observations import Tear, WalkbackPoint, group_of_center
from vireton.tuning.observations.tear import TEAR_ERROR
from vireton.tuning.posterior import fit
from vireton.tuning.response import Shooter
from vireton.tuning.rounds import Round
from vireton.tuning.stories import stories

FLOWN = tuner().flown
SPREAD = 1.0 * INCH / AT
TORN = Tear("bare", 1.8288, -0.002, 0.003)


def test_entries_in_order_with_their_settings_and_moves():
    rounds = [
        Round(1, BowSetting(STEP, 0.0), ()),
        Round(2, BowSetting(2 * STEP, 0.0), (TORN,)),
        Round(5, BowSetting(2 * STEP, -STEP), (TORN, WalkbackPoint(20.0, 0.01))),
    ]
    found = gathered(rounds, FLOWN, SPREAD)
    assert found.count == 2
    assert found.values == pytest.approx([-0.002 + 0.003j] * 2)
    # counted from the first setting at which anything was seen
    assert found.settings == pytest.approx([0.0, -1j * STEP])
    assert list(found.rounds) == [2, 5]
    assert found.moves == pytest.approx({2: STEP, 5: -1j * STEP})


def test_a_nock_that_is_high_is_a_rest_that_is_low():
    assert rest_of(BowSetting(0.001, 0.002, 0.003)) == pytest.approx(0.001 - 0.001j)


def test_each_value_has_its_own_error():
    found = gathered([Round(1, BowSetting(), (TORN, TORN))], FLOWN, SPREAD)
    for whitener in found.whiteners:
        assert whitener == pytest.approx(np.eye(2) / TEAR_ERROR)


def test_the_sight_is_shared_where_it_may_have_moved():
    rounds = [groups((1.0, 0.0), count=1), groups((1.0, 0.0), rest=(STEP, 0.0), number=2, count=1)]
    found = gathered(rounds, FLOWN, SPREAD)
    usual = [level for level, _ in SCATTERS].index(1.0)
    covariance = np.linalg.inv(found.whiteners[usual].T @ found.whiteners[usual])
    own = covariance[0, 0]
    assert covariance[:2, :2] == pytest.approx(np.eye(2) * own)
    far = (SIGHT_MOVED * AT) ** 2
    # how far the rest went astray is shared too
    answers = 380.0 * found.planes.coefficients[2:, 1]
    astray = REST_PLAY**2 * np.outer(answers, np.conj(answers)).real
    assert covariance[2:, 2:] == pytest.approx(np.eye(2) * own + far + astray)
    assert np.all(covariance[2:, 2:] > np.eye(2) * own + far)


def test_a_rest_that_goes_astray_moves_the_bare_shaft_most():
    rounds = [groups((1.0, 0.0)), groups((1.0, 0.0), rest=(STEP, 0.0), number=2)]
    found = gathered(rounds, FLOWN, SPREAD)
    usual = [level for level, _ in SCATTERS].index(1.0)
    covariance = np.linalg.inv(found.whiteners[usual].T @ found.whiteners[usual])
    more = np.diag(covariance)[2:] - np.diag(covariance)[:2] - (SIGHT_MOVED * AT) ** 2
    answers = np.abs([FLOWN.surface(one, "target", AT)[1] for one in ("bare", "fletched")])
    assert sorted(more) == pytest.approx(sorted((REST_PLAY * 380.0 * answers) ** 2))
    assert answers[0] > answers[1]


def test_a_broadhead_has_an_error_of_its_own():
    blades = Blades(3, 1.1 * INCH, 1.0 * INCH, 0.7e-3, 0.3 * INCH)
    parts = replace(MAPLE, broadhead=Point(100 * GRAIN, 1.2 * INCH, blades=blades))
    bow = Flown(Shooter.of(assemble_rig(MILL, parts, CONDITIONS, SIGHT)))
    heads = group_of_center("broadhead", AT, (0.01, 0.0), 1)
    points = group_of_center("fletched", AT, (0.0, 0.0), 1)
    found = gathered([Round(1, BowSetting(), (points, heads))], bow, SPREAD)
    field, head = found.variances
    assert np.all(head - field > (BROADHEAD_ALONE * AT) ** 2)
    # a bow that has none says nothing with them
    assert gathered([Round(1, BowSetting(), (points, heads))], FLOWN, SPREAD).count == 1


def test_nothing_seen_is_nothing():
    found = gathered([], FLOWN, SPREAD)
    assert found.count == 0
    assert found.whiteners.shape == (len(SCATTERS), 0, 0)


def test_wider_errors():
    found = gathered([Round(1, BowSetting(), (TORN,))], FLOWN, SPREAD)
    assert found.inflated(2.0).whiteners == pytest.approx(found.whiteners / 2.0)


def test_what_was_seen_alike_long_ago_is_taken_together_and_nothing_is_lost():
    bow = unknowns(rate_right=0.3, rate_up=-0.2)
    places = [(0, 0), (1, 0), (0, 0), (1, 0), (0, 1), (0, 0)]
    rounds = [
        seen(bow, (r * STEP, u * STEP), n, count=2 + n) for n, (r, u) in enumerate(places, start=1)
    ]
    whole = gathered(rounds, FLOWN, SPREAD)
    short = whole.condensed(5)
    # three planes at two settings, and the last two rounds as they are
    assert (whole.count, short.count) == (18, 12)
    one, other = (
        {
            (r.component.model, r.component.sideways_sign, r.scatter): r
            for r in fit(tuner().prior, e, stories(e)[:1]).readings
        }
        for e in (whole, short)
    )
    assert set(one) == set(other)
    for key, reading in one.items():
        assert other[key].weight == pytest.approx(reading.weight, rel=0.02, abs=1e-5)
        assert other[key].mean == pytest.approx(reading.mean, rel=2e-3, abs=1e-4)
    assert whole.condensed(0) is whole
