"""The small swing against the linear closed forms, and against the flight itself."""

import math

import numpy as np
import pytest

from bodies import BARE, FLETCHED, launch_state
from vireton.flight.stability import (
    SETTLING_YAW,
    calm,
    drag_area,
    settling_distance,
    small_swing,
    spin_up_distance,
    static_margin,
    steady_spin,
)
from vireton.kernel.door import fly_to_planes, rates
from vireton.kernel.parameters import Parameters

SPEED = 85.0

# McCoy 1999, Modern Exterior Ballistics, 120 mm finned mortar at low Mach (from our list of
# references); the moment slope interpolated to 100 m/s
CALIBER = 0.11956
MORTAR = Parameters(
    mass=13.585,
    inertia_axial=0.02335,
    inertia_across=0.23187,
    inertia_across_other=0.23187,
    density=1.225,
    constant_area=math.pi * CALIBER**2 / 4.0,
    constant_length=CALIBER,
    constant_drag=0.119,
    constant_lift_slope=1.75,
    constant_moment_slope=-0.80,
    constant_damping=-22.0,
)

#: Only point and vanes, straight and in undisturbed air: its slopes can be written down.
PLAIN = FLETCHED._replace(
    crossflow_factor=0.0,
    friction_across=0.0,
    vane_vortex=0.0,
    vane_offset_sine=0.0,
    vane_offset_cosine=1.0,
    vane_speed_laminar=1.0,
    vane_speed_turbulent=1.0,
)


def mortar_linear(p):
    """Wavelength, damping per meter and amplitude after a launch at rest, for 1 of launch yaw.

    Per meter of path, α the yaw and w the turning: α′ = w − aα, w′ = −bα + (c + d)w, with
    a = ρS·CLα/2m, b = ρSd|CMα|/2I, c = ρSd²(CMq + CMα̇)/2I, d = ρS·CD/2m (the speed lost). To first
    order λ = 2π/√b and damping (a − c − d)/2: McCoy 1999, ch. 10 (from our list of references).
    """
    unit = 0.5 * p.density * p.constant_area
    a = unit * p.constant_lift_slope / p.mass
    b = unit * CALIBER * abs(p.constant_moment_slope) / p.inertia_across
    c = unit * CALIBER**2 * p.constant_damping / p.inertia_across
    d = unit * p.constant_drag / p.mass
    damping = 0.5 * (a - c - d)
    turn = math.sqrt(b - a * (c + d) - damping**2)
    return 2 * math.pi / turn, damping, math.hypot(1.0, (damping - a) / turn)


def force_slopes(p):
    """Normal force and nose-down moment per rad and dynamic pressure, m² and m³."""
    point = p.cross_section * p.point_slope
    vanes = 0.5 * p.vane_count * p.vane_area * p.vane_slope * p.vane_upwash * p.vane_carry
    return point + vanes, -(point * p.point_position + vanes * p.vane_position)


def test_the_mortar_swings_as_linear_theory_says():
    wavelength, damping, _ = mortar_linear(MORTAR)
    swing = small_swing(MORTAR, 100.0)
    assert swing.wavelength == pytest.approx(wavelength, rel=1e-4)
    assert swing.damping == pytest.approx(damping, rel=1e-4)
    # the printed form leaves out the square of the damping, half a per cent here
    unit = MORTAR.density * MORTAR.constant_area * CALIBER * 0.80
    printed = 2 * math.pi * math.sqrt(2 * MORTAR.inertia_across / unit)
    assert swing.wavelength == pytest.approx(printed, rel=0.01)
    # the moment over the normal force, lift and drag together
    expected = 0.80 * CALIBER / (1.75 + 0.119)
    assert static_margin(MORTAR, 100.0, 1e-4) == pytest.approx(expected, rel=1e-6)


def test_the_swing_of_constant_coefficients_does_not_depend_on_speed():
    slow, fast = small_swing(MORTAR, 40.0), small_swing(MORTAR, 160.0)
    assert slow.wavelength == pytest.approx(fast.wavelength, rel=1e-9)
    assert slow.damping == pytest.approx(fast.damping, rel=1e-9)


def test_a_plain_finned_arrow_has_the_margin_and_wave_of_its_slopes():
    normal, moment = force_slopes(PLAIN)
    swing = small_swing(PLAIN, SPEED)
    assert static_margin(PLAIN, SPEED, 1e-4) == pytest.approx(moment / normal, rel=1e-4)
    linear = 2 * math.pi * math.sqrt(2 * PLAIN.inertia_across / (PLAIN.density * moment))
    # damping makes the wave longer, by half the square of their ratio: under 1 %
    assert swing.wavelength == pytest.approx(linear, rel=0.01)
    assert swing.wavelength > linear


def test_the_margin_is_nothing_where_the_moment_slope_is_nothing():
    neutral = MORTAR._replace(constant_moment_slope=0.0)
    assert static_margin(neutral, 100.0) == pytest.approx(0.0, abs=1e-12)
    assert math.isnan(small_swing(neutral, 100.0).wavelength)
    point = PLAIN.cross_section * PLAIN.point_slope * PLAIN.point_position
    vanes = force_slopes(PLAIN)[0] - PLAIN.cross_section * PLAIN.point_slope
    balanced = PLAIN._replace(vane_position=-point / vanes)
    assert static_margin(balanced, SPEED, 1e-4) == pytest.approx(0.0, abs=1e-6)


def test_a_bare_shaft_is_unstable_at_small_yaw():
    swing = small_swing(BARE, SPEED)
    assert static_margin(BARE, SPEED, 1e-4) < 0.0
    assert math.isnan(swing.wavelength)
    assert math.isnan(settling_distance(BARE, SPEED, swing))


def yaw_along(p, x, yaw):
    flown = fly_to_planes(launch_state(SPEED, yaw=yaw), calm(p), x, 0.0, tolerance=1e-9).states
    return np.arctan2(flown[:, 8], flown[:, 6]) - np.arctan2(flown[:, 5], flown[:, 3])


@pytest.mark.parametrize("body", [FLETCHED, PLAIN], ids=["spinning", "straight"])
def test_the_flight_itself_swings_at_this_length(body):
    x = np.arange(0.25, 100.0, 0.25)
    yaw = yaw_along(body, x, math.radians(0.1))
    at = np.flatnonzero(yaw[:-1] * yaw[1:] < 0.0)
    zeros = x[at] + 0.25 * yaw[at] / (yaw[at] - yaw[at + 1])
    swing = small_swing(body, SPEED, steady_spin(body, SPEED))
    assert 2.0 * np.diff(zeros).mean() == pytest.approx(swing.wavelength, rel=3e-3)


def test_settling_follows_the_damping_of_linear_theory():
    p = MORTAR._replace(constant_damping=-100.0)
    _, damping, amplitude = mortar_linear(p)
    distance = settling_distance(p, 100.0, small_swing(p, 100.0))
    assert distance == pytest.approx(math.log(10.0 * amplitude) / damping, rel=0.01)


def test_an_arrow_settles_a_little_sooner_than_its_small_swing():
    # the shaft's crossflow damps a larger angle more
    swing = small_swing(FLETCHED, SPEED, steady_spin(FLETCHED, SPEED))
    distance = settling_distance(FLETCHED, SPEED, swing)
    linear = math.log(10.0) / swing.damping
    assert 0.9 * linear < distance < linear


def test_after_settling_the_angle_stays_below_a_tenth():
    swing = small_swing(FLETCHED, SPEED, steady_spin(FLETCHED, SPEED))
    settled = settling_distance(FLETCHED, SPEED, swing)
    x = np.arange(1.0, 250.0, 0.25)
    yaw = np.abs(yaw_along(FLETCHED, x, SETTLING_YAW))
    last = x[np.flatnonzero(yaw >= 0.1 * SETTLING_YAW)[-1]]
    assert settled - 0.5 * swing.wavelength < last < settled + 0.5


def test_one_that_swings_on_beyond_the_end_never_settles():
    assert math.isnan(settling_distance(MORTAR, 100.0, small_swing(MORTAR, 100.0)))


def test_steady_spin_is_where_the_vanes_follow_the_air():
    p = FLETCHED._replace(vane_speed_laminar=0.9, vane_speed_turbulent=0.9)
    tangent = p.vane_offset_sine / p.vane_offset_cosine
    expected = 0.9 * SPEED * tangent / p.vane_spin_radius
    assert steady_spin(p, SPEED) == pytest.approx(expected, rel=1e-6)
    mirrored = p._replace(vane_offset_sine=-p.vane_offset_sine)
    assert steady_spin(mirrored, SPEED) == pytest.approx(-expected, rel=1e-6)


def test_spin_up_is_a_first_order_lag():
    # q the turns per meter, q₀ the steady ones: q′ = (q₀ − q)/L + d·q, d the share of speed lost
    # per meter; without it nine tenths come after ln 10 · L. The vortices make it no lag of first
    # order: without them
    p = FLETCHED._replace(vane_vortex=0.0)
    first = rates(launch_state(SPEED), calm(p))
    length = SPEED * steady_spin(p, SPEED) / first[12]
    lost = -first[3] / SPEED**2 * length
    expected = length / (1.0 - lost) * -math.log(1.0 - 0.9 * (1.0 - lost))
    assert spin_up_distance(p, SPEED) == pytest.approx(expected, rel=2e-3)
    assert spin_up_distance(FLETCHED, SPEED) < spin_up_distance(p, SPEED)
    assert expected == pytest.approx(math.log(10.0) * length, rel=0.05)


def test_without_offset_or_vanes_there_is_no_spin_to_reach():
    for p in (PLAIN, BARE):
        assert steady_spin(p, SPEED) == pytest.approx(0.0, abs=1e-9)
        assert math.isnan(spin_up_distance(p, SPEED))


def test_left_and_right_vanes_mirror():
    left = FLETCHED._replace(vane_offset_sine=-FLETCHED.vane_offset_sine)
    ours, theirs = (small_swing(p, SPEED, steady_spin(p, SPEED)) for p in (FLETCHED, left))
    assert ours.wavelength == pytest.approx(theirs.wavelength, rel=1e-9)
    assert settling_distance(FLETCHED, SPEED, ours) == pytest.approx(
        settling_distance(left, SPEED, theirs), rel=1e-6
    )
    assert spin_up_distance(FLETCHED, SPEED) == pytest.approx(spin_up_distance(left, SPEED))


def test_drag_area_of_a_body_of_constant_drag():
    assert drag_area(MORTAR, 100.0) == pytest.approx(0.119 * MORTAR.constant_area, rel=1e-12)


def test_gravity_and_wind_do_not_count():
    heavy = FLETCHED._replace(gravity_up=-30.0, wind_right=10.0, wind_exponent=0.1)
    assert drag_area(heavy, SPEED) == drag_area(FLETCHED, SPEED)
    assert small_swing(heavy, SPEED) == small_swing(FLETCHED, SPEED)


TWO = PLAIN._replace(vane_count=2.0)
#: The first vane upright, as nocked: it steers sideways; or flat: up and down only.
UPRIGHT, FLAT = TWO._replace(vane_cosine=0.0, vane_sine=-1.0), TWO


def test_two_straight_vanes_steer_square_to_their_plane_only():
    """Launched nose right, the upright pair settles like the flight says; the flat one never."""
    swing = small_swing(PLAIN, SPEED)
    assert math.isfinite(settling_distance(UPRIGHT, SPEED, swing))
    assert math.isnan(settling_distance(FLAT, SPEED, swing))


def test_two_straight_vanes_have_no_one_swing_and_the_lesser_margin():
    for p in (UPRIGHT, FLAT):
        assert math.isnan(small_swing(p, SPEED).wavelength)
        # only the point pushes in the plane of the vanes, and it sits ahead of the balance
        assert static_margin(p, SPEED) == pytest.approx(-PLAIN.point_position, rel=1e-6)


def test_two_vanes_that_spin_swing_like_the_ring_of_two():
    """Offset vanes turn, so the mean over their angle counts."""
    pair = FLETCHED._replace(vane_count=2.0, vane_cosine=0.6, vane_sine=0.8)
    # a ring of four, each with half the area, lifts as the pair does on the mean
    ring = FLETCHED._replace(vane_count=4.0, vane_area=0.5 * FLETCHED.vane_area)
    ours, theirs = (small_swing(p, SPEED, steady_spin(p, SPEED)) for p in (pair, ring))
    assert ours.wavelength == pytest.approx(theirs.wavelength, rel=1e-3)
    assert static_margin(pair, SPEED) == pytest.approx(static_margin(ring, SPEED), rel=1e-3)
