"""The push of the string along the bore line: the static draw-force curve, and its share in a shot.

``draw`` is the nock's distance behind the straight string, 0 at brace height, ``stroke`` at full
draw. The curve is what a bow scale read (:func:`static_force` runs through the readings without
overshoot: Fritsch and Carlson 1980, "Monotone Piecewise Cubic Interpolation", SIAM Journal on
Numerical Analysis 17:238–246, with the slopes of Butland's harmonic mean, from memory), or else an
invented, typical shape (no source): a quarter sine up to the peak, a plateau, a half cosine down to
the holding weight, and the valley.

In a shot the string also stops limbs and cams where the thrust ends (Kooi, from memory: *On the
Mechanics of the Bow and Arrow*, 1983): what they hold of the energy goes over to the arrow late.
Near brace the tension, and with it the push 2T sin θ, therefore stands above the static one. A cam
whose turning inertia is J on a radius r adds some 2(J/r²)(v/s)² to the string's stiffness across
(string straight, s its half length, v the speed of the nock): as much again as the static one at
J/r² = 40 g and 85 m/s. Hence a factor of 1 to 2 in the last quarter of the stroke (our choice).
"""

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from vireton.bow.bow import Bow, DrawCurve
from vireton.kernel.arrays import FloatArray

#: Share of the stroke, from brace, in which the string stops limbs and cams (our choice).
STOPPING_SHARE = 0.25

#: Pieces of the table: the push is within 2e-5 of the peak, its integral exact.
_PIECES = 240


class Draw(NamedTuple):
    """What the push depends on: a part of the bow, and the key of what is kept."""

    peak: float  # N
    holding: float  # N
    stroke: float  # m
    curve: DrawCurve
    brace_tension: float  # tension in the shot near brace ÷ static tension, 1 or more


def draw_of(bow: Bow) -> Draw:
    """The bow's own."""
    return Draw(
        bow.draw_weight,
        bow.draw_weight * (1.0 - bow.let_off),
        bow.power_stroke,
        bow.draw_curve,
        bow.brace_tension,
    )


def static_force(draw: FloatArray, d: Draw) -> tuple[FloatArray, FloatArray]:
    """Force on a bow scale, N, and its slope, N/m, at ``draw`` (n,) m."""
    at = np.clip(np.asarray(draw, dtype=float), 0.0, d.stroke)
    if d.curve.points:
        return _through_readings(at, d.curve.points)
    peak, holding, stroke, curve = d.peak, d.holding, d.stroke, d.curve
    full = (1.0 - curve.valley) * stroke
    fall = min(curve.fall * stroke, full)
    rise = max(min(curve.rise * stroke, full - fall), 1e-3 * stroke)
    up = 0.5 * math.pi * np.minimum(at / rise, 1.0)
    share = math.pi * np.clip((at - full + fall) / fall, 0.0, 1.0)
    down = 0.5 * (peak - holding)
    falling = at > full - fall
    force = np.where(falling, holding + down * (1.0 + np.cos(share)), peak * np.sin(up))
    slope = np.where(
        falling, -down * math.pi / fall * np.sin(share), 0.5 * math.pi * peak / rise * np.cos(up)
    )
    return force, slope


def _through_readings(
    at: FloatArray, points: tuple[tuple[float, float], ...]
) -> tuple[FloatArray, FloatArray]:
    x, y = np.array([(0.0, 0.0), *points]).T
    width, secant = np.diff(x), np.diff(y) / np.diff(x)
    slope = np.zeros_like(y)
    slope[0], slope[-1] = secant[0], secant[-1]
    before, after = secant[:-1], secant[1:]
    same = before * after > 0.0
    first, second = 2.0 * width[1:] + width[:-1], width[1:] + 2.0 * width[:-1]
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (first + second) / (first / before + second / after)
    slope[1:-1] = np.where(same, mean, 0.0)
    a, b, c, d = _hermite(y, slope, width)
    piece = np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(width) - 1)
    over = at - x[piece]
    a, b, c, d = a[piece], b[piece], c[piece], d[piece]
    return d + over * (c + over * (b + over * a)), c + over * (2.0 * b + 3.0 * over * a)


def _hermite(
    value: FloatArray, slope: FloatArray, width: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Coefficients of the cubic in each piece, highest power first."""
    rise = np.diff(value) / width
    start, end = slope[:-1], slope[1:]
    return (
        (start + end - 2.0 * rise) / width**2,
        (3.0 * rise - 2.0 * start - end) / width,
        start,
        value[:-1],
    )


def stored_energy(d: Draw) -> float:
    """Work done in drawing the bow, J: the area under the static curve."""
    if d.curve.points:
        at = np.linspace(0.0, d.stroke, 4 * _PIECES + 1)
        return float(np.sum(_work(*static_force(at, d), at[1])))
    fall = min(d.curve.fall, 1.0 - d.curve.valley)
    rise = max(min(d.curve.rise, 1.0 - fall - d.curve.valley), 1e-3)
    plateau = 1.0 - rise - fall - d.curve.valley
    at_peak = d.peak * (2.0 / math.pi * rise + plateau + 0.5 * fall)
    return d.stroke * (at_peak + d.holding * (0.5 * fall + d.curve.valley))


def _work(force: FloatArray, slope: FloatArray, width: float) -> FloatArray:
    """Area under each Hermite cubic."""
    return 0.5 * width * (force[:-1] + force[1:]) + width**2 / 12.0 * (slope[:-1] - slope[1:])


def stopping(draw: FloatArray, d: Draw) -> tuple[FloatArray, FloatArray]:
    """Push in the shot ÷ static push, before the energy is balanced, and its slope, 1/m."""
    over = d.brace_tension - 1.0
    width = STOPPING_SHARE * d.stroke
    share = 0.5 * math.pi * np.minimum(np.asarray(draw, dtype=float) / width, 1.0)
    slope = -over * 0.5 * math.pi / width * np.sin(2.0 * share)
    return 1.0 + over * np.cos(share) ** 2, slope


@lru_cache(maxsize=256)
def push_table(d: Draw) -> FloatArray:
    """The push in the shot by the distance traveled from full draw, for
    :func:`vireton.launch.stroke.push_at`.

    Returns:
        (5, n): a cubic in each of n equal pieces, highest power first, N; and the work done up to
        where the piece begins, J. The whole work is the stored energy, whatever the shape.
    """
    traveled = np.linspace(0.0, d.stroke, _PIECES + 1)
    draw = d.stroke - traveled
    draw[-1] = 0.0
    force, by_draw = static_force(draw, d)
    factor, factor_by_draw = stopping(draw, d)
    value = force * factor
    slope = -(by_draw * factor + force * factor_by_draw)
    width = float(traveled[1])
    scale = stored_energy(d) / float(np.sum(_work(value, slope, width)))
    value, slope = scale * value, scale * slope
    table = np.empty((5, _PIECES))
    table[:4] = _hermite(value, slope, np.full(_PIECES, width))
    table[4] = np.concatenate([[0.0], np.cumsum(_work(value, slope, width))[:-1]])
    table.flags.writeable = False
    return table


def brace_stiffness(bow: Bow) -> float:
    """Pull of the undrawn string on a nock pushed aside, N/m: F/D as the draw D goes to nothing.

    The launch model's own stiffness across, before anything is shot: two halves of length s under
    the tension T pull back with 2T/s, and drawn by D with F = 2T·D/s. So it is the slope with which
    the draw force begins.
    """
    return float(static_force(np.zeros(1), draw_of(bow))[1][0])


def string_tension(stiffness: float, free_length: float) -> float:
    """The undrawn string's tension, N, by :func:`brace_stiffness`: 2T/s with s half its length."""
    return 0.25 * stiffness * free_length


def plucked_note(bow: Bow, free_length: float, mass_per_length: float) -> float:
    """Hz that the undrawn string sings between the cams, √(T/μ)/(2L).

    Mersenne's law: Rayleigh 1877, *The Theory of Sound*, vol. I, ch. VI (transverse vibrations of a
    string; from memory). The cams, far heavier than the string and softly held, stand still.
    """
    tension = string_tension(brace_stiffness(bow), free_length)
    return math.sqrt(tension / mass_per_length) / (2.0 * free_length)


def highest_push(d: Draw) -> tuple[float, float]:
    """The largest static force, N, and the farthest draw, m, at which it still acts."""
    at = np.linspace(0.0, d.stroke, 4 * _PIECES + 1)
    force, _ = static_force(at, d)
    most = float(force.max())
    return most, float(at[np.flatnonzero(force >= (1.0 - 1e-9) * most)[-1]])
