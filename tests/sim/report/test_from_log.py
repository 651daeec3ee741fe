"""Places of a logged bow's next arrows are what the tuner predicts."""

from dataclasses import replace

import numpy as np
import pytest
from bench import STEP, apart, groups, seen, tuner, unknowns

import demo
from demo import INCH, YARD
from vireton.report.from_log import NEXT_SHOTS, cases_of_turn
from vireton.rig import assemble_rig
from vireton.tuning.changes import Change
from vireton.tuning.evidence import rest_of
from vireton.tuning.flown import Flown
from vireton.tuning.response import Shooter
from vireton.tuning.unknowns import SIZE

FAR = np.array([20.0, 40.0]) * YARD
STILL = np.zeros((1, 3))
STANDS = np.array([-2 * STEP, 0.0])


@pytest.fixture(scope="module")
def told():
    """A bow that has shown which way it answers: rest right turns the nose left."""
    truth = unknowns(rate_right=0.5, rate_gain_right=-0.2, rate_gain_up=0.17)
    rounds = [seen(truth), seen(truth, (2 * STEP, 0.0), 2), seen(truth, (-2 * STEP, 0.0), 3)]
    return tuner().turn(rounds)


@pytest.fixture(scope="module")
def open_turn():
    """One round, nothing moved yet."""
    return tuner().turn([groups((2.5, 0.0))])


def test_places_are_flights_counted_from_the_fletched_group(told):
    (case,) = cases_of_turn(told, FAR)
    assert rest_of(told.setting) == pytest.approx(complex(*STANDS))
    move = np.array([STEP, -STEP])
    landed = {kind: case.places(kind, np.array([[*move, 0.0]]))[0] for kind in ("bare", "fletched")}
    assert landed["bare"] - landed["fletched"] == pytest.approx(
        apart(case.mean, STANDS + move, FAR), abs=1e-5
    )


def test_the_fletched_group_is_where_places_are_counted_from(told, open_turn):
    for turn in (told, open_turn):
        for case in cases_of_turn(turn, FAR):
            assert case.places("fletched", STILL) == pytest.approx(np.zeros((1, 2, 2)), abs=1e-12)


def test_a_bow_that_has_shown_its_side_has_one_case(told):
    (case,) = cases_of_turn(told, FAR)
    assert case.nose == -1
    assert case.weight > 0.95


def test_a_bow_that_has_not_has_two(open_turn):
    cases = cases_of_turn(open_turn, FAR)
    assert [case.nose for case in cases] == [1, -1]
    assert sum(case.weight for case in cases) == pytest.approx(1.0)
    move = np.array([[2 * STEP, 0.0, 0.0]])
    right, left = (case.places("bare", move)[0, 0, 0] for case in cases)
    assert right - left > 0.2 * INCH
    # unmoved both say what was seen
    for case in cases:
        assert case.places("bare", STILL)[0, 0, 0] == pytest.approx(2.5 * INCH, abs=0.5 * INCH)


def test_the_spread_of_the_separation_is_the_tuners_and_the_shots(told):
    (case,) = cases_of_turn(told, FAR)
    known = np.cov(told.draws().T)
    found = case.covariances("apart", STILL)[0, 0]
    shots = found - known
    # two groups of three, each center with its own errors
    least = 2.0 * (told.spread.sd * told.scatter * FAR[0]) ** 2 / NEXT_SHOTS
    for axis in range(2):
        assert least < shots[axis, axis] < 3.0 * least
    assert shots[0, 1] == pytest.approx(0.0, abs=0.1 * least)


def test_unmoved_the_fletched_group_is_spread_by_its_shots_alone(told):
    (case,) = cases_of_turn(told, FAR)
    found = case.covariances("fletched", STILL)[0]
    assert found[:, 0, 1] == pytest.approx(np.zeros(2), abs=1e-12)
    assert found[:, 0, 0] == pytest.approx(found[:, 1, 1])


def test_wind_from_the_left_drifts_both_to_the_right(told):
    (case,) = cases_of_turn(told, FAR)
    blown = np.array([[0.0, 0.0, 4.0]])
    for kind in ("fletched", "bare"):
        assert (case.places(kind, blown) - case.places(kind, STILL))[0, :, 0].min() > 0.0


def test_wind_hardly_changes_how_well_the_fletched_group_is_known(told):
    (case,) = cases_of_turn(told, FAR)
    still, blown = (
        case.covariances("fletched", np.array([[0.0, 0.0, wind]]))[0] for wind in (0.0, 4.0)
    )
    assert (np.diagonal(blown, axis1=1, axis2=2) >= np.diagonal(still, axis1=1, axis2=2)).all()
    assert blown == pytest.approx(still, rel=0.5, abs=1e-4)


def test_the_draws_have_the_components_mean_and_covariance(told):
    (case,) = cases_of_turn(told, FAR)
    off = case._draws - case.mean
    scale = np.sqrt(np.diag(case.covariance))
    assert off.mean(axis=0) / scale == pytest.approx(np.zeros(SIZE), abs=1e-9)
    assert off.T @ off / len(off) / np.outer(scale, scale) == pytest.approx(
        case.covariance / np.outer(scale, scale), abs=1e-9
    )


def test_the_ellipses_hold_95_of_100_of_what_the_posterior_allows(told):
    # real flights of the posterior's draws, not the linear spread about its mean
    (case,) = cases_of_turn(told, FAR)
    random = np.random.default_rng(5)
    move = np.array([STEP, 2 * STEP])
    setting = np.array([[*move, 0.0]])
    middle = (case.places("bare", setting) - case.places("fletched", setting))[0]
    inverse = np.linalg.inv(case.covariances("apart", setting)[0])
    held = []
    for theta in told.posterior.samples(400)[0]:
        shots = random.normal(size=(2, 2)) * np.sqrt(2.0 / NEXT_SHOTS)
        scatter = told.spread.sd * told.scatter
        off = apart(theta, STANDS + move, FAR) + shots * scatter * FAR[:, None] - middle
        held.append(np.einsum("na,nab,nb->n", off, inverse, off) < 5.991)
    shares = np.mean(held, axis=0)
    assert (shares > 0.92).all(), shares
    assert (shares < 0.99).all(), shares


def test_after_a_change_the_arrows_are_those_of_now():
    lighter = replace(demo.MAPLE, point=replace(demo.MAPLE.point, mass=75 * demo.GRAIN))
    rig = assemble_rig(demo.MILL, lighter, demo.CONDITIONS, demo.SIGHT)
    of_both = replace(tuner(), later={1: Flown(Shooter.of(rig))})
    truth = unknowns(rate_right=0.5, rate_gain_right=-0.2, rate_gain_up=0.17)
    after = replace(seen(truth, number=2), changes=(Change("point"),), version=1)
    turn = of_both.turn([seen(truth), after])
    assert turn.segments == 2
    for case in cases_of_turn(turn, FAR):
        assert case.shooter.rig is rig
        assert case.places("fletched", STILL) == pytest.approx(np.zeros((1, 2, 2)), abs=1e-12)
