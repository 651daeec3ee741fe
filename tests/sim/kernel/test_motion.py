"""The right-hand side: against the independent oracle, linear theory, and by hand."""

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

import oracle
from bodies import (
    BARE,
    BROADHEAD,
    FLETCHED,
    TWO_BLADES,
    TWO_VANES,
    VACUUM,
    YARD,
    launch_state,
)
from vireton.kernel.door import fly_to_planes, rates
from vireton.kernel.motion import wind_at
from vireton.kernel.parameters import Parameters

FloatArray = npt.NDArray[np.float64]

CASES = {
    "fletched, offset vanes": (
        FLETCHED._replace(wind_x=-1.0, wind_right=3.0),
        launch_state(up_angle=0.01, yaw=0.02, pitch=-0.01, yaw_rate=1.0, pitch_rate=-0.6),
    ),
    "bare": (
        BARE._replace(wind_x=-1.0, wind_right=3.0),
        launch_state(up_angle=0.01, yaw=0.01, pitch=0.004, yaw_rate=0.4, pitch_rate=-0.3),
    ),
    "three blades": (
        BROADHEAD._replace(wind_x=-1.0, wind_right=3.0),
        launch_state(up_angle=0.01, yaw=0.02, pitch=-0.01, yaw_rate=0.8, pitch_rate=-0.5),
    ),
    "two blades, spinning up": (
        TWO_BLADES._replace(wind_x=-1.0, wind_right=3.0),
        launch_state(up_angle=0.01, yaw=0.01, pitch=-0.01, yaw_rate=0.5, pitch_rate=-0.3),
    ),
    "two blades, no vanes to spin them": (
        TWO_BLADES._replace(vane_count=0.0, vane_friction_area=0.0, blade_area=1e-5),
        launch_state(up_angle=0.02, yaw=0.004, pitch=-0.002, yaw_rate=0.4, pitch_rate=-0.2),
    ),
    "two vanes, offset": (
        TWO_VANES._replace(wind_x=-1.0, wind_right=3.0),
        launch_state(up_angle=0.01, yaw=0.02, pitch=-0.01, yaw_rate=0.8, pitch_rate=-0.5),
    ),
    "two vanes behind two blades": (
        TWO_BLADES._replace(vane_count=2.0, vane_cosine=0.6, vane_sine=0.8, wind_right=2.0),
        launch_state(up_angle=0.01, yaw=0.01, pitch=-0.01, yaw_rate=0.3, pitch_rate=-0.3),
    ),
    "bare, wind that grows with height, uphill": (
        BARE._replace(
            wind_right=-4.0,
            wind_exponent=0.14,
            wind_reference_height=2.0,
            launch_height=8.0,
            gravity_x=-1.7,
            gravity_up=-9.658,
            gravity_right=0.3,
        ),
        launch_state(up_angle=0.03, yaw=-0.006, pitch=0.008, yaw_rate=0.9, pitch_rate=0.2),
    ),
}


def _point(p: Parameters, state: FloatArray) -> FloatArray:
    return np.asarray(state[0:3] + p.point_position * state[6:9])


@pytest.mark.parametrize("case", CASES)
def test_flight_agrees_with_the_oracle_at_100_yd(case: str) -> None:
    """Another formulation, another integrator: the point within 0.01 mm."""
    p, start = CASES[case]
    time, there = oracle.fly(start, p, 100 * YARD, p.point_position)
    expected = oracle.to_kernel(there)
    found = fly_to_planes(start, p, [100 * YARD], p.point_position, tolerance=1e-8)
    state = found.states[0]
    assert found.status == 0
    np.testing.assert_allclose(_point(p, state), _point(p, expected), atol=1e-5)
    assert found.times[0] == pytest.approx(time, abs=1e-8)
    np.testing.assert_allclose(state[3:6], expected[3:6], atol=1e-5)
    np.testing.assert_allclose(state[6:9], expected[6:9], atol=1e-6)
    np.testing.assert_allclose(state[9:12], expected[9:12], atol=1e-5)
    assert state[12] == pytest.approx(expected[12], abs=1e-4)
    # the flight must have something to disagree about
    assert np.linalg.norm(_point(p, state)[1:]) > 1.0
    assert np.linalg.norm(start[9:12]) > 0.4


def _accelerations(state: FloatArray, p: Parameters) -> tuple[FloatArray, ...]:
    """(velocity's, whole angular velocity's) rates on the ground: kernel, then oracle."""
    out, n = rates(state, p), state[6:9]
    swing = out[9:12] + out[12] * n + state[12] * out[6:9]
    y = oracle.from_kernel(state)
    other = oracle.slope(y, p)
    return out[3:6], swing, other[3:6], oracle.rotation_matrix(y[6:10]) @ other[10:13]


@settings(max_examples=60)
@given(
    kind=st.sampled_from([BARE, FLETCHED, BROADHEAD, TWO_BLADES, TWO_VANES]),
    speed=st.floats(5.0, 110.0),
    angles=st.tuples(st.floats(-0.1, 0.1), st.floats(-0.1, 0.1)),
    turning=st.tuples(st.floats(-3.0, 3.0), st.floats(-3.0, 3.0)),
    spin=st.floats(-50.0, 50.0),
)
def test_loads_agree_with_the_oracle(
    kind: Parameters,
    speed: float,
    angles: tuple[float, float],
    turning: tuple[float, float],
    spin: float,
) -> None:
    """Any arrow-like state whose vanes are well below the stall.

    The bounds, 1e-5 of gravity and the like, are those of the sixteen crossflow stations where some
    place on the shaft stands still in the air (a kink); elsewhere the two agree to 1e-7.
    """
    p = kind._replace(vane_stall_sine_squared=1.0)
    state = launch_state(
        speed,
        yaw=angles[0],
        pitch=angles[1],
        yaw_rate=turning[0] * speed / 85.0,
        pitch_rate=turning[1] * speed / 85.0,
        spin=spin * speed / 85.0,
    )
    force, swing, other_force, other_swing = _accelerations(state, p)
    np.testing.assert_allclose(force, other_force, atol=1e-4, rtol=1e-6)
    np.testing.assert_allclose(swing, other_swing, atol=1e-3, rtol=1e-5)


@settings(max_examples=40)
@given(
    angles=st.tuples(st.floats(-3.0, 3.0), st.floats(-1.4, 1.4)),
    turning=st.tuples(st.floats(-3.0, 3.0), st.floats(-3.0, 3.0)),
    spin=st.floats(-50.0, 50.0),
)
def test_constant_coefficients_agree_with_the_oracle(
    angles: tuple[float, float], turning: tuple[float, float], spin: float
) -> None:
    """Drag, lift, moment and damping of McCoy's linear body, at any angle, unequal inertias."""
    p = VACUUM._replace(
        inertia_across_other=1.3e-3,
        constant_area=0.01,
        constant_length=0.1,
        constant_drag=0.12,
        constant_lift_slope=1.75,
        constant_moment_slope=-0.8,
        constant_damping=-22.0,
        wind_right=6.0,
    )
    state = launch_state(
        70.0,
        yaw=angles[0],
        pitch=angles[1],
        yaw_rate=turning[0],
        pitch_rate=turning[1],
        spin=spin,
    )
    force, swing, other_force, other_swing = _accelerations(state, p)
    np.testing.assert_allclose(force, other_force, rtol=1e-10, atol=1e-9)
    np.testing.assert_allclose(swing, other_swing, rtol=1e-8, atol=1e-6)


def test_wind_profile_by_hand() -> None:
    """(h/h_ref)^exponent: 2^0.5 at twice the reference height; nothing at and below the ground."""
    p = Parameters(
        wind_x=3.0,
        wind_right=-2.0,
        wind_exponent=0.5,
        wind_reference_height=2.0,
        launch_height=1.5,
    )
    assert wind_at(p, 0.5) == (3.0, 0.0, -2.0)
    assert wind_at(p, 2.5) == pytest.approx((3.0 * 2**0.5, 0.0, -2.0 * 2**0.5), rel=1e-15)
    assert wind_at(p, -1.5) == (0.0, 0.0, 0.0)
    assert wind_at(p, -40.0) == (0.0, 0.0, 0.0)
    assert wind_at(p._replace(wind_exponent=0.0), -40.0) == (3.0, 0.0, -2.0)


def test_head_on_drag_by_hand() -> None:
    """CD on the shaft's cross-section, alone: ½ρV²·S·CD, and the point lifts nothing at no yaw."""
    p = Parameters(
        mass=0.02,
        inertia_axial=1e-7,
        inertia_across=1e-3,
        inertia_across_other=1e-3,
        density=1.2,
        diameter=0.006,
        cross_section=3e-5,
        point_slope=2.0,
        point_drag=1.5,
        wetted_length=0.7,
        rear=-0.4,
        front=0.3,
    )
    out = rates(launch_state(80.0), p)
    drag = 0.5 * 1.2 * 80.0**2 * 3e-5 * 1.5
    np.testing.assert_allclose(out[3:6], [-drag / 0.02, -9.80665, 0.0], rtol=1e-14)
    np.testing.assert_array_equal(out[6:], np.zeros(10))


def test_signs_as_the_archer_sees_them() -> None:
    """Nose right of the flight: pushed right; vanes turn it back left; right offset spins it up."""
    out = rates(launch_state(yaw=0.02), FLETCHED._replace(gravity_up=0.0))
    assert out[5] > 0.0 > out[3]
    nose = np.cross(out[9:12], launch_state(yaw=0.02)[6:9])  # what the swing does to the axis
    assert nose[2] < 0.0
    assert out[12] > 0.0
    up = rates(launch_state(pitch=0.02), FLETCHED._replace(gravity_up=0.0))
    assert up[4] == pytest.approx(out[5], rel=1e-3)
    # the point's lift alone turns a bare shaft further away at a small angle
    bare = BARE._replace(crossflow_factor=0.0)
    away = np.cross(rates(launch_state(yaw=0.02), bare)[9:12], launch_state(yaw=0.02)[6:9])
    assert away[2] > 0.0


def test_tail_first_the_lift_sits_at_the_tail() -> None:
    """Slender-body lift of whichever end meets the air: both ways it turns the body over."""
    p = BARE._replace(crossflow_factor=0.0, friction_across=0.0, gravity_up=0.0)
    p = p._replace(point_position=0.3, tail_position=-0.3)
    forward, backward = launch_state(yaw=0.05), launch_state(yaw=np.pi + 0.05)
    one, other = rates(forward, p), rates(backward, p)
    np.testing.assert_allclose(one[9:12], other[9:12], rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(one[3:6], other[3:6], rtol=1e-9, atol=1e-9)


# McCoy, Modern Exterior Ballistics, 120 mm finned mortar (data read in a note on it): d 119.56 mm,
# m 13.585 kg, inertias .02335 and .23187 kg·m²; CD0 .119, CLα 1.75, CMq + CMα̇ −22, and CMα −.20
# at Mach 0, −1.02 at Mach .4, here linearly between them. Speed 100 m/s, ρ 1.225.
SPEED, DENSITY, CALIBER = 100.0, 1.225, 0.11956
MOMENT_SLOPE = -0.20 + (-1.02 + 0.20) * (SPEED / 340.29) / 0.4
MORTAR = Parameters(
    mass=13.585,
    inertia_axial=0.02335,
    inertia_across=0.23187,
    inertia_across_other=0.23187,
    gravity_up=0.0,
    density=DENSITY,
    constant_area=np.pi * CALIBER**2 / 4.0,
    constant_length=CALIBER,
    constant_drag=0.119,
    constant_lift_slope=1.75,
    constant_moment_slope=MOMENT_SLOPE,
    constant_damping=-22.0,
)


def test_mortar_pitches_as_linear_theory_says() -> None:
    """Wavelength within 1 %, damping 3 %, jump 3 % of McCoy's closed forms (same book, ch. 10).

    λ = 2π√(2 I/(ρSd|CMα|)); damping per meter (ρS/4m)[CLα − CD − (md²/I)(CMq + CMα̇)];
    jump = (I/(m d))(CLα/|CMα|)(ω/V). At 100 m/s they give 117.8 m, 5.08e-3 /m, 3.11 mrad per rad/s.
    """
    p, rate = MORTAR, 0.05
    inertia = p.inertia_across
    wavelength = (
        2 * np.pi * np.sqrt(2 * inertia / (DENSITY * p.constant_area * CALIBER * abs(MOMENT_SLOPE)))
    )
    assert wavelength == pytest.approx(117.8, abs=0.05)  # as printed in our list of references
    bracket = 1.75 - 0.119 + (p.mass * CALIBER**2 / inertia) * 22.0
    damping = DENSITY * p.constant_area / (4 * p.mass) * bracket
    jump = inertia / (p.mass * CALIBER) * 1.75 / abs(MOMENT_SLOPE) * rate / SPEED

    x = np.linspace(2.0, 1200.0, 600)
    flown = fly_to_planes(launch_state(SPEED, yaw_rate=rate), p, x, 0.0, tolerance=1e-9).states
    yaw = np.arctan2(flown[:, 8], flown[:, 6]) - np.arctan2(flown[:, 5], flown[:, 3])
    amplitude = rate / SPEED * wavelength / (2 * np.pi)

    def misfit(q: FloatArray) -> FloatArray:
        model = q[0] * np.exp(-q[1] * x) * np.sin(2 * np.pi * x / q[2] + q[3])
        return np.asarray((model - yaw) / amplitude)

    first_guess = [amplitude, damping, wavelength, 0.0]
    fit = least_squares(misfit, first_guess, x_scale=[amplitude, damping, wavelength, 1.0])
    assert np.abs(fit.fun).max() < 1e-3  # it is a damped sine: the fit means something
    assert fit.x[2] == pytest.approx(wavelength, rel=0.01)
    assert fit.x[1] == pytest.approx(damping, rel=0.03)

    far = np.linspace(1500.0, 3000.0, 100)
    still = fly_to_planes(launch_state(SPEED, yaw_rate=rate), p, far, 0.0, tolerance=1e-9).states
    slope = np.polyfit(far, still[:, 2], 1)[0]
    assert slope == pytest.approx(jump, rel=0.03)


def test_mortar_wavelength_does_not_depend_on_speed() -> None:
    """James and Potts 2018, Sports Engineering 21:347–358 (abstract), found this for darts too."""
    x = np.linspace(5.0, 400.0, 80)
    tracks = []
    for speed in (50.0, 150.0):
        flown = fly_to_planes(
            launch_state(speed, yaw_rate=5e-4 * speed), MORTAR, x, 0.0, tolerance=1e-9
        ).states
        tracks.append(flown[:, 2])
    np.testing.assert_allclose(tracks[0], tracks[1], rtol=1e-6, atol=1e-8)
