"""Rotation of a rigid body in vacuum: published case, exact motions, conserved quantities."""

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from bodies import VACUUM, pitching_state
from vireton.kernel.door import fly_to_planes, rates
from vireton.kernel.parameters import Parameters
from vireton.kernel.rigid import angular_rates

FloatArray = npt.NDArray[np.float64]

SLUG_FOOT_SQUARED = 14.593902937206364 * 0.3048**2  # kg·m², from the definitions of lbf and ft
#: NASA/TM-2015-218675 (NESC 6-DOF check cases), case 2: torque-free brick, slug·ft² and deg/s.
BRICK = np.array([0.00189422, 0.006211019, 0.007194665])
BRICK_RATES = np.array([10.0, 20.0, 30.0])
PUBLISHED = np.array([12.61842, -17.39744, 31.11960])


def _body(inertia: FloatArray) -> Parameters:
    return VACUUM._replace(
        inertia_axial=float(inertia[0]),
        inertia_across=float(inertia[1]),
        inertia_across_other=float(inertia[2]),
        gravity_up=0.0,
    )


def _start(body_rates: FloatArray) -> FloatArray:
    """1 m/s downrange, so that the plane at x = t is reached at time t; axes along x, y, z."""
    state = pitching_state(1.0, np.array([1.0, 0.0, 0.0]), np.zeros(3), float(body_rates[0]))
    state[10:12] = body_rates[1:]
    return state


def _axes(state: FloatArray) -> FloatArray:
    """Columns: the three body axes on the ground."""
    n, e = state[6:9], state[13:16]
    return np.column_stack([n, e, np.cross(n, e)])


def _body_rates(state: FloatArray) -> FloatArray:
    p, q, r = _axes(state).T @ state[9:12] + np.array([state[12], 0.0, 0.0])
    return np.array([p, q, r])


def _euler(inertia: FloatArray, body_rates: FloatArray, time: float) -> FloatArray:
    """Euler's equations in body axes by scipy: no attitude at all."""
    found = solve_ivp(
        lambda _, w: -np.cross(w, inertia * w) / inertia,
        (0.0, time),
        body_rates,
        method="DOP853",
        rtol=1e-13,
        atol=1e-15,
    )
    return np.asarray(found.y[:, -1])


def test_torque_free_brick_of_nesc_case_2() -> None:
    """p, q, r at 30 s. The published figures carry the rounding of the printed inertias.

    Half a unit in the last digit of Ixx alone moves them by up to 3.4e-4 deg/s, so closer
    agreement than that cannot be asked for; ours with Euler's equations is at 1e-7.
    """
    inertia, start = BRICK * SLUG_FOOT_SQUARED, np.radians(BRICK_RATES)
    result = fly_to_planes(_start(start), _body(inertia), [30.0], 0.0, tolerance=1e-10)
    assert result.times[0] == pytest.approx(30.0, abs=1e-9)
    flown = np.degrees(_body_rates(result.states[0]))
    np.testing.assert_allclose(flown, np.degrees(_euler(inertia, start, 30.0)), atol=1e-7)

    exact = np.degrees(_euler(BRICK, start, 30.0))  # rates depend on ratios of inertias only
    rounding = np.zeros(3)
    for axis, half_unit in enumerate((5e-9, 5e-10, 5e-10)):
        shifted = BRICK.copy()
        shifted[axis] += half_unit
        rounding += np.abs(np.degrees(_euler(shifted, start, 30.0)) - exact)
    assert rounding.max() < 5e-4
    assert np.all(np.abs(flown - PUBLISHED) < rounding)
    np.testing.assert_allclose(flown, PUBLISHED, atol=4e-5)  # what is found: 3e-5 deg/s


@settings(max_examples=25)
@given(
    inertia=st.tuples(*[st.floats(0.5, 1.0)] * 3),
    body_rates=st.tuples(*[st.floats(-3.0, 3.0)] * 3),
)
def test_energy_and_angular_momentum_are_kept_in_vacuum(
    inertia: tuple[float, float, float], body_rates: tuple[float, float, float]
) -> None:
    """Inertias between 0.5 and 1 always obey the triangle inequality of a real body."""
    assume(inertia[1] != inertia[2])  # else the reference vector is not carried
    moments, start = np.array(inertia), _start(np.array(body_rates))
    planes = [1.0, 3.0, 7.0]
    result = fly_to_planes(start, _body(moments), planes, 0.0, tolerance=1e-11)
    assert result.status == 0
    w = np.array(body_rates)
    for state in result.states:
        axes, rate = _axes(state), _body_rates(state)
        np.testing.assert_allclose(axes.T @ axes, np.eye(3), atol=1e-9)
        np.testing.assert_allclose(axes @ (moments * rate), moments * w, atol=1e-8)
        assert np.sum(moments * rate**2) == pytest.approx(np.sum(moments * w**2), abs=1e-8)


def test_spinning_top_precesses_about_its_angular_momentum() -> None:
    """Exact: without torque the axis of a symmetric body turns about L at |L|/I_across."""
    axial, across, spin, rate = 2.62e-7, 1.7e-3, 400.0, 1.5
    p = VACUUM._replace(
        inertia_axial=axial, inertia_across=across, inertia_across_other=across, gravity_up=0.0
    )
    start = pitching_state(1.0, np.array([1.0, 0.0, 0.0]), np.array([0.0, rate, 0.0]), spin)
    momentum = np.array([axial * spin, across * rate, 0.0])
    turn = momentum / across
    times = np.array([0.4, 2.0, 5.0])
    result = fly_to_planes(start, p, times, 0.0, tolerance=1e-11)
    pole = turn / np.linalg.norm(turn)
    for time, state in zip(times, result.states, strict=True):
        angle = np.linalg.norm(turn) * time
        n = start[6:9]
        along = np.dot(n, pole) * pole
        expected = along + np.cos(angle) * (n - along) + np.sin(angle) * np.cross(pole, n)
        np.testing.assert_allclose(state[6:9], expected, atol=1e-9)
        total = axial * state[12] * state[6:9] + across * state[9:12]
        np.testing.assert_allclose(total, momentum, atol=1e-11)
        assert state[12] == pytest.approx(spin, abs=1e-9)


def test_the_two_branches_meet_where_the_inertias_meet() -> None:
    """An all but symmetric body moves as the symmetric one does."""
    n = np.array([0.9, 0.3, -0.2])
    state = pitching_state(50.0, n, np.array([3.0, -2.0, 5.0]), 150.0)
    body = VACUUM._replace(
        constant_area=0.01, constant_length=0.1, constant_moment_slope=-3.0, constant_damping=-20.0
    )
    nearly = body._replace(inertia_across_other=body.inertia_across * (1.0 + 1e-13))
    np.testing.assert_allclose(
        rates(state, nearly)[:13], rates(state, body)[:13], rtol=1e-9, atol=1e-8
    )


@settings(max_examples=50)
@given(
    inertia=st.tuples(*[st.floats(0.5, 1.0)] * 3),
    body_rates=st.tuples(*[st.floats(-50.0, 50.0)] * 3),
    moment=st.tuples(*[st.floats(-10.0, 10.0)] * 3),
    turn=st.tuples(*[st.floats(-1.0, 1.0)] * 3),
)
def test_newton_the_change_of_angular_momentum_is_the_moment(
    inertia: tuple[float, ...],
    body_rates: tuple[float, ...],
    moment: tuple[float, float, float],
    turn: tuple[float, ...],
) -> None:
    """d(Σ Iᵢ ωᵢ eᵢ)/dt = M on the ground, with ėᵢ = ω × eᵢ; both branches."""
    axes = np.linalg.qr(np.eye(3) + np.cross(np.eye(3), np.array(turn)))[0]
    axes[:, 2] = np.cross(axes[:, 0], axes[:, 1])
    p, q, r = body_rates
    across = q * axes[:, 1] + r * axes[:, 2]
    for moments in (np.array(inertia), np.array([inertia[0], inertia[1], inertia[1]])):
        axis_rate, swing, spin_rate, _ = angular_rates(
            tuple(axes[:, 0]), tuple(across), p, tuple(axes[:, 1]), moment, tuple(moments)
        )
        w = across + p * axes[:, 0]
        np.testing.assert_allclose(axis_rate, np.cross(w, axes[:, 0]), atol=1e-11)
        w_rate = np.array(swing) + spin_rate * axes[:, 0] + p * np.array(axis_rate)
        tensor = axes @ np.diag(moments) @ axes.T
        change = tensor @ w_rate + np.cross(w, tensor @ w)
        np.testing.assert_allclose(change, moment, atol=1e-9)
        # the rate across stays across: d(ω_t · n)/dt = 0
        assert np.dot(swing, axes[:, 0]) + np.dot(across, axis_rate) == pytest.approx(0, abs=1e-9)
