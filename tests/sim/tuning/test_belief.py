"""Draws from the posterior, and what they say arrows would do."""

import numpy as np
import pytest
from bench import AT, PAPER, STEP, apart, flown, tear, tuner, unknowns

from demo import INCH
from vireton.tuning.belief import mean_and_ends
from vireton.tuning.response import Planes
from vireton.tuning.stories import Story
from vireton.tuning.unknowns import PLACE

TUNER = tuner()
BOW = unknowns(rate_right=0.7, rate_up=-0.4)
TURN = TUNER.turn([tear(BOW), tear(BOW, (2 * STEP, 0.0), 2)])
STILL = np.zeros(1, complex)


def test_separations_and_tears_are_those_of_flights():
    belief = TURN.belief
    plain = [k for k, one in enumerate(belief.stories) if one.kind == "none"][:6]
    for k in plain:
        theta = belief.theta[k]
        rest = (2 * STEP, 0.0)
        assert abs(belief.separation(AT)[k] - complex(*apart(theta, rest, (AT,))[0])) < 0.25 * INCH
        torn = belief.tear("bare", PAPER, STILL)[k, 0] - complex(*theta[[14, 15]])
        real = flown(theta, "bare", rest, (), (PAPER,)).tears[0] * np.exp(theta[13])
        assert abs(torn - complex(*real)) < 0.05 * INCH


def test_what_is_left_is_counted_from_the_aim():
    belief = TURN.belief
    apart = belief.separation(AT)
    assert belief.left("together", STILL, AT)[:, 0] == pytest.approx(apart)
    assert belief.left("clean", STILL, AT)[:, 0] == pytest.approx(apart - belief.clean(AT))


def test_where_something_touches_no_move_helps():
    belief = TURN.belief
    moves = np.array([0.0, 3 * STEP + 2j * STEP])
    left = belief.left("clean", moves, AT)
    touching = np.array([one == Story("contact") for one in belief.stories])
    assert touching.any()
    assert left[touching, 0] == pytest.approx(left[touching, 1])
    assert np.abs(left[~touching, 0] - left[~touching, 1]).min() > 0.0


def test_a_slipped_rest_stands_where_it_was():
    slipped = np.array([one == Story("slipped", 2) for one in TURN.belief.stories])
    assert slipped.any()
    assert TURN.belief.here[slipped] == pytest.approx(0.0)
    sound = np.array([one.kind == "none" for one in TURN.belief.stories])
    assert TURN.belief.here[sound] == pytest.approx(2 * STEP)


def test_ends_of_draws():
    mean, low, high = mean_and_ends(np.arange(101.0) + 1j * np.arange(101.0)[::-1], 0.9)
    assert mean == pytest.approx([50.0, 50.0])
    assert low == pytest.approx([5.0, 5.0])
    assert high == pytest.approx([95.0, 95.0])


def test_launches_are_those_that_part_bare_from_fletched_when_flown():
    belief = TURN.belief
    rates, angles = belief.launches()
    shooter = belief.flown.shooter
    sizes = []
    for k in [k for k, one in enumerate(belief.stories) if one.kind == "none"][:6]:
        launch = np.array([rates[k].real, rates[k].imag, angles[k].real, angles[k].imag, 0.0, 0.0])
        moved = {}
        for kind in ("bare", "fletched"):
            own = np.array([*shooter.nominal(kind)[:4], 0.0, 0.0])
            planes = Planes(kind, (AT,))
            launched, clean = (shooter.shoot(planes, one - own).points[0] for one in (launch, 0.0))
            moved[kind] = complex(*(launched - clean))
        flown_apart = np.exp(belief.theta[k, PLACE["bare_scale"]]) * moved["bare"]
        told = belief.off_clean(STILL, AT)[k, 0]
        sizes.append(abs(told))
        assert abs(flown_apart - moved["fletched"] - told) < 0.25 * INCH
    assert max(sizes) > 1.0 * INCH
