"""Sideways dynamics of a bending shaft through the power stroke, in one plane.

The shaft's place off the bore line is w(x, t) = Σ φᵢ(x) qᵢ(t), with a few shapes of the free beam
or of the beam pinned at its nock (:mod:`vireton.launch.beam`). With a the acceleration along the
bore line, f the string's pull across it and R the rest's push at its place x_r(t) on the shaft:

    q̈ᵢ + 2ζωᵢ q̇ᵢ + ωᵢ² qᵢ = a Σⱼ Gᵢⱼ qⱼ + φᵢ(0) f + φᵢ(x_r) R + φᵢ′(0) T + sᵢ g

G is the geometric stiffness of the column load (the mass ahead of x times a, its direction fixed
along the bore line): it holds the inverted pendulum of the rigid shaft and its buckling. sᵢ g is
the weight. The string: f = k (path − y) − μ ÿ as for the rigid shaft, or, up and down on tied cams,
the nock kept on its path. T = −k_nock·(slope at the nock) is the optional stiffness of the nock's
fit. What holds the string's ends gives sideways too, with its mass, spring and damper, as for the
rigid shaft: its place is the last of the amplitudes.

The rest is a spring and damper against the shaft's own place over it, until it lets go; a one-sided
rest only pushes up. The independent variable is σ = √(distance traveled), as in ``stroke``.
"""

from typing import NamedTuple

import numpy as np

from vireton.kernel.compiled import compiled, inlined
from vireton.launch.stroke import StrokeParameters, axial_motion, path_at, string_stiffness


class BendingParameters(NamedTuple):
    """One arrow on one bow, one plane, beyond :class:`~vireton.launch.stroke.StrokeParameters`."""

    stiffness: float  # EI, N·m²
    damping: float  # ratio to critical of each bending shape
    rest_stiffness: float  # N/m
    rest_damping: float  # N·s/m
    one_sided: float  # 1: the rest only pushes up
    nock_stiffness: float  # N·m/rad against a turn of the nock from the bore line
    idler_half_span: float  # m from nock to cam; 0: sideways, where the string pulls with F/D
    kick: float  # m/s across, given to the nock by the release
    element: float  # m, length of the beam's elements


@inlined
def along_string(b: BendingParameters, draw: float) -> float:
    """Pull back on a nock that is off along the string ÷ on one that is off across it.

    Over a free idler the two halves keep their sum, so the nock moves on an ellipse with the cams
    as its foci; at the end of its minor axis the radius of curvature is (s² + D²)/D, so a nock y
    off is pulled back with F·y·D/(s² + D²), where sideways it is F·y/D. 1 for sideways.
    """
    half = b.idler_half_span
    return draw * draw / (half * half + draw * draw) if half > 0.0 else 1.0


@inlined
def riding_mass(q: StrokeParameters, b: BendingParameters, draw: float) -> float:
    """Mass of the string that moves with a nock going across, kg.

    Sideways a third (``stroke``). Over a free idler a nock that goes up at 1 drags each half along
    itself at s/L and swings its nock end at D/L: m·(s² + D²/3)/L² with L² = s² + D², the whole
    string when it is straight. The wheel's own inertia is left out.
    """
    half = b.idler_half_span
    if half == 0.0:
        return q.string_mass
    return q.string_mass * (3.0 * half * half + draw * draw) / (half * half + draw * draw)


@inlined
def _along(table: np.ndarray, slope: np.ndarray, i: int, at: float, element: float) -> float:
    """A shape's value at ``at`` m from the nock, by the beam's own cubic pieces."""
    piece = min(max(int(at / element), 0), table.shape[0] - 2)
    s = at / element - piece
    rest = 1.0 - s
    return (
        rest * rest * (1.0 + 2.0 * s) * table[piece, i]
        + s * s * (3.0 - 2.0 * s) * table[piece + 1, i]
        + element * s * rest * (rest * slope[piece, i] - s * slope[piece + 1, i])
    )


@inlined
def _along_slope(table: np.ndarray, slope: np.ndarray, i: int, at: float, element: float) -> float:
    """Its slope there."""
    piece = min(max(int(at / element), 0), table.shape[0] - 2)
    s = at / element - piece
    rest = 1.0 - s
    return (
        6.0 * s * rest * (table[piece + 1, i] - table[piece, i]) / element
        + rest * (1.0 - 3.0 * s) * slope[piece, i]
        + s * (3.0 * s - 2.0) * slope[piece + 1, i]
    )


@inlined
def _accelerations(
    q: StrokeParameters,
    b: BendingParameters,
    push: np.ndarray,
    path: np.ndarray,
    squares: np.ndarray,
    place: np.ndarray,
    slope: np.ndarray,
    thrust: np.ndarray,
    shift: np.ndarray,
    held: bool,
    sigma: float,
    x: np.ndarray,
    v: np.ndarray,
    out: np.ndarray,
) -> float:
    """Fill ``out`` with q̈ and last c̈; return dt/dσ."""
    count = squares.size
    traveled, speed, accelerated, time_rate = axial_motion(q, push, sigma)
    nock, nock_slope, nock_bend = path_at(path, traveled, q.stroke)
    nock_acceleration = nock_bend * speed * speed + nock_slope * accelerated
    weight = q.steady_acceleration
    if q.guided > 0.0:
        weight -= nock_acceleration
    y = 0.0
    turn = 0.0
    for i in range(count):
        y += place[0, i] * x[i]
        turn += slope[0, i] * x[i]
    pull = 0.0
    out[count] = 0.0
    if q.guided == 0.0:
        cam = x[count]
        across = string_stiffness(q, traveled, accelerated)
        pull = across * along_string(b, max(q.stroke - traveled, 0.0)) * (nock + cam - y)
        held_back = q.cam_stiffness * cam + q.cam_damping * v[count]
        out[count] = -q.cam_mobility * (pull + held_back)
    hold = 0.0
    at = q.rest_at_full_draw - traveled
    if held:
        over = nock if q.guided > 0.0 else 0.0
        over_rate = nock_slope * speed if q.guided > 0.0 else 0.0
        for i in range(count):
            here = _along(place, slope, i, at, b.element)
            over += here * x[i]
            over_rate += here * v[i] - speed * _along_slope(place, slope, i, at, b.element) * x[i]
        hold = -b.rest_stiffness * (over - q.offset) - b.rest_damping * over_rate
        if b.one_sided > 0.0:
            # it cannot hold the shaft down, nor can its damper
            hold = max(hold, 0.0) if over < q.offset else 0.0
    twist = -b.nock_stiffness * turn
    projected = 0.0
    nock_mass = 0.0
    for i in range(count):
        square = squares[i] * b.stiffness
        total = (
            -square * x[i]
            - 2.0 * b.damping * np.sqrt(square) * v[i]
            + place[0, i] * pull
            + slope[0, i] * twist
            + shift[i] * weight
        )
        if hold != 0.0:
            total += _along(place, slope, i, at, b.element) * hold
        for j in range(count):
            total += accelerated * thrust[i, j] * x[j]
        out[i] = total
        projected += place[0, i] * total
        nock_mass += place[0, i] * place[0, i]
    if q.guided == 0.0:
        # part of the string rides on the nock: (1 + μ φφᵀ)⁻¹ by Sherman and Morrison
        riding = riding_mass(q, b, max(q.stroke - traveled, 0.0))
        factor = riding * projected / (1.0 + riding * nock_mass)
        for i in range(count):
            out[i] -= factor * place[0, i]
    return time_rate


@compiled
def through_bending_stroke(
    q: StrokeParameters,
    b: BendingParameters,
    push: np.ndarray,
    path: np.ndarray,
    squares: np.ndarray,
    place: np.ndarray,
    slope: np.ndarray,
    thrust: np.ndarray,
    shift: np.ndarray,
    start: np.ndarray,
    steps: int,
) -> np.ndarray:
    """Run both phases; return (2, m + 1): amplitudes and their rates at nock release.

    The last of either is the place of what holds the string's ends, m, and its rate.

    Args:
        q: arrow, bow and rest in this plane.
        b: bending, rest and string.
        push: (5, n), see :func:`vireton.launch.draw_force.push_table`.
        path: nock path in cubic pieces, (4, n).
        squares: ω² per EI, (m,).
        place: shapes at the nodes, (nodes, m).
        slope: their slopes.
        thrust: geometric matrix, (m, m).
        shift: the shapes' shares of the momentum across, (m,).
        start: amplitudes at full draw, (m,).
        steps: over the whole stroke, even in σ; classical Runge–Kutta.
    """
    count = squares.size
    x = np.zeros(count + 1)
    for i in range(count):
        x[i] = start[i]
    v = np.zeros(count + 1)
    if q.guided == 0.0 and b.kick != 0.0:
        # an impulse at the nock (on arrow and string) that sets it off at this speed
        compliance = 0.0
        for i in range(count):
            compliance += place[0, i] * place[0, i]
        for i in range(count):
            v[i] = b.kick * place[0, i] / compliance
    acceleration = np.zeros((4, count + 1))
    x_rates = np.zeros((4, count + 1))
    times = np.zeros(4)
    x_now = np.zeros(count + 1)
    v_now = np.zeros(count + 1)
    end_all = np.sqrt(q.stroke)
    middle = np.sqrt(min(max(q.let_go, 0.0), q.stroke))
    for phase in range(2):
        held = phase == 0
        begin = 0.0 if held else middle
        end = middle if held else end_all
        if end <= begin:
            continue
        number = max(8, int(np.ceil(steps * (end - begin) / end_all)))
        h = (end - begin) / number
        for k in range(number):
            sigma = begin + k * h
            for stage in range(4):
                ahead = 0.0 if stage == 0 else (h if stage == 3 else 0.5 * h)
                for i in range(count + 1):
                    x_now[i] = x[i]
                    v_now[i] = v[i]
                    if stage > 0:
                        x_now[i] += ahead * times[stage - 1] * x_rates[stage - 1, i]
                        v_now[i] += ahead * times[stage - 1] * acceleration[stage - 1, i]
                    x_rates[stage, i] = v_now[i]
                times[stage] = _accelerations(
                    q,
                    b,
                    push,
                    path,
                    squares,
                    place,
                    slope,
                    thrust,
                    shift,
                    held,
                    sigma + ahead,
                    x_now,
                    v_now,
                    acceleration[stage],
                )
            for i in range(count + 1):
                for stage in range(4):
                    share = h / 6.0 if stage in (0, 3) else h / 3.0
                    x[i] += share * times[stage] * x_rates[stage, i]
                    v[i] += share * times[stage] * acceleration[stage, i]
    result = np.empty((2, count + 1))
    # number by number: assigning rows makes numba compile its error texts, for three seconds
    for i in range(count + 1):
        result[0, i] = x[i]
        result[1, i] = v[i]
    return result
