"""Measuring at the bench, weighed against moves and arrows."""

from dataclasses import replace

import numpy as np
import pytest
from bench import AT, tuner

from demo import INCH, RANGES, mill_rig
from vireton.bow.setting import BowSetting
from vireton.rig import assemble_rig
from vireton.tuning.advice import NextShots, after_shots, loss_of
from vireton.tuning.benchwork import GAINS, Benchwork, told_by
from vireton.tuning.costs import Costs
from vireton.tuning.moves import moves_within
from vireton.tuning.observations import Tear
from vireton.tuning.prior import bow_prior
from vireton.tuning.rounds import Round
from vireton.uncertain.narrowing import narrow
from vireton.uncertain.row import Pieces
from vireton.units.reading import Reading

TUNER = tuner()
TORN = Round(1, BowSetting(), (Tear("bare", 1.8288, -0.4 * INCH, 0.2 * INCH),))
TURN = TUNER.turn([TORN])


def at_a_minute(cost, one=TUNER):
    return replace(one, costs=Costs(minute=cost))


def bench(error, key="string_mass"):
    middle, spread = TUNER.prior.bench[0].middle, TUNER.prior.bench[0].spread
    return Benchwork(key, 20.0, middle, spread, np.array([error, np.inf]))


def value(work):
    belief = TURN.belief
    moves = moves_within(TUNER.step, 0.125 * INCH, 0j, 1.0)
    loss = loss_of(Costs(), belief.left("clean", moves.by, AT))
    best = moves.by[int(np.argmin(loss.mean(axis=0)))]
    return after_shots(belief, NextShots("tear", 1, 1.8288), best, loss, 1.5 * INCH, 0.0, work)


def test_the_strings_mass_is_thought_of_on_the_mill_bow():
    keys = [one.key for one in TUNER.prior.bench]
    assert "string_mass" in keys
    assert len(keys) <= 2
    for one in TUNER.prior.bench:
        assert (one.error > 0.0).all()
        assert one.minutes > 0.0
        assert one.cost(Costs(minute=0.5)) == 0.5 * one.minutes


def test_what_tells_nothing_is_worth_nothing():
    assert value(bench(np.inf)) == pytest.approx(value(None))


def test_a_better_reading_is_worth_more():
    middling, good = (value(bench(share * TUNER.prior.bench[0].spread[0])) for share in (1.0, 0.1))
    assert good < middling < value(None)


def test_a_bow_that_the_launch_model_does_not_make_shows_nothing():
    belief = replace(TURN.belief, launch=np.zeros_like(TURN.belief.launch))
    log = told_by(bench(1.0), belief, np.arange(8))
    log = np.where(np.isfinite(log), log, 0.0)
    assert np.ptp(log, axis=1) == pytest.approx(0.0)


def test_bows_of_the_launch_model_are_known_among_the_draws():
    belief = TURN.belief
    share = TURN.posterior.models()["launch"]
    assert belief.launch.shape == (len(belief.theta),)
    assert belief.launch.mean() == pytest.approx(share, abs=0.02)
    # common practice has its own gains: the launch model's are not among them
    gains = belief.theta[:, GAINS[1]]
    assert np.mean(gains[belief.launch]) != pytest.approx(np.mean(gains[~belief.launch]), rel=0.01)


def test_measuring_is_advised_where_minutes_are_cheap_and_not_where_they_are_dear():
    cheap = at_a_minute(0.0).turn([TORN]).advice
    assert cheap.verdict == "measure"
    assert cheap.bench in TUNER.prior.bench
    assert cheap.move == BowSetting()
    dear = at_a_minute(100.0).turn([TORN]).advice
    assert dear.verdict != "measure"
    assert dear.bench is None


def test_nothing_is_measured_before_the_bow_was_seen():
    assert at_a_minute(0.0).turn([]).advice.verdict == "shoot"


def test_a_mirrored_log_has_the_same_advice():
    mirrored = Round(1, BowSetting(), (Tear("bare", 1.8288, 0.4 * INCH, 0.2 * INCH),))
    one, other = (at_a_minute(0.0).turn([log]).advice for log in (TORN, mirrored))
    assert one.verdict == other.verdict
    assert one.bench == other.bench


def test_what_was_measured_is_not_thought_of_again():
    rig = mill_rig()
    pieces = Pieces(rig.bow, rig.fletched.parts)
    known = narrow(pieces, RANGES, {"string_mass": {"string_mass": Reading(0.009)}})
    measured = assemble_rig(
        known.pieces.bow,
        known.pieces.parts,
        rig.conditions,
        rig.sight,
        experience=replace(rig.experience, crowd=known.before),
    )
    prior = bow_prior(measured, known.ranges)
    assert "string_mass" not in [one.key for one in prior.bench]
    # and the launch model's bows are narrower by it
    wide, narrow_one = (
        sum(one.weight * one.covariance[GAINS[0], GAINS[0]] for one in p.components)
        for p in (bow_prior(rig, RANGES), prior)
    )
    assert narrow_one < 0.9 * wide
    assert prior.follows_unmeasured == pytest.approx(0.75, abs=0.01)
