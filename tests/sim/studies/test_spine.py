"""Sweeps of spine, point mass and length."""

from dataclasses import replace

import numpy as np
import pytest

from demo import FPS, GRAIN, INCH, MAPLE, MILL, POUND, RANGES, mill_rig
from vireton.bow.arrow import assemble
from vireton.bow.parts import Point, Shaft
from vireton.launch import column_load_share, power_stroke
from vireton.launch.draw_force import draw_of, stored_energy
from vireton.studies.spine import (
    USUAL_LOAD,
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
    alone = [1.0 - one.share_positive_before[0] for one in answers]
    assert alone[0] < 0.3
    assert alone[-1] > 0.9
    assert alone == sorted(alone)
    ((spine, _, _),) = zero_crossings(answers)
    assert SPINES[0] < spine < SPINES[1]


def test_the_bows_weights_are_the_own_shafts_and_serve_all(answers):
    weighed = [1.0 - one.share_positive[0] for one in answers]
    assert weighed[1] == pytest.approx(0.75, abs=0.05)  # the shaft that experience is set at
    assert weighed == sorted(weighed)
    assert len({one.effective_draws for one in answers}) == 1


def test_upwards_every_plausible_bow_agrees(answers):
    assert [one.share_positive[1] for one in answers[:3]] == pytest.approx([1.0] * 3)


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


#: Draw weight lb, draw length in, spine in: what is usual together (common practice, no source).
USUAL = [
    (70, 30, 0.25), (70, 30, 0.30), (70, 29, 0.30), (70, 29, 0.34), (70, 29, 0.35), (70, 28, 0.34),
    (65, 29, 0.30), (65, 29, 0.34), (60, 29, 0.34), (60, 29, 0.35), (60, 28, 0.35), (60, 28, 0.40),
    (55, 28, 0.40), (50, 29, 0.40), (50, 28, 0.40), (50, 28, 0.50), (45, 28, 0.50), (40, 27, 0.50),
]  # fmt: skip
#: Invented shafts of these spines: gr/in, outside and inside diameter in.
SHAFTS = {
    0.25: (11.5, 0.250, 0.200),
    0.30: (10.5, 0.248, 0.202),
    0.34: (9.6, 0.246, 0.204),
    0.35: (9.3, 0.246, 0.204),
    0.40: (8.6, 0.244, 0.204),
    0.50: (7.6, 0.240, 0.204),
}


@pytest.mark.parametrize("grains", [100, 125])
def test_the_usual_load_is_that_of_ordinary_bows(grains):
    """Arrows half an inch shorter than the draw; a bow that gives on 82 % of what it stores."""
    loads = []
    for pounds, inches, spine in USUAL:
        weight, outside, inside = SHAFTS[spine]
        length = (inches - 0.5) * INCH
        throat = MAPLE.nock.throat_to_shaft
        shaft = Shaft(
            length - throat, outside * INCH, inside * INCH, weight * GRAIN / INCH, spine * INCH
        )
        parts = replace(MAPLE, length=length, shaft=shaft, point=Point(grains * GRAIN, 0.8 * INCH))
        arrow = assemble(parts)
        bow = replace(MILL, draw_weight=pounds * POUND, draw_length=inches * INCH)
        speed = np.sqrt(2.0 * 0.82 * stored_energy(draw_of(bow)) / arrow.mass)
        bow = replace(bow, arrow_speed=float(speed))
        loads.append(column_load_share(bow, power_stroke(bow, arrow), arrow))
    low, high = USUAL_LOAD
    assert low - 0.02 < min(loads) < max(loads) < high + 0.02
    assert 0.9 < np.median(loads) < 1.05
