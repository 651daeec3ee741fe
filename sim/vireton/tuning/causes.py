"""Launch errors from what causes them: the joint prior of turning, yaw, direction and bending.

A bow set up by eye is off because its rest or its nock is, because the nock travels aside with cams
that lean, or because the release kicks. What comes from one cause goes together: that is what lets
a single tear, which shows a little of the angle and a little of the turning, speak of the flight.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig, vary
from vireton.tuning.response import Planes, Shooter
from vireton.units.numbers import FOOT, INCH, YARD

#: What a launch is off by, in one plane: rad/s, rad, rad, m (at the nock, as it leaves the string).
ERRORS = ("rate", "angle", "direction", "bend")

_SHAPE = np.linspace(0.0, 1.0, 9)
_AT, _PAPER = 20.0 * YARD, 6.0 * FOOT


@dataclass(frozen=True)
class Causes:
    """How far a bow set up by eye is off: standard deviations. All are our choice, no source.

    ``rest`` m either way, a clear step of rests (common practice); ``nock_height`` m, which up and
    down is as good as a rest that is off; ``nock_drift`` m, how far off its line the unloaded nock
    ends; ``nock_bow`` m, how far it swings aside half way; both sideways by cams that lean, and up
    and down by their timing; ``kick`` m/s of the release, to the side.
    """

    rest: float = INCH / 16.0
    nock_height: float = INCH / 16.0
    nock_drift: float = INCH / 16.0
    nock_bow: float = INCH / 32.0
    kick: float = 0.1


def _launch(rig: Rig) -> FloatArray:
    """(2, 4): right and up, in the order of :data:`ERRORS`."""
    one = rig.launch(rig.fletched)
    return np.column_stack([one.by_axis, [one.bent_right, one.bent_up]])


def _off(
    rig: Rig,
    rest: tuple[float, float] = (0.0, 0.0),
    drift: tuple[float, float] = (0.0, 0.0),
    bow: tuple[float, float] = (0.0, 0.0),
    kick: float = 0.0,
) -> Rig:
    """The rig with its bow off by these, (right, up) each."""

    def path(own: tuple[float, ...], axis: int) -> tuple[float, ...]:
        if not drift[axis] and not bow[axis]:
            return own
        line = np.interp(_SHAPE, np.linspace(0.0, 1.0, len(own)), own) if own else np.zeros(9)
        line = line + drift[axis] * _SHAPE + bow[axis] * 4.0 * _SHAPE * (1.0 - _SHAPE)
        return tuple(float(place) for place in line)

    before = rig.bow
    moved = replace(
        before.rest,
        offset_right=before.rest.offset_right + rest[0],
        offset_up=before.rest.offset_up + rest[1],
    )
    after = replace(
        before,
        rest=moved,
        nock_travel_right=path(before.nock_travel_right, 0),
        nock_travel_up=path(before.nock_travel_up, 1),
        kick_right=before.kick_right + kick,
    )
    return replace(rig, bow=after)


def drawn_errors(rig: Rig, random: np.random.Generator, causes: Causes | None = None) -> FloatArray:
    """(2, 4) launch errors, right and up, of one bow set up by eye: its causes drawn at random."""
    c = causes or Causes()
    chance = random.standard_normal(8)
    off = _off(
        rig,
        rest=(c.rest * chance[0], c.rest * chance[1] - c.nock_height * chance[2]),
        drift=(c.nock_drift * chance[3], c.nock_drift * chance[4]),
        bow=(c.nock_bow * chance[5], c.nock_bow * chance[6]),
        kick=c.kick * chance[7],
    )
    return _launch(off) - _launch(rig)


def launch_errors(
    rig: Rig, bows: Sequence[Mapping[str, float]], causes: Causes | None = None
) -> FloatArray:
    """Covariance (2, 4, 4) of the launch errors, right and up, in the order of :data:`ERRORS`.

    Args:
        rig: the nominal one; its own errors are the middle.
        bows: plausible bows alike in weight, by the keys of the uncertain inputs, SI.
        causes: how far a bow set up by eye is off.

    Each cause by one standard deviation through the launch model of each bow; causes are
    independent, and small enough for their effects to add up.
    """
    c = causes or Causes()
    total = np.zeros((2, 4, 4))
    for values in bows:
        bow = vary(rig, values)
        start = _launch(bow)
        for off in (
            # up and down a nock that is high or low is a rest that is low or high
            _off(bow, rest=(c.rest, float(np.hypot(c.rest, c.nock_height)))),
            _off(bow, drift=(c.nock_drift, c.nock_drift)),
            _off(bow, bow=(c.nock_bow, c.nock_bow)),
            _off(bow, kick=c.kick),
        ):
            error = _launch(off) - start
            total += error[:, :, None] * error[:, None, :]
    return total / len(bows)


def resampled(
    values: Sequence[Mapping[str, float]], weights: FloatArray, count: int
) -> list[Mapping[str, float]]:
    """``count`` draws alike in weight in place of weighed ones, evenly spread over the weights.

    Systematic resampling (Kitagawa 1996, "Monte Carlo Filter and Smoother", Journal of
    Computational and Graphical Statistics 5:1–25, from memory), without chance: from the middle.
    """
    edges = np.cumsum(weights) / np.sum(weights)
    places = (np.arange(count) + 0.5) / count
    return [values[int(i)] for i in np.minimum(np.searchsorted(edges, places), len(values) - 1)]


def correlation(covariance: FloatArray) -> FloatArray:
    """Correlations (…, n, n)."""
    spread = np.sqrt(np.diagonal(covariance, axis1=-2, axis2=-1))
    return np.asarray(covariance / (spread[..., :, None] * spread[..., None, :]))


def tear_tells(
    rig: Rig, covariance: FloatArray, reading: float = INCH / 16.0, paper: float = _PAPER
) -> FloatArray:
    """What one bare tear says of bare minus fletched at 20 yd.

    Args:
        rig: whose arrows fly.
        covariance: (2, n, n) of the launch errors, n of 3 or more, see :func:`launch_errors`.
        reading: standard deviation of the tear as read, m.
        paper: m from the grip.

    Returns:
        (2, 2) m, right and up: standard deviation of the separation before and after the tear, with
        the flight's answer about the rig's own launch as straight lines.
    """
    shooter = Shooter.of(rig)
    bare = shooter.shoot(Planes("bare", (_AT,), (paper,)), np.zeros(6))
    fletched = shooter.shoot(Planes("fletched", (_AT,)), np.zeros(6))
    told = np.empty((2, 2))
    for axis in range(2):
        own = [axis, 2 + axis, 4 + axis]
        apart = (bare.points_by_error - fletched.points_by_error)[0, axis, own]
        torn = bare.tears_by_error[0, axis, own]
        errors = covariance[axis, :3, :3]
        before = float(apart @ errors @ apart)
        shared = float(apart @ errors @ torn)
        told[axis] = before, before - shared**2 / (float(torn @ errors @ torn) + reading**2)
    return np.asarray(np.sqrt(np.maximum(told, 0.0)))
