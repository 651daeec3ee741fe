"""The blades of a broadhead: by hand, and what turning them about the axis does."""

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodies import BROADHEAD, TWO_BLADES, YARD, launch_state
from vireton.aerodynamics.blades import blade_forces, wake_share
from vireton.kernel.door import fly_to_planes, rates
from vireton.kernel.parameters import Parameters

FloatArray = npt.NDArray[np.float64]

SPEED = 85.0
#: Without the vortices' part, in which the lift is linear.
PLAIN = BROADHEAD._replace(blade_vortex=0.0)
AXIS = (1.0, 0.0, 0.0)
UP = (0.0, 1.0, 0.0)


def _turned(angle: float) -> Parameters:
    """Two blades at this angle from the reference vector."""
    p = TWO_BLADES._replace(blade_vortex=0.0)
    return p._replace(blade_cosine=float(np.cos(angle)), blade_sine=float(np.sin(angle)))


def _push(
    p: Parameters, across: tuple[float, float], spin: float = 0.0
) -> tuple[FloatArray, float]:
    """(Force across as (up, right) N, roll moment N·m) at this velocity (up, right) across."""
    force, roll = blade_forces(p, SPEED, (0.0, *across), AXIS, UP, spin)
    assert force[0] == 0.0
    return np.array(force[1:]), roll


@pytest.mark.parametrize("count", [3.0, 4.0, 6.0])
def test_linear_lift_is_barrowmans(count: float) -> None:
    """N/2 blades' worth of slope·area, times 1 + r/(r + s), at the angle w/u (Barrowman 1967).

    And times what the ferrule carries over.
    """
    p = PLAIN._replace(blade_count=count)
    force, roll = _push(p, (0.01 * SPEED, 0.0))
    pressure = 0.5 * p.density * SPEED**2
    lift = pressure * 0.5 * count * p.blade_slope * p.blade_area * p.blade_upwash * 0.01
    lift *= p.blade_carry
    assert force[0] == pytest.approx(-lift, rel=1e-4)
    assert abs(force[1]) < 1e-12
    assert abs(roll) < 1e-15


@pytest.mark.parametrize("count", [2.0, 3.0, 4.0])
def test_roll_damping_by_hand(count: float) -> None:
    """Every blade brakes the spin by arm·slope·area·½ρu²·(r·ω/u), whatever the crossflow."""
    p = PLAIN._replace(blade_count=count)
    spin = 20.0
    unit = 0.5 * p.density * SPEED * count * p.blade_slope * p.blade_area * p.blade_arm
    for across in ((0.0, 0.0), (0.6, 0.2)):
        roll = _push(p, across, spin)[1]
        assert roll == pytest.approx(-unit * p.blade_spin_radius * spin, rel=1e-4)


@pytest.mark.parametrize("angle", [0.0, 0.3, 1.0, np.pi / 2, 2.0, 4.0])
def test_two_blades_lift_square_to_their_plane(angle: float) -> None:
    """Along the crossflow 2·sin² of the mean, across it −sin·cos: nothing along the blades."""
    w = 0.01 * SPEED
    force, _ = _push(_turned(angle), (w, 0.0))
    p = TWO_BLADES
    whole = p.density * SPEED * p.blade_slope * p.blade_area * p.blade_upwash * w
    whole *= p.blade_carry
    expected = whole * np.sin(angle) * np.array([-np.sin(angle), np.cos(angle)])
    np.testing.assert_allclose(force, expected, atol=2e-4 * whole)


@settings(max_examples=40)
@given(across=st.floats(0.0, 12.0), spin=st.floats(-200.0, 200.0))
def test_two_blades_on_the_mean_are_half_of_four(across: float, spin: float) -> None:
    """Averaged over even steps of roll, force and roll moment are half those of four blades."""
    turns = np.linspace(0.0, 2.0 * np.pi, 64, endpoint=False)
    pushes = [_push(_turned(float(turn)), (across, 0.0), spin) for turn in turns]
    mean = np.mean([force for force, _ in pushes], axis=0)
    four, roll = _push(PLAIN._replace(blade_count=4.0), (across, 0.0), spin)
    np.testing.assert_allclose(mean, 0.5 * four, rtol=1e-4, atol=1e-7)
    assert np.mean([one for _, one in pushes]) == pytest.approx(0.5 * roll, rel=1e-4, abs=1e-9)


def test_the_mean_is_not_that_of_any_one_angle() -> None:
    along, square = (_push(_turned(a), (0.85, 0.0))[0][0] for a in (0.0, np.pi / 2))
    assert along == pytest.approx(0.0, abs=1e-12)
    p = TWO_BLADES
    whole = p.density * SPEED * p.blade_slope * p.blade_area * p.blade_upwash * 0.85
    whole *= p.blade_carry
    assert square == pytest.approx(-whole, rel=1e-3)


def _about_x(angle: float) -> FloatArray:
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[1.0, 0.0, 0.0], [0.0, c, -s], [0.0, s, c]])


@settings(max_examples=40)
@given(
    angle=st.floats(-3.2, 3.2),
    yaw=st.floats(-0.1, 0.1),
    pitch=st.floats(-0.1, 0.1),
    rate=st.floats(-3.0, 3.0),
    spin=st.floats(-100.0, 100.0),
)
def test_turning_everything_turns_the_answer(
    angle: float, yaw: float, pitch: float, rate: float, spin: float
) -> None:
    """Arrow, blades, crossflow and rates turned about the line of flight: so are the results."""
    p = TWO_BLADES._replace(gravity_up=0.0)
    state = launch_state(yaw=yaw, pitch=pitch, yaw_rate=rate, pitch_rate=-rate, spin=spin)
    turn = _about_x(angle)

    def turned(values: FloatArray) -> FloatArray:
        out = values.copy()
        for start in (0, 3, 6, 9, 13):
            out[start : start + 3] = turn @ values[start : start + 3]
        return out

    np.testing.assert_allclose(
        rates(turned(state), p), turned(rates(state, p)), rtol=1e-9, atol=1e-8
    )


def test_turning_the_blades_alone_changes_the_flight() -> None:
    """Else the tests above prove nothing: 0.2° of yaw, one way and the other."""
    start = launch_state(yaw=0.003)
    flat, upright = (
        fly_to_planes(start, _turned(a), [20 * YARD], 0.29).states[0, 2] for a in (np.pi / 2, 0.0)
    )
    assert abs(flat - upright) > 1e-4


def test_mirror() -> None:
    """Left and right changed round, blades and spin too: the flight is mirrored."""
    p = TWO_BLADES._replace(vane_offset_sine=0.0, vane_offset_cosine=1.0)
    mirrored = p._replace(blade_sine=-p.blade_sine)
    one, other = (
        launch_state(yaw=0.01, yaw_rate=0.5, pitch=0.004, spin=60.0),
        launch_state(yaw=-0.01, yaw_rate=-0.5, pitch=0.004, spin=-60.0),
    )
    right = fly_to_planes(one, p, [40 * YARD], 0.29, tolerance=1e-8).states[0]
    left = fly_to_planes(other, mirrored, [40 * YARD], 0.29, tolerance=1e-8).states[0]
    assert right[2] == pytest.approx(-left[2], abs=1e-7)
    assert right[1] == pytest.approx(left[1], abs=1e-7)
    assert right[12] == pytest.approx(-left[12], rel=1e-6)


def test_spinning_fast_two_blades_become_their_mean() -> None:
    """Against four of half the area, which have the same mean force and the same roll damping.

    What is left is the first half turn, so it falls with the spin at least in proportion.
    """
    mean = TWO_BLADES._replace(blade_count=4.0, blade_area=0.5 * TWO_BLADES.blade_area)
    still = {"vane_spin_radius": 0.0, "blade_arm": 0.0, "vane_arm": 0.0}  # nothing brakes the spin
    gaps = []
    for spin in (30.0, 120.0, 480.0):
        start = launch_state(yaw=0.01, yaw_rate=0.5, spin=spin)
        real, smooth = (
            fly_to_planes(start, p._replace(**still), [30 * YARD], 0.29, tolerance=1e-8)
            for p in (TWO_BLADES, mean)
        )
        assert real.states[0, 12] == pytest.approx(spin, rel=1e-6)
        gaps.append(float(np.linalg.norm(real.states[0, :3] - smooth.states[0, :3])))
    assert gaps[0] > 4.0 * gaps[1] > 0.0
    assert gaps[1] > 4.0 * gaps[2]


def test_the_wake_fades_with_the_angle_and_lies_behind() -> None:
    p = BROADHEAD
    assert wake_share(p, SPEED, (0.0, 0.0, 0.0)) == p.blade_wake
    half = SPEED * np.sqrt(1.0 / p.blade_wake_spread)
    assert wake_share(p, SPEED, (0.0, half, 0.0)) == pytest.approx(0.5 * p.blade_wake)
    assert wake_share(p, -SPEED, (0.0, 1.0, 0.0)) == 0.0


def test_the_wake_remembers_where_the_nose_was() -> None:
    """A turning nose without crossflow: the vanes feel share × (x_b + run)·Ω less of it."""
    rate = 0.2
    start = launch_state(yaw_rate=rate)
    p = BROADHEAD._replace(crossflow_factor=0.0, gravity_up=0.0, blade_wake_spread=0.0)
    bald = p._replace(vane_count=0.0)
    without, with_wake, plain = (
        rates(start, one)[5] for one in (p._replace(blade_wake=0.0), p, bald)
    )
    gained = (with_wake - plain) / (without - plain) - 1.0
    station = 2.0 * p.blade_position - p.vane_position
    assert gained == pytest.approx(-p.blade_wake * station / p.vane_position, rel=1e-3)
    assert gained > 0.4


def test_the_wake_weakens_the_vanes_and_nothing_else() -> None:
    """At a small angle the vanes' push falls by share × (blades' crossflow ÷ vanes' crossflow)."""
    start = launch_state(yaw=0.001)
    bald = BROADHEAD._replace(vane_count=0.0)
    without, with_wake, plain = (
        rates(start, p)[5] for p in (BROADHEAD._replace(blade_wake=0.0), BROADHEAD, bald)
    )
    loss = (without - with_wake) / (without - plain)
    assert loss == pytest.approx(0.18, rel=0.01)
