"""The power stroke against an independent integration in time by scipy."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from push import push_in_shot
from vireton.bow.bow import DrawCurve
from vireton.launch.draw_force import Draw, push_table
from vireton.launch.stroke import StrokeParameters, through_stroke

STRAIGHT = np.zeros((4, 1))
DRAW = Draw(267.0, 53.0, 0.526, DrawCurve(), 1.4)
PUSH = push_table(DRAW)
IN_SHOT = push_in_shot(267.0, 53.0, 0.526, 1.4)
BASE = StrokeParameters(
    stroke=0.526,
    bow_mass=0.0045,
    mass=0.0263,
    inertia=1.7e-3,
    arm=0.407,
    string_mass=0.008,
    cam_mobility=1.0 / 0.2,
    cam_stiffness=10_000.0,
    cam_damping=5.0,
    steady_acceleration=0.0,
    guided=0.0,
    let_go=0.4 * 0.526,
    rest_at_full_draw=0.526 + 0.165,
    offset=0.8e-3,
)


def run(q: StrokeParameters, steps: int = 160, push: np.ndarray = PUSH) -> np.ndarray:
    return through_stroke(q, push, STRAIGHT, steps)


def in_time(q: StrokeParameters, series: float | None = None, energies=None) -> np.ndarray:
    """[y, ẏ, ψ, ψ̇] at release, integrated in time with the rest's force as an unknown.

    Derived anew from force and moment balance, straight nock path: no shared code. ``series``
    N/m: a spring without mass in place of the cams. ``energies`` is filled for the free phase: what
    moves and what is stretched at its two ends, and the work done.
    """

    def string(traveled):
        draw = max(q.stroke - traveled, 1e-9)
        push = IN_SHOT(draw)
        return push, (q.mass + q.string_mass) * push / (q.mass + q.bow_mass) / draw

    def held_in(z):
        """Kinetic and stretched energy across the arrow's path."""
        traveled, _, y, y_rate, _, psi_rate, cam, cam_rate, _ = z
        across = y_rate + q.arm * psi_rate
        moving = q.mass * across**2 + q.inertia * psi_rate**2 + q.string_mass * y_rate**2
        moving += cam_rate**2 / q.cam_mobility if q.cam_mobility else 0.0
        return 0.5 * (moving + q.cam_stiffness * cam**2 + string(traveled)[1] * (y - cam) ** 2)

    def rates(_, z, held):
        traveled, speed, y, y_rate, psi, psi_rate, cam, cam_rate, _ = z
        push, stiffness = string(traveled)
        total = q.mass + q.bow_mass
        acceleration = push / total
        thrust = q.mass * acceleration
        # sideways the string pulls with its whole tension: that of arrow and its own moving third
        own = stiffness
        if series is not None:
            stiffness = stiffness * series / (stiffness + series)
        stretched = y - cam
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
                0.0 if q.guided else -stiffness * stretched,
            ]
        )
        y_second, psi_second, *_ = np.linalg.solve(system, known)
        held_back = q.cam_stiffness * cam + q.cam_damping * cam_rate
        cam_second = 0.0 if q.guided else q.cam_mobility * (stiffness * stretched - held_back)
        # work from outside: of the column load, of the string that stiffens, and what damping takes
        later = string(traveled + 1e-7)[1]
        power = thrust * q.arm * psi * psi_rate - q.cam_damping * cam_rate**2
        power += 0.5 * (later - own) / 1e-7 * speed * stretched**2
        return [
            speed, acceleration, y_rate, y_second, psi_rate, psi_second, cam_rate, cam_second, power
        ]  # fmt: skip

    def let_go(_, z, held):
        return z[0] - q.let_go

    def released(_, z, held):
        return z[0] - q.stroke

    for event in (let_go, released):
        event.terminal = True
    z = np.zeros(9)
    z[4] = q.offset / q.rest_at_full_draw
    for held, event in ((True, let_go), (False, released)):
        before, z[8] = held_in(z), 0.0
        done = solve_ivp(
            rates, (0.0, 1.0), z, "DOP853", events=event, args=(held,), rtol=1e-10, atol=1e-12
        )
        z = done.y[:, -1]
    if energies is not None:
        energies.update(before=before, after=held_in(z), work=z[8])
    return z[2:8]


@pytest.mark.parametrize("let_go", [0.1, 0.4, 0.8])
@pytest.mark.parametrize("cam_mass", [0.1, 0.4])
def test_sideways_agrees_with_time_integration(let_go, cam_mass):
    q = BASE._replace(let_go=let_go * BASE.stroke, cam_mobility=1.0 / cam_mass)
    ours = run(q)[:6]
    theirs = in_time(q)
    # y 1e-7 m, ẏ 1e-4 m/s, ψ 1e-6 rad, ψ̇ 1e-4 rad/s: a hundredth of a rest step's effect
    assert ours == pytest.approx(theirs, rel=2e-4, abs=1e-6)


@pytest.mark.parametrize("let_go", [0.1, 0.4, 0.8])
def test_upward_agrees_with_time_integration(let_go):
    q = BASE._replace(let_go=let_go * BASE.stroke, guided=1.0, steady_acceleration=-9.80665)
    assert run(q)[:4] == pytest.approx(in_time(q)[:4], rel=2e-4, abs=1e-6)


def test_energy_across_the_path_is_that_put_in():
    """Arrow, string, cams and their springs gain what load, stiffening string and damper give."""
    found: dict[str, float] = {}
    ours, theirs = run(BASE)[:6], in_time(BASE, energies=found)
    assert found["after"] - found["before"] == pytest.approx(found["work"], rel=1e-5)
    y_rate, psi_rate, cam_rate = ours[1], ours[3], ours[5]
    across = y_rate + BASE.arm * psi_rate
    moving = BASE.mass * across**2 + BASE.inertia * psi_rate**2 + BASE.string_mass * y_rate**2
    moving += cam_rate**2 / BASE.cam_mobility + BASE.cam_stiffness * ours[4] ** 2
    end = IN_SHOT(1e-6) / 1e-6  # the string's push per draw at brace
    end *= (BASE.mass + BASE.string_mass) / (BASE.mass + BASE.bow_mass)
    moving += end * (ours[0] - ours[4]) ** 2
    assert 0.5 * moving == pytest.approx(found["after"], rel=1e-3)
    assert np.isfinite(theirs).all()


def test_cams_of_great_mass_or_on_a_hard_spring_stand_like_rocks():
    rocks = run(BASE._replace(cam_mobility=0.0))
    assert rocks[4] == 0.0
    heavy = run(BASE._replace(cam_mobility=1e-5))
    assert heavy[:4] == pytest.approx(rocks[:4], rel=1e-3)
    hard = run(BASE._replace(cam_stiffness=1e9), steps=12_000)
    assert hard[:4] == pytest.approx(rocks[:4], rel=1e-3)


@pytest.mark.parametrize("series", [1_000.0, 5_000.0])
def test_cams_without_mass_are_a_spring_in_series_with_the_string(series):
    # 1 mg, damped enough to follow without ringing
    light = BASE._replace(cam_mobility=1e6, cam_stiffness=series, cam_damping=0.03)
    expected = in_time(BASE._replace(cam_mobility=0.0, cam_damping=0.0), series=series)
    off = np.abs(run(light, steps=8000)[:4] - expected[:4])
    # m, m/s, rad, rad/s: a hundredth of what the offset does to each
    assert (off < [5e-6, 1e-3, 2e-5, 2e-3]).all()


def test_mass_keeps_the_cams_from_following():
    """Light cams on a soft spring move several times as far as heavy ones: they are no softness."""
    light = run(BASE._replace(cam_mobility=100.0, cam_stiffness=1_000.0))
    heavy = run(BASE._replace(cam_mobility=2.5, cam_stiffness=1_000.0))
    assert abs(heavy[4]) < 0.3 * abs(light[4])


def test_converges_with_the_order_of_the_method():
    # classical Runge–Kutta: order 4 away from the corners of the force curve, at least 2 over them
    fine = run(BASE, 5120)[3]
    errors = [abs(run(BASE, n)[3] - fine) for n in (40, 640)]
    assert errors[1] < errors[0] / 16.0**2
    assert abs(run(BASE)[3] / fine - 1.0) < 1e-4


def test_linear_in_the_offset():
    one = run(BASE)[:6]
    three = run(BASE._replace(offset=-3.0 * BASE.offset))[:6]
    assert three == pytest.approx(-3.0 * one, rel=1e-10)


def test_a_centered_rest_and_straight_nock_leave_nothing():
    assert np.abs(run(BASE._replace(offset=0.0))[:6]).max() == 0.0


def test_the_rest_that_never_holds_leaves_only_the_starting_angle():
    """With no string give and no rest the column is an inverted pendulum from rest."""
    q = BASE._replace(guided=1.0, let_go=0.0)
    grown = run(q)
    assert grown[2] > q.offset / q.rest_at_full_draw
    assert grown[3] > 0.0


def test_rest_that_holds_to_the_end_keeps_the_shaft_on_it():
    q = BASE._replace(let_go=BASE.stroke)
    y, _, psi, *_ = run(q)
    assert y + psi * (q.rest_at_full_draw - q.stroke) == pytest.approx(q.offset, abs=1e-12)


def test_time_of_the_stroke_matches_mean_speed():
    time = run(BASE)[6]
    # between constant acceleration (2 s/v) and constant speed (s/v)
    final = np.sqrt(2 * 112.0 / (BASE.mass + BASE.bow_mass))
    assert BASE.stroke / final < time < 3.0 * BASE.stroke / final
