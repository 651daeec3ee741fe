"""The bending stroke against an independent integration of every beam node in time."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp, trapezoid

from demo import INCH, MAPLE
from push import push_in_shot
from vireton.bow.arrow import assemble, bending_stiffness
from vireton.bow.bow import DrawCurve
from vireton.launch.beam import build, modes, shape_functions
from vireton.launch.bending import (
    BendingParameters,
    along_string,
    riding_mass,
    through_bending_stroke,
)
from vireton.launch.draw_force import Draw, push_table
from vireton.launch.stroke import StrokeParameters, string_stiffness, through_stroke

ARROW = assemble(MAPLE)
EI = bending_stiffness(0.40 * INCH)
STRAIGHT = np.zeros((4, 1))
PUSH = push_table(Draw(267.0, 53.0, 0.527, DrawCurve(), 1.4))
IN_SHOT = push_in_shot(267.0, 53.0, 0.527, 1.4)
BASE = StrokeParameters(
    stroke=0.527,
    bow_mass=0.0045,
    mass=ARROW.mass,
    inertia=ARROW.transverse_inertia,
    arm=ARROW.balance,
    string_mass=0.006,
    cam_mobility=1.0 / 0.2,
    cam_stiffness=10_000.0,
    cam_damping=4.0,
    steady_acceleration=0.0,
    guided=0.0,
    let_go=0.45 * 0.527,
    rest_at_full_draw=0.527 + 0.165,
    offset=0.8e-3,
)
SPRING = BendingParameters(
    stiffness=EI,
    damping=0.0,
    rest_stiffness=5000.0,
    rest_damping=1.5,
    one_sided=0.0,
    nock_stiffness=0.0,
    idler_half_span=0.0,
    kick=0.0,
    element=float(build(ARROW).nodes[1]),
)
#: A shaft that turns at 0.12 rad/s. With the cams' mass in, that of ``SPRING`` stands where the
#: turning changes sign with the spine (0.01 rad/s; 0.12 at 0.30 in, -0.10 at 0.50 in): there
#: nothing can be compared in proportion.
STIFF = SPRING._replace(stiffness=bending_stiffness(0.30 * INCH))


def at_rest(shapes, q, b):
    """Amplitudes with the shaft straight from the nock to the rest."""
    turn = q.offset / q.rest_at_full_draw
    beam = build(ARROW)
    line = turn * (beam.turn + ARROW.balance * beam.shift)
    full = np.zeros((line.size, shapes.place.shape[1]))
    full[0::2], full[1::2] = shapes.place, shapes.slope
    return full.T @ beam.mass @ line


def run(q=BASE, b=SPRING, flexible=5, steps=800):
    """[place, rate, angle, turning] of the rigid part at release."""
    shapes = modes(ARROW, pinned=q.guided > 0.0, flexible=flexible)
    x, v = through_bending_stroke(
        q,
        b,
        PUSH,
        STRAIGHT,
        shapes.square_per_stiffness,
        shapes.place,
        shapes.slope,
        shapes.thrust,
        shapes.shift,
        at_rest(shapes, q, b),
        steps,
    )
    x, v = x[:-1], v[:-1]
    mass, inertia = ARROW.mass, ARROW.transverse_inertia
    return np.array(
        [
            shapes.shift @ x / mass,
            shapes.shift @ v / mass,
            shapes.turn @ x / inertia,
            shapes.turn @ v / inertia,
        ]
    )


def in_time(q, b, energies, kick=0.0, elements=12, rtol=1e-8):
    """The same by every node of a coarser beam, in time, with scipy: no modes, no σ.

    ``energies`` is filled: what moves and what is bent at release, and the work of string, column
    load and rest across the arrow until then.
    """
    beam = build(ARROW, elements)
    size = beam.shift.size
    h = beam.nodes[1]
    mass = beam.mass.copy()
    mass[0, 0] += q.string_mass
    free = np.arange(1 if q.guided else 0, size)
    inverse = np.linalg.inv(mass[np.ix_(free, free)])
    total = q.mass + q.bow_mass

    def rates(_, z, held):
        traveled, speed = z[:2]
        w, w_rate = np.zeros(size), np.zeros(size)
        w[free] = z[2 : 2 + free.size]
        w_rate[free] = z[2 + free.size : 2 + 2 * free.size]
        cam, cam_rate = z[-2:]
        draw = max(q.stroke - traveled, 1e-7)
        a = IN_SHOT(draw) / total
        load = a * beam.thrust @ w - b.stiffness * beam.bending @ w
        load += q.steady_acceleration * beam.mass @ beam.shift
        cam_second = 0.0
        if not q.guided:
            pull = (q.mass + q.string_mass) * a / draw * (w[0] - cam)
            load[0] -= pull
            held_back = q.cam_stiffness * cam + q.cam_damping * cam_rate
            cam_second = q.cam_mobility * (pull - held_back)
        if held:
            at = q.rest_at_full_draw - traveled
            i = min(int(at / h), len(beam.nodes) - 2)
            value, slope = shape_functions(np.array([at - i * h]), float(h))
            here = slice(2 * i, 2 * i + 4)
            gap = value[:, 0] @ w[here] - q.offset
            gap_rate = value[:, 0] @ w_rate[here] - speed * slope[:, 0] @ w[here]
            load[here] -= (b.rest_stiffness * gap + b.rest_damping * gap_rate) * value[:, 0]
        # what pushes the shaft across does this work; bending stores its share of it
        pushed = load + b.stiffness * beam.bending @ w
        power = pushed @ w_rate
        rates_of = z[2 + free.size : 2 + 2 * free.size]
        return np.concatenate(
            [[speed, a], rates_of, inverse @ load[free], [power, cam_rate, cam_second]]
        )

    def let_go(_, z, held):
        return z[0] - q.let_go

    def released(_, z, held):
        return z[0] - q.stroke

    for event in (let_go, released):
        event.terminal = True
    line = q.offset / q.rest_at_full_draw * (beam.turn + ARROW.balance * beam.shift)
    z = np.concatenate([[0.0, 0.0], line[free], np.zeros(free.size + 3)])
    if kick:
        # an impulse at the nock sets it off at this speed
        z[2 + free.size : 2 + 2 * free.size] = kick * inverse[:, 0] / inverse[0, 0]
    for held, event in ((True, let_go), (False, released)):
        done = solve_ivp(
            rates, (0.0, 1.0), z, "LSODA", events=event, args=(held,), rtol=rtol, atol=1e-3 * rtol
        )
        z = done.y[:, -1]
    w, w_rate = np.zeros(size), np.zeros(size)
    w[free], w_rate[free] = z[2 : 2 + free.size], z[2 + free.size : 2 + 2 * free.size]
    kinetic = 0.5 * w_rate @ mass @ w_rate
    strain = 0.5 * b.stiffness * w @ beam.bending @ w
    energies.update(kinetic=kinetic, strain=strain, work=z[-3], cams=z[-2:])
    shift, turn = beam.mass @ beam.shift, beam.mass @ beam.turn
    return np.array(
        [
            shift @ w / ARROW.mass,
            shift @ w_rate / ARROW.mass,
            turn @ w / ARROW.transverse_inertia,
            turn @ w_rate / ARROW.transverse_inertia,
        ]
    )


@pytest.mark.parametrize("let_go", [0.3, 0.7])
@pytest.mark.parametrize("guided", [0.0, 1.0])
def test_agrees_with_every_node_in_time(let_go, guided):
    q = BASE._replace(let_go=let_go * BASE.stroke, guided=guided)
    theirs = in_time(q, STIFF, {})
    # twelve shapes of a fine beam against all of a coarse one
    assert run(q, STIFF, flexible=12, steps=6000) == pytest.approx(theirs, rel=2e-3)


@pytest.mark.parametrize("spine", [0.30, 0.34, 0.40, 0.50])
def test_five_shapes_are_enough(spine):
    """Within 0.002 rad/s of the yaw rate of twelve: a fiftieth of what plausible bows differ by."""
    b = SPRING._replace(stiffness=bending_stiffness(spine * INCH), damping=0.015)
    best = run(b=b, flexible=12, steps=6000)[3]
    errors = [abs(run(b=b, flexible=n, steps=3000)[3] - best) for n in (1, 5)]
    assert errors[1] < 2e-3
    assert errors[1] < errors[0]


@pytest.mark.parametrize("guided", [0.0, 1.0])
def test_energy_balance(guided):
    """Work across = what moves + what is bent, and our shapes hold the same two.

    A guided nock does no work across; the shaft starts straight and at rest.
    """
    q = BASE._replace(guided=guided)
    found = {}
    in_time(q, SPRING, found)
    assert found["kinetic"] + found["strain"] == pytest.approx(found["work"], rel=1e-4)
    shapes = modes(ARROW, pinned=guided > 0.0, flexible=12)
    x, v = through_bending_stroke(
        q,
        SPRING,
        PUSH,
        STRAIGHT,
        shapes.square_per_stiffness,
        shapes.place,
        shapes.slope,
        shapes.thrust,
        shapes.shift,
        at_rest(shapes, q, SPRING),
        6000,
    )
    cams, x, v = np.array([x[-1], v[-1]]), x[:-1], v[:-1]
    assert cams == pytest.approx(found["cams"], rel=5e-3)
    string = 0.0 if guided else 0.5 * q.string_mass * float(shapes.place[0] @ v) ** 2
    kinetic = 0.5 * float(v @ v) + string
    strain = 0.5 * EI * float(np.sum(shapes.square_per_stiffness * x**2))
    assert kinetic == pytest.approx(found["kinetic"], rel=5e-3)
    assert strain == pytest.approx(found["strain"], rel=2e-2)


def test_converges_in_steps():
    best = run(steps=6400)
    # m, m/s, rad, rad/s: of what such launches have, for one of them may come out near nothing
    usual = np.array([1e-3, 0.15, 3e-3, 0.15])
    errors = [(np.abs(run(steps=n) - best) / usual).max() for n in (100, 400)]
    assert errors[1] < errors[0] / 16.0
    assert errors[1] < 1e-5


@pytest.mark.parametrize("guided", [0.0, 1.0])
def test_without_bending_and_with_a_hard_rest_it_is_the_rigid_launch(guided):
    q = BASE._replace(guided=guided)
    hard = SPRING._replace(rest_stiffness=5e6, rest_damping=2 * 0.3 * np.sqrt(5e6 * 0.006))
    y, y_rate, psi, psi_rate = through_stroke(q, PUSH, STRAIGHT, 640)[:4]
    rigid = [y + q.arm * psi, y_rate + q.arm * psi_rate, psi, psi_rate]
    assert run(q, hard, flexible=0, steps=8000) == pytest.approx(rigid, rel=4e-3)


def test_linear_in_the_offset_while_the_rest_holds_both_ways():
    assert run(BASE._replace(offset=-2 * BASE.offset)) == pytest.approx(-2 * run(), rel=1e-9)


def test_a_one_sided_rest_only_pushes_up():
    up = BASE._replace(guided=1.0, steady_acceleration=-9.80665)
    far_below = up._replace(offset=-0.05)
    # a rest far below a level shaft: nothing to push against, so it flies as without a rest
    none = SPRING._replace(rest_stiffness=0.0, rest_damping=0.0)
    shapes = modes(ARROW, pinned=True)
    level = np.zeros(shapes.shift.size)
    args = (
        PUSH,
        STRAIGHT,
        shapes.square_per_stiffness,
        shapes.place,
        shapes.slope,
        shapes.thrust,
        shapes.shift,
        level,
        400,
    )
    free = through_bending_stroke(far_below, none, *args)
    assert through_bending_stroke(far_below, SPRING._replace(one_sided=1.0), *args) == (
        pytest.approx(free, abs=1e-12)
    )


def test_a_kick_sets_the_nock_off_and_nothing_else():
    still = BASE._replace(offset=0.0)
    assert np.abs(run(still)).max() == 0.0
    kicked = run(still, SPRING._replace(kick=0.1))
    assert kicked == pytest.approx(-run(still, SPRING._replace(kick=-0.1)), rel=1e-9)
    assert np.abs(kicked[3]) > 0.01


def test_a_kick_to_the_right_is_one_to_the_right():
    still = BASE._replace(offset=0.0)
    ours = run(still, SPRING._replace(kick=0.1), flexible=12, steps=6000)
    theirs = in_time(still, SPRING, {}, kick=0.1, elements=4, rtol=1e-6)
    # m, m/s, rad, rad/s: so coarse a beam is a little stiffer
    assert (np.abs(ours - theirs) < [2e-5, 5e-3, 1e-4, 2e-2]).all()
    assert theirs[1] < 0.0  # the string has thrown it back by then


def test_the_damper_of_a_one_sided_rest_never_pulls():
    """Nose up, the push lifts the shaft off the rest."""
    q = BASE._replace(guided=1.0, offset=0.05, let_go=0.1 * BASE.stroke)
    shapes = modes(ARROW, pinned=True, flexible=0)
    tables = (shapes.square_per_stiffness, shapes.place, shapes.slope, shapes.thrust, shapes.shift)
    start = at_rest(shapes, q._replace(offset=1e-3), SPRING)

    def end(**changes):
        b = SPRING._replace(rest_stiffness=0.0, **changes)
        return through_bending_stroke(q, b, PUSH, STRAIGHT, *tables, start, 400)[0, 0]

    free = end(rest_damping=0.0)
    assert end(rest_damping=5.0, one_sided=1.0) == free
    assert end(rest_damping=5.0, one_sided=0.0) != pytest.approx(free, rel=1e-3)


def test_a_stiff_nock_resists_the_turn():
    q = BASE._replace(guided=1.0)
    resisted = run(q, SPRING._replace(nock_stiffness=2.0), flexible=0)
    assert abs(resisted[2]) < abs(run(q, flexible=0)[2])


def test_damping_takes_energy_from_the_bending_only_a_little():
    damped, free = run(b=STIFF._replace(damping=0.015)), run(b=STIFF)
    assert damped == pytest.approx(free, rel=0.1)
    assert not np.allclose(damped, free, rtol=1e-6)


# the string


def test_sideways_stiffness_is_that_of_a_loaded_string():
    """A string of tension T over a half span s, drawn D, pulled y across: its length × T."""
    span, draw, tension = 0.42, 0.3, 500.0

    def energy(y, d=draw):
        return 2.0 * tension * np.sqrt(span**2 + d**2 + y**2)

    eps = 1e-4
    across = (energy(eps) - 2 * energy(0.0) + energy(-eps)) / eps**2
    pull = (energy(0.0, draw + eps) - energy(0.0, draw - eps)) / (2 * eps)
    assert across == pytest.approx(pull / draw, rel=1e-5)


def test_stiffness_along_the_string_over_an_idler():
    """Halves that keep their sum: the nock moves on an ellipse about the cams."""
    half, draw = 0.42, 0.3
    length = 2 * np.hypot(half, draw)

    def behind(y):
        low, high = 0.0, 1.0
        for _ in range(80):
            x = 0.5 * (low + high)
            summed = np.hypot(half + y, x) + np.hypot(half - y, x)
            low, high = (x, high) if summed < length else (low, x)
        return x

    eps = 1e-3
    curvature = -(behind(eps) - 2 * behind(0.0) + behind(-eps)) / eps**2
    b = SPRING._replace(idler_half_span=half)
    across = string_stiffness(BASE, BASE.stroke - draw, 1.0)
    pull = BASE.mass + BASE.string_mass  # at an acceleration of 1
    assert across == pytest.approx(pull / draw)
    assert across * along_string(b, draw) == pytest.approx(pull * curvature, rel=1e-4)
    assert along_string(SPRING, draw) == 1.0


def test_the_riding_string_has_its_kinetic_energy():
    """Each half slides along itself at s/L and swings its nock end at D/L (unit speed up)."""
    half, draw = 0.42, 0.3
    length = np.hypot(half, draw)
    b = SPRING._replace(idler_half_span=half)
    share = np.linspace(0.0, 1.0, 2001)
    squares = (half / length) ** 2 + (share * draw / length) ** 2
    whole = 3.0 * BASE.string_mass
    assert riding_mass(BASE, b, draw) == pytest.approx(whole * trapezoid(squares, share), rel=1e-6)
    assert riding_mass(BASE, b, 0.0) == pytest.approx(whole)
    assert riding_mass(BASE, SPRING, draw) == BASE.string_mass
