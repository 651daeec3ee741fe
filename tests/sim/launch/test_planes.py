"""One plane of a shot: which model runs, and what reaches the flight."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from demo import INCH, MAPLE, MILL, POUND
from vireton.bow.arrow import assemble, bare
from vireton.bow.bow import DrawCurve
from vireton.launch import column_load_share, power_stroke, release
from vireton.launch.beam import critical_acceleration, free_frequencies
from vireton.launch.planes import _cubic_path

STEP = INCH / 32.0
FLETCHED = assemble(MAPLE)
STROKE = power_stroke(MILL, FLETCHED)


def shaft(spine_inches):
    return assemble(replace(MAPLE, shaft=replace(MAPLE.shaft, spine_deflection=spine_inches)))


def gain(bow, arrow=FLETCHED):
    """(yaw rate by a move right, pitch rate by a move up), rad/s per 1/32 in."""
    start = release(bow, STROKE, arrow)
    return np.array(
        [
            release(bow, STROKE, arrow, STEP).yaw_rate - start.yaw_rate,
            release(bow, STROKE, arrow, 0.0, STEP).pitch_rate - start.pitch_rate,
        ]
    )


def test_a_very_stiff_shaft_on_a_hard_rest_is_the_rigid_launch():
    hard = replace(MILL, rest=replace(MILL.rest, stiffness=5e6, damping_ratio=0.3))
    stiff = shaft(1e-7)
    rigid = gain(replace(MILL, launch_model="rigid"))
    assert gain(hard, stiff) == pytest.approx(rigid, rel=0.01)


def test_without_a_spine_the_shaft_is_rigid():
    unknown = assemble(replace(MAPLE, shaft=replace(MAPLE.shaft, spine_deflection=None)))
    rigid = release(replace(MILL, launch_model="rigid"), STROKE, FLETCHED, STEP, STEP)
    assert release(MILL, STROKE, unknown, STEP, STEP) == rigid
    assert rigid.bend_frequency == 0.0


def test_a_weaker_shaft_answers_less_upwards_and_turns_round_sideways():
    # a trial of the model (no source): up +0.20, .17, .16, .13, .10 for 250…500 on a guided nock
    up = [gain(MILL, shaft(s * INCH))[1] for s in (0.25, 0.30, 0.34, 0.40, 0.50)]
    assert up == pytest.approx([0.20, 0.17, 0.16, 0.13, 0.10], abs=0.03)
    assert all(np.diff(up) < 0.0)
    # sideways +0.01, -0.07, -0.22 at 340, 400, 500 with the cams' mass in (a trial, no source)
    sideways = [gain(MILL, shaft(s * INCH))[0] for s in (0.25, 0.34, 0.40, 0.50, 0.70)]
    assert all(np.diff(sideways) < 0.0)
    assert sideways[0] > 0.0 > sideways[-1]
    plain = replace(MILL, brace_tension=1.0)
    trial = [gain(plain, shaft(s * INCH))[0] for s in (0.34, 0.40, 0.50)]
    assert trial == pytest.approx([0.01, -0.07, -0.22], abs=0.03)


@pytest.mark.parametrize("changes", [{"cam_mass": 0.1}, {"cam_stiffness": 2_000.0}])
def test_lighter_or_softer_cams_change_the_sideways_answer_only(changes):
    soft = gain(replace(MILL, **changes))
    assert soft[0] > gain(MILL)[0]
    assert soft[1] == gain(MILL)[1]


def test_a_tighter_string_near_brace_turns_the_sideways_answer_down():
    # trial of the model, no source: some -0.18 rad/s per 1/32 in at twice the tension
    loose, tight = (gain(replace(MILL, brace_tension=b)) for b in (1.0, 2.0))
    assert -0.25 < tight[0] - loose[0] < -0.05
    assert tight[1] == pytest.approx(loose[1], abs=0.02)


def test_a_later_let_go_turns_the_sideways_answer_down():
    rates = [
        gain(replace(MILL, rest=replace(MILL.rest, lets_go=share)))[0] for share in (0.3, 0.8, 1.0)
    ]
    assert all(np.diff(rates) < 0.0)


def test_a_free_idler_changes_the_upward_answer_only():
    free = gain(replace(MILL, cams="idler"))
    assert free[0] == gain(MILL)[0]
    assert free[1] != pytest.approx(gain(MILL)[1], rel=0.1)


def test_a_kick_of_the_release_goes_its_own_way():
    right = release(replace(MILL, kick_right=0.1), STROKE, FLETCHED)
    left = release(replace(MILL, kick_right=-0.1), STROKE, FLETCHED)
    assert right.yaw_rate == pytest.approx(-left.yaw_rate, rel=1e-9)
    assert right.yaw_rate != 0.0
    assert right.pitch_rate == release(MILL, STROKE, FLETCHED).pitch_rate


def test_a_shaft_kicked_off_a_launcher_is_held_by_a_containment_rest():
    def shot(kind):
        rest = replace(MILL.rest, type=kind, lets_go=0.9)
        bow = replace(MILL, cams="idler", kick_up=1.0, rest=rest)
        return release(bow, STROKE, FLETCHED).pitch_rate

    assert shot("drop-away") == shot("launcher")
    assert shot("launcher") != pytest.approx(shot("containment"), rel=0.01)


def test_nock_travel_reaches_a_pinned_shaft():
    climbing = replace(MILL, nock_travel_up=(0.0, 1e-3, 4e-3))
    plain = release(MILL, STROKE, FLETCHED)
    moved = release(climbing, STROKE, FLETCHED)
    assert abs(moved.pitch_rate - plain.pitch_rate) > 0.05
    # a rest that holds both ways, as the rigid launch has it
    rest = replace(MILL.rest, type="containment", stiffness=5e6, damping_ratio=0.3)
    hard = replace(climbing, rest=rest)
    stiff = release(hard, STROKE, shaft(1e-7))
    rigid = release(replace(climbing, launch_model="rigid"), STROKE, FLETCHED)
    assert stiff.pitch_rate == pytest.approx(rigid.pitch_rate, rel=0.02)
    assert stiff.direction_up == pytest.approx(rigid.direction_up, abs=5e-5)
    assert stiff.offset_up == pytest.approx(rigid.offset_up, abs=2e-5)


def test_what_bending_is_left_over():
    launch = release(MILL, STROKE, FLETCHED, STEP)
    assert launch.bend_frequency == pytest.approx(free_frequencies(FLETCHED, FLETCHED.stiffness)[0])
    # a fraction of a millimeter at the nock, and none without a reason for it
    assert 0.05e-3 < launch.bend_right < 2e-3
    assert abs(launch.bent_right) <= launch.bend_right
    mirrored = release(MILL, STROKE, FLETCHED, -STEP)
    assert mirrored.bent_right == pytest.approx(-launch.bent_right)
    assert release(MILL, STROKE, FLETCHED).bend_right == 0.0
    assert 0.2 < launch.bend_point_share < 1.5


def test_column_load_grows_as_the_shaft_weakens():
    shares = [column_load_share(MILL, STROKE, shaft(s * INCH)) for s in (0.25, 0.34, 0.5)]
    assert shares == sorted(shares)
    # EI goes with 1/spine and everything else stays
    assert shares[2] / shares[0] == pytest.approx(2.0, rel=1e-9)
    unknown = assemble(replace(MAPLE, shaft=replace(MAPLE.shaft, spine_deflection=None)))
    assert column_load_share(MILL, STROKE, unknown) is None


def test_column_load_is_taken_where_the_push_is_highest():
    """With the fall just begun: 28 % of the stroke off full draw, or 40 %."""
    stroke = MILL.power_stroke
    for fall in (0.28, 0.40):
        bow = replace(MILL, draw_curve=DrawCurve(fall=fall))
        rest = MILL.rest.ahead_of_string + (1.0 - fall) * stroke
        # all that the string pushes: the stored energy moves arrow and bow at the arrow's speed
        energy = 60 * POUND * stroke * (0.25 * 2 / np.pi + 0.75 - fall + 0.6 * fall)
        total = 2.0 * energy / MILL.arrow_speed**2
        expected = 60 * POUND / total / critical_acceleration(FLETCHED, FLETCHED.stiffness, rest)
        share = column_load_share(bow, power_stroke(bow, FLETCHED), FLETCHED)
        assert share == pytest.approx(expected, rel=2e-3)


def test_the_bare_shaft_leaves_with_nearly_the_same_launch():
    naked, fletched = gain(MILL, bare(FLETCHED)), gain(MILL)
    assert naked[1] == pytest.approx(fletched[1], rel=0.1)
    # sideways both are small differences of large swings
    assert naked[0] == pytest.approx(fletched[0], abs=0.05)


@pytest.mark.parametrize("count", [2, 3, 4, 9])
def test_the_nock_travels_along_scipys_natural_spline(count):
    places = tuple(np.random.default_rng(count).normal(0.0, 1e-3, count))
    there = np.linspace(0.0, 0.5, count)
    expected = CubicSpline(there, places, bc_type="natural").c
    assert _cubic_path(places, 0.5) == pytest.approx(expected, rel=1e-9, abs=1e-15)
