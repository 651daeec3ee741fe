"""From rest offset to launch state: signs, sizes, speed."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import trapezoid

from demo import FPS, INCH, MAPLE, MILL
from vireton.bow.arrow import assemble, bare, kinetic_energy
from vireton.bow.bow import DrawCurve
from vireton.launch import power_stroke, release, speed_on_bow
from vireton.launch.draw_force import draw_of, push_table
from vireton.launch.stroke import push_at
from vireton.units.problems import InputProblem

FLETCHED = assemble(MAPLE)
BARE = bare(FLETCHED)
STROKE = power_stroke(MILL, FLETCHED)
STEP = INCH / 32.0


def shoot(bow=MILL, arrow=FLETCHED, right=0.0, up=0.0):
    return release(bow, power_stroke(bow, FLETCHED), arrow, right, up)


def test_the_fletched_arrow_leaves_with_the_measured_speed():
    assert shoot().speed == pytest.approx(280 * FPS, rel=1e-12)


def test_a_lighter_arrow_leaves_faster_on_the_same_energy():
    launch = shoot(arrow=BARE)
    assert launch.speed > 280 * FPS
    moving = kinetic_energy(BARE.mass + STROKE.bow_mass, launch.speed)
    assert moving == pytest.approx(STROKE.stored_energy, rel=1e-12)


def test_the_same_pair_keeps_its_speed_and_another_arrow_follows_the_stroke():
    assert speed_on_bow(MILL, FLETCHED, MILL, FLETCHED) == pytest.approx(280 * FPS, rel=1e-14)
    own = speed_on_bow(MILL, FLETCHED, MILL, BARE)
    assert own == pytest.approx(STROKE.speed_of(BARE.mass), rel=1e-14)
    # the speed that the other bow claims is not looked at
    assert speed_on_bow(MILL, FLETCHED, replace(MILL, arrow_speed=10.0), BARE) == own


def test_a_bow_that_stores_half_gives_the_root_of_half_the_speed():
    weak = replace(MILL, draw_weight=0.5 * MILL.draw_weight)
    slow = speed_on_bow(MILL, FLETCHED, weak, FLETCHED)
    assert slow == pytest.approx(280 * FPS * 0.5**0.5, rel=1e-12)


def test_nothing_sideways_from_a_centered_rest():
    launch = shoot()
    assert (launch.yaw, launch.yaw_rate, launch.direction_right) == (0.0, 0.0, 0.0)


def test_rest_up_lifts_the_nose_about_as_a_rigid_trial_did():
    # +0.23 rad/s per 1/32 in for a rigid shaft on a guided nock (trial of the model, no source)
    gain = shoot(up=STEP).pitch_rate - shoot().pitch_rate
    assert 0.15 < gain < 0.35


@given(st.floats(-0.004, 0.004))
def test_sideways_is_mirrored(offset):
    one, other = shoot(right=offset), shoot(right=-offset)
    assert one.yaw_rate == pytest.approx(-other.yaw_rate, abs=1e-12)
    assert one.direction_right == pytest.approx(-other.direction_right, abs=1e-12)
    assert one.pitch_rate == other.pitch_rate


def test_the_setups_own_offset_and_a_move_add_up():
    shifted = replace(MILL, rest=replace(MILL.rest, offset_right=STEP, offset_up=-STEP))
    assert shoot(shifted, right=STEP) == shoot(right=2 * STEP, up=-STEP)


def test_nock_travel_of_zeros_is_none():
    flat = replace(MILL, nock_travel_right=(0.0, 0.0, 0.0), nock_travel_up=(0.0, 0.0))
    left, right = shoot(flat, right=STEP, up=STEP), shoot(right=STEP, up=STEP)
    assert left.yaw_rate == pytest.approx(right.yaw_rate, rel=1e-9)
    assert left.pitch_rate == pytest.approx(right.pitch_rate, rel=1e-9)


def test_nock_travel_is_mirrored_and_felt():
    bent = (0.0, 0.5e-3, 2.0e-3)
    one = shoot(replace(MILL, nock_travel_right=bent))
    other = shoot(replace(MILL, nock_travel_right=tuple(-x for x in bent)))
    assert one.yaw_rate == pytest.approx(-other.yaw_rate, rel=1e-9)
    assert abs(one.yaw_rate) > 0.1


def test_a_nock_that_climbs_on_a_straight_path_turns_the_nose_down():
    """The nock rises while the point keeps its course: the shaft is left pointing down its path."""
    climbing = replace(MILL, nock_travel_up=(0.0, 2e-3), rest=replace(MILL.rest, lets_go=0.02))
    assert shoot(climbing).pitch + shoot(climbing).direction_up < shoot().pitch


def test_a_speed_that_this_bow_cannot_give_is_refused():
    with pytest.raises(InputProblem, match=r"bow\.arrow_speed of 400 fps"):
        power_stroke(replace(MILL, arrow_speed=400 * FPS), FLETCHED)


def test_no_plausible_rise_is_refused_where_another_passes():
    fast = replace(MILL, arrow_speed=325 * FPS)
    for rise in (0.15, 0.40):
        power_stroke(replace(fast, draw_curve=DrawCurve(rise=rise)), FLETCHED)


@pytest.mark.parametrize("bow", [MILL, replace(MILL, brace_tension=2.0)])
def test_the_exit_speed_is_that_of_the_stored_energy(bow):
    stroke = power_stroke(bow, FLETCHED)
    push = push_table(draw_of(bow))
    at = np.linspace(0.0, bow.power_stroke, 4001)
    force = np.array([push_at(push, x, bow.power_stroke)[0] for x in at])
    work = trapezoid(force, at)
    moving = FLETCHED.mass + stroke.bow_mass
    assert np.sqrt(2.0 * work / moving) == pytest.approx(280 * FPS, rel=1e-5)


def test_a_fast_bow_is_taken_with_a_note():
    fast = replace(MILL, arrow_speed=310 * FPS)
    stroke = power_stroke(fast, FLETCHED)
    assert stroke.notes
    assert stroke.speed_of(FLETCHED.mass) == pytest.approx(310 * FPS, rel=1e-12)
    assert np.isfinite(release(fast, stroke, FLETCHED, STEP, STEP).yaw_rate)
