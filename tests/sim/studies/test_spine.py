"""Sweeps of spine, point mass and length."""

from dataclasses import replace

import numpy as np
import pytest

from demo import FPS, GRAIN, INCH, MAPLE, RANGES, mill_rig
from vireton.studies.spine import (
    answer_spine,
    chosen_parts,
    shaft_choices,
    stiffness_of,
    zero_crossings,
)
from vireton.units.problems import InputProblem

RIG = mill_rig()
SPINES = [0.25 * INCH, 0.34 * INCH, 0.50 * INCH, 0.70 * INCH]


@pytest.fixture(scope="module")
def answers():
    return answer_spine(RIG, shaft_choices(MAPLE, SPINES, [], []), RANGES, draws=24)


def test_every_pairing_is_shot_and_an_empty_list_is_the_arrows_own():
    choices = shaft_choices(MAPLE, SPINES[:2], [100 * GRAIN, 125 * GRAIN], [])
    assert len(choices) == 4
    assert {one.length for one in choices} == {MAPLE.length}
    (own,) = shaft_choices(MAPLE, [], [], [])
    assert (own.spine, own.point_mass, own.length) == (0.34 * INCH, 100 * GRAIN, MAPLE.length)


def test_without_any_spine_it_says_what_to_give():
    unknown = replace(MAPLE, shaft=replace(MAPLE.shaft, spine_deflection=None))
    with pytest.raises(InputProblem, match="--spine"):
        shaft_choices(unknown, [], [], [])


def test_a_measured_mass_belongs_to_the_old_arrow():
    weighed = replace(MAPLE, measured_mass=420 * GRAIN)
    same, heavier = (
        chosen_parts(weighed, one)
        for one in shaft_choices(weighed, [0.3 * INCH], [100 * GRAIN, 150 * GRAIN], [])
    )
    assert same.measured_mass == 420 * GRAIN
    assert heavier.measured_mass is None
    assert heavier.point.mass == 150 * GRAIN


def test_the_own_shaft_answers_as_the_rest_move_does(answers):
    own = answers[1]
    arrow = RIG.fletched
    turned = RIG.launch(arrow, INCH / 32).yaw_rate - RIG.launch(arrow).yaw_rate
    assert own.yaw_rate.nominal[0] == pytest.approx(turned, rel=1e-9)
    assert own.speed == pytest.approx(280 * FPS, rel=1e-12)


def test_weaker_shafts_answer_less_and_turn_round_sideways(answers):
    rate = np.array([one.yaw_rate.nominal for one in answers])
    assert (np.diff(rate, axis=0) < 0.0).all()
    assert (rate[:, 1] > 0.0).all()
    against = [1.0 - one.share_positive[0] for one in answers]
    assert against[0] < 0.05
    assert against[-1] > 0.3
    ((spine, _, _),) = zero_crossings(answers)
    assert SPINES[1] < spine < SPINES[2]


def test_upwards_every_plausible_bow_agrees(answers):
    assert all(one.share_positive[1] == 1.0 for one in answers[:3])


def test_bands_hold_their_value_and_the_load_grows(answers):
    for one in answers:
        for values in (one.yaw_rate, one.yaw, one.direction, one.separation):
            assert (values.low <= values.nominal).all()
            assert (values.nominal <= values.high).all()
    loads = [one.load_share for one in answers]
    assert loads == sorted(loads)
    assert stiffness_of(answers[2].choice) == pytest.approx(5.092, abs=1e-3)


def test_a_heavier_point_flies_slower_on_the_same_bow():
    light, heavy = answer_spine(
        RIG, shaft_choices(MAPLE, [], [100 * GRAIN, 200 * GRAIN], []), RANGES, draws=8
    )
    assert heavy.speed < light.speed
    assert heavy.load_share > light.load_share


def test_no_crossing_between_shafts_of_another_kind(answers):
    other = replace(answers[3], choice=replace(answers[3].choice, length=0.7))
    assert zero_crossings([answers[0], other]) == []
