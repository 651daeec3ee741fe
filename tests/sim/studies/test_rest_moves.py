"""What a rest move does: the behavior that the trade knows, with bands."""

from dataclasses import replace

import numpy as np
import pytest

from demo import CONDITIONS, INCH, MAPLE, MILL, RANGES, SIGHT, YARD, mill_rig
from vireton.bow.parts import Blades, Point
from vireton.rig import assemble_rig
from vireton.studies.rest_moves import answer_flights, answer_rest_moves
from vireton.units.problems import InputProblem

STEP = INCH / 32
TARGETS = np.arange(10, 101, 10) * YARD
RIG = mill_rig()


def moved(*moves, rig=RIG, draws=16, seed=1):
    return answer_rest_moves(rig, moves, TARGETS, RANGES, paper=6 * 0.3048, draws=draws, seed=seed)


def test_no_move_does_nothing():
    (still,) = moved((0.0, 0.0))
    assert np.abs(still.fletched.nominal).max() == 0.0
    assert np.abs(still.bare.high).max() == 0.0
    assert still.separation.nominal == pytest.approx(still.separation_before.nominal)


def test_a_sixteenth_up_on_the_demo_bow():
    # common practice, no source: about one inch of separation, two of group, at 20 yd
    (up,) = moved((0.0, 2 * STEP))
    group = up.fletched.nominal[1, 1] / INCH
    opened = up.separation_change.nominal[1, 1] / INCH
    assert 1.0 < group < 4.0
    assert 0.1 < abs(opened) < 3.0
    assert 0.1 < abs(up.separation.nominal[1, 1] / INCH) < 3.0


def test_the_bare_shaft_runs_away_faster_than_the_distance_grows():
    (up,) = moved((0.0, 2 * STEP))
    for shift in (up.bare.nominal[:4, 1], np.abs(up.separation_change.nominal[:4, 1])):
        per_yard = shift / TARGETS[:4]
        assert (np.diff(per_yard) > 0.0).all()


def test_rest_up_tears_the_bare_shaft_lower_and_lands_it_higher():
    up, down = moved((0.0, STEP), (0.0, -STEP))
    assert up.tear_bare.nominal[1] < down.tear_bare.nominal[1]
    assert (up.separation_change.low[1:5, 1] > 0.0).all()
    assert (down.separation_change.high[1:5, 1] < 0.0).all()


def test_separation_is_bare_minus_fletched():
    (up,) = moved((STEP, STEP))
    change = up.bare.nominal - up.fletched.nominal
    assert up.separation_change.nominal == pytest.approx(change, abs=1e-12)
    assert up.separation.nominal - up.separation_before.nominal == pytest.approx(change, abs=1e-12)


def test_sideways_is_mirrored():
    right, left = moved((STEP, 0.0), (-STEP, 0.0))
    # not to the last digit: the vanes' spin leans a little to one side
    assert right.bare.nominal[:3, 0] == pytest.approx(-left.bare.nominal[:3, 0], abs=2e-3)
    assert right.share_right + left.share_right == pytest.approx(1.0)


def test_without_a_sideways_move_there_is_no_sideways_share():
    assert np.isnan(moved((0.0, STEP))[0].share_right)


def test_bands_hold_the_nominal_value_and_come_from_the_seed():
    first, again, other = (moved((STEP, STEP), seed=seed)[0] for seed in (1, 1, 2))
    for one in (first, other):
        assert (one.bare.low <= one.bare.nominal).all()
        assert (one.bare.nominal <= one.bare.high).all()
    assert np.array_equal(first.bare.low, again.bare.low)
    assert not np.array_equal(first.bare.low, other.bare.low)


def test_bands_of_known_inputs_are_points():
    exact = {name: (value, value) for name, value in {"vane_lift": 1.0, "friction": 1.0}.items()}
    (up,) = answer_rest_moves(RIG, [(0.0, STEP)], TARGETS, exact, paper=1.83, draws=8)
    assert up.bare.low == pytest.approx(up.bare.nominal, abs=1e-9)
    assert up.bare.high == pytest.approx(up.bare.nominal, abs=1e-9)


def test_flights_fletched_and_bare():
    answers = answer_flights(RIG, TARGETS, RANGES, draws=8)
    assert list(answers) == ["fletched", "bare"]
    impact = answers["fletched"].impact
    assert impact.nominal[:, 1] == pytest.approx(answers["fletched"].flight.up)
    assert abs(impact.high[1, 1] - impact.low[1, 1]) < 1e-5  # sighted in here, whatever the draw


def test_the_broadhead_flies_too_where_there_is_one():
    blades = Blades(3, INCH, 0.9 * INCH, 0.7e-3, 0.25 * INCH)
    headed = replace(MAPLE, broadhead=Point(MAPLE.point.mass, 1.2 * INCH, blades=blades))
    rig = assemble_rig(MILL, headed, CONDITIONS, SIGHT)
    answers = answer_flights(rig, TARGETS, RANGES | {"blade_lift": (0.7, 1.3)}, draws=8)
    assert list(answers) == ["fletched", "bare", "broadhead"]
    speeds = [answers[kind].flight.speed[-1] for kind in ("broadhead", "fletched")]
    assert 0.9 * speeds[1] < speeds[0] < speeds[1]  # more drag, but not another arrow


def test_an_arrow_without_vanes_has_no_fletched_group():
    naked = assemble_rig(MILL, replace(MAPLE, vanes=None), CONDITIONS, SIGHT)
    assert list(answer_flights(naked, TARGETS, RANGES, draws=8)) == ["bare"]
    with pytest.raises(InputProblem, match="vanes"):
        moved((0.0, STEP), rig=naked)
