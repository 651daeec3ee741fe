"""The power stroke against an independent integration in time by scipy."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from vireton.launch.draw_force import force
from vireton.launch.stroke import StrokeParameters, through_stroke

STRAIGHT = np.zeros((4, 1))
BASE = StrokeParameters(
    peak=267.0,
    holding=53.0,
    stroke=0.526,
    bow_mass=0.0045,
    mass=0.0263,
    inertia=1.7e-3,
    arm=0.407,
    string_mass=0.008,
    stiffness_factor=0.5,
    steady_acceleration=0.0,
    guided=0.0,
    let_go=0.4 * 0.526,
    rest_at_full_draw=0.526 + 0.165,
    offset=0.8e-3,
)


def in_time(q: StrokeParameters) -> np.ndarray:
    """[y, ẏ, ψ, ψ̇] at release, integrated in time with the rest's force as an unknown.

    Derived anew from force and moment balance, straight nock path: no shared code but the
    draw-force curve.
    """

    def rates(_, z, held):
        traveled, speed, y, y_rate, psi, psi_rate = z
        draw = max(q.stroke - traveled, 1e-9)
        push = force(draw, q.peak, q.holding, q.stroke)
        total = q.mass + q.bow_mass
        acceleration = push / total
        thrust = q.mass * acceleration
        # sideways the string pulls with its whole tension: that of arrow and its own moving third
        stiffness = q.stiffness_factor * (q.mass + q.string_mass) * acceleration / draw
        a = q.rest_at_full_draw - traveled
        # unknowns ÿ, ψ̈, rest force R, string force f
        system = np.array(
            [
                [q.mass, q.mass * q.arm, -1.0, -1.0],
                [0.0, q.inertia, -(a - q.arm), q.arm],
                [1.0, a, 0.0, 0.0] if held else [0.0, 0.0, 1.0, 0.0],
                [1.0, 0.0, 0.0, 0.0] if q.guided else [q.string_mass, 0.0, 0.0, 1.0],
            ]
        )
        known = np.array(
            [
                q.mass * q.steady_acceleration,
                thrust * q.arm * psi,
                2.0 * speed * psi_rate + acceleration * psi if held else 0.0,
                0.0 if q.guided else -stiffness * y,
            ]
        )
        y_second, psi_second, *_ = np.linalg.solve(system, known)
        return [speed, acceleration, y_rate, y_second, psi_rate, psi_second]

    def let_go(_, z, held):
        return z[0] - q.let_go

    def released(_, z, held):
        return z[0] - q.stroke

    for event in (let_go, released):
        event.terminal = True
    z = [0.0, 0.0, 0.0, 0.0, q.offset / q.rest_at_full_draw, 0.0]
    for held, event in ((True, let_go), (False, released)):
        run = solve_ivp(
            rates, (0.0, 1.0), z, "DOP853", events=event, args=(held,), rtol=1e-11, atol=1e-13
        )
        z = run.y[:, -1]
    return z[2:]


@pytest.mark.parametrize("let_go", [0.1, 0.4, 0.8])
@pytest.mark.parametrize("softness", [0.0, 1.0])
def test_sideways_agrees_with_time_integration(let_go, softness):
    q = BASE._replace(let_go=let_go * BASE.stroke, stiffness_factor=1.0 / (1.0 + softness))
    ours = through_stroke(q, STRAIGHT, 160)[:4]
    theirs = in_time(q)
    # y 1e-7 m, ẏ 1e-4 m/s, ψ 1e-6 rad, ψ̇ 1e-4 rad/s: a hundredth of a rest step's effect
    assert ours == pytest.approx(theirs, rel=2e-4, abs=1e-6)


@pytest.mark.parametrize("let_go", [0.1, 0.4, 0.8])
def test_upward_agrees_with_time_integration(let_go):
    q = BASE._replace(let_go=let_go * BASE.stroke, guided=1.0, steady_acceleration=-9.80665)
    ours = through_stroke(q, STRAIGHT, 160)[:4]
    assert ours == pytest.approx(in_time(q), rel=2e-4, abs=1e-6)


def test_converges_with_the_order_of_the_method():
    # classical Runge–Kutta: order 4 away from the corners of the force curve, at least 2 over them
    fine = through_stroke(BASE, STRAIGHT, 5120)[3]
    errors = [abs(through_stroke(BASE, STRAIGHT, n)[3] - fine) for n in (40, 640)]
    assert errors[1] < errors[0] / 16.0**2
    assert abs(through_stroke(BASE, STRAIGHT, 160)[3] / fine - 1.0) < 1e-4


def test_linear_in_the_offset():
    one = through_stroke(BASE, STRAIGHT, 160)[:4]
    three = through_stroke(BASE._replace(offset=-3.0 * BASE.offset), STRAIGHT, 160)[:4]
    assert three == pytest.approx(-3.0 * one, rel=1e-10)


def test_a_centered_rest_and_straight_nock_leave_nothing():
    assert np.abs(through_stroke(BASE._replace(offset=0.0), STRAIGHT, 160)[:4]).max() == 0.0


def test_the_rest_that_never_holds_leaves_only_the_starting_angle():
    """With no string give and no rest the column is an inverted pendulum from rest."""
    q = BASE._replace(guided=1.0, let_go=0.0)
    grown = through_stroke(q, STRAIGHT, 160)
    assert grown[2] > q.offset / q.rest_at_full_draw
    assert grown[3] > 0.0


def test_rest_that_holds_to_the_end_keeps_the_shaft_on_it():
    q = BASE._replace(let_go=BASE.stroke)
    y, _, psi, _, _ = through_stroke(q, STRAIGHT, 160)
    assert y + psi * (q.rest_at_full_draw - q.stroke) == pytest.approx(q.offset, abs=1e-12)


def test_time_of_the_stroke_matches_mean_speed():
    time = through_stroke(BASE, STRAIGHT, 160)[4]
    # between constant acceleration (2 s/v) and constant speed (s/v)
    final = np.sqrt(2 * 112.0 / (BASE.mass + BASE.bow_mass))
    assert BASE.stroke / final < time < 3.0 * BASE.stroke / final
