"""A broadhead against the field point: nothing apart where nothing differs, and closed forms."""

import math
from dataclasses import replace

import numpy as np
import pytest

from bodies import BROADHEAD, FLETCHED, TWO_BLADES, YARD, launch_state
from demo import CONDITIONS, FPS, GRAIN, INCH, MAPLE, MILL, RANGES, SIGHT
from vireton.bow.parts import Blades, Point
from vireton.flight.stability import MARGIN_YAW, static_margin
from vireton.kernel.door import fly_to_planes
from vireton.rig import LaunchOverride, assemble_rig
from vireton.studies.broadhead import HIGHEST, answer_broadhead
from vireton.units.problems import InputProblem

SPEED = 85.0
BLADES = Blades(3, 1.0625 * INCH, 0.9 * INCH, 0.7e-3, 0.25 * INCH, 0.1 * INCH)
HEAD = Point(100 * GRAIN, 1.2 * INCH, blades=BLADES)
TARGETS = np.array([20.0, 40.0, 60.0]) * YARD
STRAIGHT = LaunchOverride(yaw=0.0, pitch=0.0, yaw_rate=0.0, pitch_rate=0.0)


def rig(blades=BLADES, override=None, **head):
    parts = replace(MAPLE, broadhead=replace(HEAD, blades=blades, **head))
    return assemble_rig(MILL, parts, CONDITIONS, SIGHT, override=override)


def answer(one, draws=8, **options):
    return answer_broadhead(one, TARGETS, RANGES, draws=draws, **options)


@pytest.mark.parametrize("headed", [BROADHEAD, TWO_BLADES])
def test_no_separation_without_errors_gravity_and_other_drag(headed):
    """Straight down the range nothing steers, whatever the blades: the same place to rounding."""
    same = {"gravity_up": 0.0, "vane_offset_sine": 0.0, "vane_offset_cosine": 1.0}
    point = FLETCHED._replace(**same)
    drag = {name: getattr(point, name) for name in ("point_drag", "transition_reynolds")}
    broadhead = headed._replace(**same, **drag)
    one, other = (
        fly_to_planes(launch_state(), body, TARGETS, 0.29, tolerance=1e-8)
        for body in (point, broadhead)
    )
    np.testing.assert_allclose(other.states[:, :3], one.states[:, :3], rtol=1e-12, atol=1e-15)
    np.testing.assert_allclose(other.times, one.times, rtol=1e-9)
    # and with the errors they part
    bent = launch_state(yaw_rate=0.5)
    gap = [fly_to_planes(bent, body, TARGETS, 0.29).states[2, 2] for body in (point, broadhead)]
    assert gap[1] - gap[0] > 0.02


def _lift_areas(p):
    """(slope × area, place) of point, blades and vanes: Barrowman's linear theory."""
    vanes = 0.5 * p.vane_count * p.vane_slope * p.vane_area * p.vane_upwash * p.vane_carry
    blades = 0.5 * p.blade_count * p.blade_slope * p.blade_area * p.blade_upwash * p.blade_carry
    return [
        (2.0 * p.cross_section, p.point_position),
        (blades, p.blade_position),
        (vanes * p.vane_speed_turbulent, p.vane_position),
    ]


@pytest.mark.parametrize("body", [FLETCHED, BROADHEAD, TWO_BLADES])
def test_static_margin_is_barrowmans_without_crossflow_and_wake(body):
    """Σ slope·area·place ÷ Σ slope·area, of point, blades and vanes; two blades on the mean."""
    thin = body._replace(
        crossflow_factor=0.0,
        friction_across=0.0,
        vane_vortex=0.0,
        blade_vortex=0.0,
        blade_wake=0.0,
        transition_reynolds=1e3,
        point_drag=0.0,
        friction_factor=1e-9,
        base_factor=0.0,
        vane_edge_area=0.0,
        vane_offset_sine=0.0,
        vane_offset_cosine=1.0,
    )
    lifts = _lift_areas(thin)
    expected = -sum(a * x for a, x in lifts) / sum(a for a, _ in lifts)
    assert static_margin(thin, SPEED) == pytest.approx(expected, rel=1e-3)


def test_blades_shorten_the_margin_by_their_share():
    """By hand: m₁ = (Aₒ mₒ − A_b x_b)/(Aₒ + A_b), from the fletched arrow's own margin mₒ."""
    clean = {
        "crossflow_factor": 0.0,
        "friction_across": 0.0,
        "vane_vortex": 0.0,
        "blade_vortex": 0.0,
        "point_drag": 0.0,
        "transition_reynolds": 1e3,
        "base_factor": 0.0,
        "friction_factor": 1e-9,
        "vane_edge_area": 0.0,
        "vane_offset_sine": 0.0,
        "vane_offset_cosine": 1.0,
    }
    before = FLETCHED._replace(**clean)
    after = BROADHEAD._replace(**clean, blade_wake=0.0)
    lifts = _lift_areas(after)
    rest = lifts[0][0] + lifts[2][0]
    area, place = lifts[1]
    expected = (rest * static_margin(before, SPEED) - area * place) / (rest + area)
    assert static_margin(after, SPEED) == pytest.approx(expected, rel=2e-3)
    assert static_margin(after, SPEED) < static_margin(before, SPEED)


@pytest.mark.parametrize("body", [FLETCHED, BROADHEAD])
def test_the_jump_is_that_of_linear_theory(body):
    """The path's slope once the yaw has died, from the two sums that an impulse leaves behind.

    With lifts aᵢ at xᵢ, L₀ = Σa, L₁ = Σax, L₂ = Σax², c = ½ρV and margin −L₁/L₀: sideways and
    turning momentum give I·ω/(m·V·margin + c(L₂ − L₁²/L₀)), whose first term alone is the jump of
    McCoy, *Modern Exterior Ballistics*, ch. 10. Without drag and crossflow, as the theory is.
    """
    rate = 0.05
    clean = {
        "crossflow_factor": 0.0,
        "friction_across": 0.0,
        "vane_vortex": 0.0,
        "blade_vortex": 0.0,
        "point_drag": 0.0,
        "transition_reynolds": 1e3,
        "base_factor": 0.0,
        "friction_factor": 1e-9,
        "vane_edge_area": 0.0,
        "vane_offset_sine": 0.0,
        "vane_offset_cosine": 1.0,
        "gravity_up": 0.0,
        "blade_wake": 0.0,
    }
    p = body._replace(**clean)
    x = np.linspace(600.0, 1000.0, 80)
    flown = fly_to_planes(launch_state(SPEED, yaw_rate=rate), p, x, 0.0, tolerance=1e-8).states
    jump = np.polyfit(x, flown[:, 2], 1)[0]
    zeroth, first, second = (sum(a * x**k for a, x in _lift_areas(p)) for k in range(3))
    path = -p.mass * SPEED * first / zeroth
    path += 0.5 * p.density * SPEED * (second - first**2 / zeroth)
    assert jump == pytest.approx(p.inertia_across * rate / path, rel=0.005)


def test_the_margin_tells_which_way_the_nose_turns():
    """A wide head turns away, and the flight shows it: the yaw has grown at 10 m."""
    wide = BROADHEAD._replace(blade_area=3e-4, crossflow_factor=0.0)
    calm = {"gravity_up": 0.0}
    assert static_margin(wide, SPEED) < 0.0 < static_margin(BROADHEAD, SPEED)
    start = launch_state(yaw=MARGIN_YAW)

    def yaw(p):
        state = fly_to_planes(start, p._replace(**calm), [10.0], 0.0).states[0]
        return math.hypot(
            state[8] / state[6] - state[5] / state[3], state[7] / state[6] - state[4] / state[3]
        )

    assert yaw(wide) > MARGIN_YAW > yaw(BROADHEAD)


def test_separation_is_broadhead_minus_field_point():
    one = rig()
    found = answer(one)
    shots = [one.shoot(arrow, TARGETS) for arrow in (one.broadhead, one.fletched)]
    expected = np.column_stack([shots[0].right - shots[1].right, shots[0].up - shots[1].up])
    assert found.separation.nominal == pytest.approx(expected, abs=1e-9)


def test_a_straight_launch_still_parts_them_upwards():
    """The path falls away under the nose at g/V: that is a pitch rate, and the nose lags behind.

    So at least what that rate opens; the steady lag adds up to three times as much, by linear
    theory α = (Σ a x²/Σ a x)·g/V², for arrows such as these.
    """
    found = answer(rig())
    opened = found.per_yaw_rate.nominal * 9.80665 / (280 * FPS)
    up = found.straight.nominal[:, 1]
    assert (up > opened).all()
    assert (up < 4.0 * opened).all()
    assert np.abs(found.straight.nominal[:, 0]).max() < 0.05 * INCH
    told = answer(rig(override=STRAIGHT))
    assert told.straight.nominal == pytest.approx(told.separation.nominal, abs=1e-12)


def test_per_yaw_rate_is_what_a_rate_adds():
    found = answer(rig(override=STRAIGHT))
    rate = 0.02
    pushed = answer(rig(override=replace(STRAIGHT, yaw_rate=rate)))
    added = pushed.separation.nominal[:, 0] - found.separation.nominal[:, 0]
    assert added == pytest.approx(rate * found.per_yaw_rate.nominal, rel=0.03)
    upwards = answer(rig(override=replace(STRAIGHT, pitch_rate=rate)))
    added_up = upwards.separation.nominal[:, 1] - found.separation.nominal[:, 1]
    # not quite the same: the nose hangs above the falling path already, and the shaft's drag
    # across the air grows faster than the angle
    assert added_up == pytest.approx(added, rel=0.2)
    assert (added_up < added).all()


def test_a_wider_head_and_more_blades_answer_more():
    small, usual, wide = (
        answer(rig(replace(BLADES, cutting_diameter=across * INCH))) for across in (0.7, 0.9, 1.1)
    )
    rates = [one.per_yaw_rate.nominal[1] for one in (small, usual, wide)]
    assert 0.0 < rates[0] < rates[1] < rates[2]
    margins = [float(one.broadhead_margin.nominal) for one in (small, usual, wide)]
    assert margins[0] > margins[1] > margins[2]
    assert answer(rig(replace(BLADES, count=4))).per_yaw_rate.nominal[1] > 1.3 * rates[1]


def test_the_vanes_that_halve_it_do():
    """Shot anew with such vanes on the whole rig: what an error opens is half, within 3 %."""
    one = rig()
    found = answer(one)
    share = float(found.vanes.to_halve.nominal)
    assert 1.0 < share < HIGHEST
    vanes = replace(MAPLE.vanes, height=share * 0.5 * INCH, mass=share * 6.5 * GRAIN)
    parts = replace(MAPLE, vanes=vanes, broadhead=HEAD)
    there = answer(assemble_rig(MILL, parts, CONDITIONS, SIGHT))
    halved = there.per_yaw_rate.nominal[1] / found.per_yaw_rate.nominal[1]
    assert halved == pytest.approx(0.5, rel=0.03)
    assert found.vanes.distance == pytest.approx(TARGETS[1])
    drift = found.vanes.broadhead_per_rate.nominal - found.vanes.point_per_rate.nominal
    assert drift == pytest.approx(found.per_yaw_rate.nominal[1], rel=1e-9)


def test_one_more_vane_helps():
    assert 0.2 < float(answer(rig()).vanes.one_more.nominal) < 0.9


def test_the_angle_of_two_blades_makes_a_band():
    two = replace(BLADES, count=2)
    only = {"blade_angle": (-0.5 * math.pi, 0.5 * math.pi)}
    found = answer_broadhead(rig(two), TARGETS, only, draws=16)
    spread = found.per_yaw.high - found.per_yaw.low
    assert (spread > 0.02).all()
    three = answer_broadhead(rig(), TARGETS, only, draws=8)
    assert (three.per_yaw.high - three.per_yaw.low).max() < 1e-12


def test_bands_hold_the_nominal_value():
    found = answer(rig())
    for one in (found.per_yaw_rate, found.broadhead_margin, found.vanes.to_halve):
        assert np.all(one.low <= one.nominal)
        assert np.all(one.nominal <= one.high)
    assert set(found.deciders) == set(RANGES)


def test_a_setup_without_a_broadhead_is_told_so():
    with pytest.raises(InputProblem, match=r"arrow\.broadhead"):
        answer(assemble_rig(MILL, MAPLE, CONDITIONS, SIGHT))
