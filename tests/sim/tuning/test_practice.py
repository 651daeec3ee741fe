"""Bows that the launch model does not make."""

from dataclasses import replace

import numpy as np
import pytest
from bench import STEP, flown, tuner, unknowns

from demo import INCH
from vireton.tuning.practice import SHARES, separation_by_rate, with_practice
from vireton.tuning.unknowns import PLACE, Prior

TUNER = tuner()


def test_shares_add_up_and_each_model_is_there():
    found = dict.fromkeys(SHARES, 0.0)
    for one in TUNER.prior.components:
        found[one.model] += one.weight
        assert np.linalg.eigvalsh(one.covariance).min() > 0.0
    assert found == pytest.approx(SHARES)


@pytest.mark.parametrize("follows", [0.75, 0.6])
def test_the_sideways_rule_has_its_share(follows):
    launch = TUNER.prior.components[:2]
    own = [replace(one, weight=one.weight / SHARES["launch"]) for one in launch]
    prior = with_practice(Prior(tuple(own), 0.5, 0.5), TUNER.flown, follows)
    share = sum(one.weight for one in prior.components if one.sideways_sign < 0)
    assert share == pytest.approx(follows, abs=0.01)


def test_the_side_stays_open_whatever_experience_says():
    prior = with_practice(Prior((), 0.5, 0.5), TUNER.flown, 0.99)
    practice = {one.sideways_sign: one for one in prior.components if one.model == "practice"}
    assert practice[1].weight == pytest.approx(0.1 * SHARES["practice"])


def test_separation_by_rate_is_that_of_flights():
    off = [
        flown(unknowns(rate_right=rate), "bare").points[0]
        - flown(unknowns(rate_right=rate), "fletched").points[0]
        for rate in (0.25, 0.75)
    ]
    slope = (off[1][0] - off[0][0]) / 0.5
    assert separation_by_rate(TUNER.flown) == pytest.approx(slope, rel=0.15)


def test_a_sixteenth_closes_one_to_two_inches_by_practice():
    (one,) = (c for c in TUNER.prior.components if c.model == "practice" and c.sideways_sign == -1)
    by_rate = separation_by_rate(TUNER.flown)
    assert 1.0 * INCH < one.mean[PLACE["rate_gain_up"]] * by_rate * 2 * STEP < 2.0 * INCH
    assert one.mean[PLACE["rate_gain_right"]] < 0.0
