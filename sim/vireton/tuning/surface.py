"""What bare and fletched arrows do, as short formulas fitted to real flights.

An inference asks for some hundred thousand flights; formulas answer them all at once. With
w = yaw rate + i·pitch rate and a = yaw + i·pitch, counted from a clean launch, a point or a tear is

    clean + w (b₁ + b₂ q) + a (b₃ + b₄ q) + b₅ direction,   q = √(|w/w₀|² + |a/a₀|²)

with five complex numbers b: it turns with the launch (an arrow has no up), and is odd in it. The
term in q is the crossflow, whose force goes with a square. Flights about which it is fitted are
missed by 0.1 in at 20 yd where bare shafts land half a foot off, by 1 % of a tear.
"""

from collections.abc import Sequence
from functools import cache

import numpy as np

from vireton.flight.volley import places_across
from vireton.kernel.arrays import ComplexArray, FloatArray
from vireton.kernel.door import fly_many, release
from vireton.tuning.observations import ShotArrow
from vireton.tuning.response import PLACES, Shooter

#: rad/s and rad: the launches at which the crossflow's part is as usual (our choice).
RATE, ANGLE = 1.0, 0.05
#: Farther off than this many the formula grows no steeper.
_FARTHEST = 4.0
_LAUNCHES = 32
_SPREAD = (0.7, 0.012, 0.01)  # rad/s, rad, rad: launches that it is fitted to
_TOLERANCE = 1e-4

#: Coefficients of a surface: clean, b₁ … b₅.
COEFFICIENTS = 6


def total(errors: FloatArray) -> tuple[ComplexArray, ComplexArray, ComplexArray]:
    """(rates, angles, directions), complex, of launch errors (…, 6)."""
    pairs = errors[..., ::2] + 1j * errors[..., 1::2]
    return pairs[..., 0], pairs[..., 1], pairs[..., 2]


def reach(rate: ComplexArray, angle: ComplexArray) -> FloatArray:
    """q of the formula."""
    size = (rate.real**2 + rate.imag**2) / RATE**2 + (angle.real**2 + angle.imag**2) / ANGLE**2
    return np.asarray(np.minimum(np.sqrt(size), _FARTHEST))


def turning(b: ComplexArray, rate: ComplexArray, angle: ComplexArray) -> ComplexArray:
    """What turning and yaw do, m; coefficients ``b`` (6,) or (6, n), the others broadcast."""
    q = reach(rate, angle)
    return np.asarray(rate * (b[1] + b[2] * q) + angle * (b[3] + b[4] * q))


def surfaces(
    shooter: Shooter, arrow: ShotArrow, targets: Sequence[float], papers: Sequence[float] = ()
) -> ComplexArray:
    """Coefficients (n + k, 6), complex, for points at ``targets`` and tears at ``papers``, m."""
    starts, errors = _launches(shooter.shots[arrow].start[PLACES])
    shot = shooter.shots[arrow]
    rows = np.repeat(shot.start[None], len(errors), axis=0)
    rows[:, PLACES] = starts
    n, k = len(targets), len(papers)
    stations = np.array([[*([shot.front] * (n + k)), *([shot.rear] * k)]]).repeat(len(rows), axis=0)
    bodies = np.repeat(shot.body[None], len(rows), axis=0)
    planes = [*targets, *papers, *papers]
    states = fly_many(
        release(rows, shooter.rig.bow.brace_height), bodies, planes, stations, _TOLERANCE
    ).states
    places = places_across(states, stations)
    seen = np.concatenate([places[:, :n], places[:, n + k :] - places[:, n : n + k]], axis=1)
    values = seen[..., 0] + 1j * seen[..., 1]
    return _fitted(values, errors)


def filmed(shooter: Shooter, arrow: ShotArrow, distance: float) -> ComplexArray:
    """Coefficients (2, 6) of the shaft where its balance point is ``distance`` m from the grip.

    First the rate at which it turns, rad/s, then its angle from the path of that point, rad.
    """
    starts, errors = _launches(shooter.shots[arrow].start[PLACES])
    shot = shooter.shots[arrow]
    rows = np.repeat(shot.start[None], len(errors), axis=0)
    rows[:, PLACES] = starts
    bodies = np.repeat(shot.body[None], len(rows), axis=0)
    states = fly_many(
        release(rows, shooter.rig.bow.brace_height), bodies, [distance], 0.0, _TOLERANCE
    ).states[:, 0]
    way, axis = states[:, 3:6], states[:, 6:9]
    turning_axis = np.cross(states[:, 9:12], axis)
    level = np.hypot(axis[:, 0], axis[:, 2])
    yaw_rate = (axis[:, 0] * turning_axis[:, 2] - axis[:, 2] * turning_axis[:, 0]) / level**2
    rate = yaw_rate + 1j * turning_axis[:, 1] / level
    flat = np.hypot(way[:, 0], way[:, 2])
    angle = (np.arctan2(axis[:, 2], axis[:, 0]) - np.arctan2(way[:, 2], way[:, 0])) + 1j * (
        np.arctan2(axis[:, 1], level) - np.arctan2(way[:, 1], flat)
    )
    return _fitted(np.column_stack([rate, angle]), errors)


def _fitted(values: ComplexArray, errors: FloatArray) -> ComplexArray:
    """Coefficients (n, 6) of values (m, n), seen for launch errors (m, 6), the clean one first."""
    rate, angle, direction = total(errors)
    q = reach(rate, angle)
    basis = np.column_stack([rate, rate * q, angle, angle * q, direction])[1:]
    found, *_ = np.linalg.lstsq(basis, values[1:] - values[0], rcond=None)
    return np.concatenate([values[:1], found]).T


def _launches(nominal: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Six numbers of the start, and the errors from a clean launch, (m, 6); clean first.

    The clean launch keeps the nominal direction: rates and angles alone are nothing. Each comes
    with its mirror image.
    """
    errors = _chosen()
    clean = nominal.copy()
    clean[:4] = 0.0
    return clean + errors, errors


@cache
def _chosen() -> FloatArray:
    chance = np.random.default_rng(1).standard_normal((_LAUNCHES, 6))
    errors = chance * np.repeat(_SPREAD, 2)
    mirrored = errors * np.tile([-1.0, 1.0], 3)
    return np.concatenate([np.zeros((1, 6)), errors, mirrored])
