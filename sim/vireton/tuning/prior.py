"""What is plausible of a bow before any shot: launch errors, and its answer to a rest move."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig, vary
from vireton.uncertain import DEFAULT_SEED, latin_hypercube
from vireton.units.numbers import INCH

#: Names of the unknowns, per axis (right, then up), and last the scale of the bare shaft's answer.
#: ``error``: yaw rate, yaw and sight (direction) at the first rest setting; ``gain``: how a rest
#: move changes yaw rate, yaw and direction, per m.
PER_AXIS = ("rate", "angle", "sight", "rate_gain", "angle_gain", "direction_gain")
AXES = ("right", "up")
NAMES = (*(f"{name}_{axis}" for axis in AXES for name in PER_AXIS), "bare_scale")
SIZE = len(NAMES)

#: Spread of the launch errors of a bow set up by eye (our choice, no source): a tear of an inch and
#: a bare shaft half a foot off at 20 yd lie inside two of them; the sight within some inches.
RATE_SPREAD = 1.0  # rad/s
ANGLE_SPREAD = 0.006  # rad
SIGHT_SPREAD = 0.01  # rad
#: How far the bare shaft's answer may be off from the model's: ln of a factor (crossflow drag and
#: point lift are known to some 25 to 30 %).
BARE_SCALE_SPREAD = 0.15
#: The launch model leaves things out: the spread of its gains is taken this much wider.
MODEL_DOUBT = 1.5
#: How far the model is believed about the sideways sign: it never makes more than 3 in 4 of it.
SIGN_BELIEF = 0.5

_DRAWS = 48
_MOVE = INCH / 32.0


@dataclass(frozen=True)
class Component:
    """One Gaussian of the prior: mean (13,) and covariance (13, 13) in SI, and its weight."""

    mean: FloatArray
    covariance: FloatArray
    weight: float
    sideways_sign: int


@dataclass(frozen=True)
class Prior:
    """A component for each sign of the sideways gain. ``share_right`` is the launch model's own."""

    components: tuple[Component, ...]
    share_right: float


def gains_of(rig: Rig) -> FloatArray:
    """(2, 3): yaw rate, yaw and direction of the fletched arrow, per m of rest right and up."""
    start = rig.launch(rig.fletched)
    right = rig.launch(rig.fletched, _MOVE)
    up = rig.launch(rig.fletched, 0.0, _MOVE)
    return (
        np.array(
            [
                [
                    right.yaw_rate - start.yaw_rate,
                    right.yaw - start.yaw,
                    right.direction_right - start.direction_right,
                ],
                [
                    up.pitch_rate - start.pitch_rate,
                    up.pitch - start.pitch,
                    up.direction_up - start.direction_up,
                ],
            ]
        )
        / _MOVE
    )


def believed(share: float) -> float:
    """Probability that rest right turns the nose right, where ``share`` of the model's draws do."""
    return 0.5 * (1.0 - SIGN_BELIEF) + SIGN_BELIEF * share


def bow_prior(
    rig: Rig, ranges: Mapping[str, tuple[float, float]], seed: int = DEFAULT_SEED
) -> Prior:
    """The prior of this bow.

    Gains: mean and spread of the launch model over the plausible ranges, the spread widened by
    :data:`MODEL_DOUBT`. Sideways there are two components: the model's, and its mirror image, for a
    sign that the model has wrong (of the nose, not of the whole group); their weights are 1/4 + 1/2
    of the model's own shares.
    """
    drawn = latin_hypercube(ranges, _DRAWS, seed)
    gains = np.array([gains_of(vary(rig, values)) for values in drawn])
    share = float(np.mean(gains[:, 0, 0] > 0.0))
    weight = believed(share)
    components = tuple(
        _component(gains, sign, weight if sign > 0 else 1.0 - weight) for sign in (1, -1)
    )
    return Prior(components, share)


def _component(gains: FloatArray, sign: int, weight: float) -> Component:
    mean = np.zeros(SIZE)
    covariance = np.zeros((SIZE, SIZE))
    for axis in range(2):
        at = axis * len(PER_AXIS)
        covariance[at, at] = RATE_SPREAD**2
        covariance[at + 1, at + 1] = ANGLE_SPREAD**2
        covariance[at + 2, at + 2] = SIGHT_SPREAD**2
        of_axis = gains[:, axis]
        # the side of the draws that this is for; mirrored, for the draws of the other sign
        if axis == 0:
            turned = np.sign(of_axis[:, :1]) * sign
            # the group as a whole goes with the rest either way; only the nose may turn round
            of_axis = of_axis * np.hstack([turned, turned, np.ones_like(turned)])
        block = slice(at + 3, at + 6)
        mean[block] = of_axis.mean(axis=0)
        spread = np.cov(of_axis.T) * MODEL_DOUBT**2
        # a tenth of the mean on top: no gain is known better than that
        covariance[block, block] = spread + np.diag((0.1 * np.abs(mean[block]) + 1e-6) ** 2)
    covariance[-1, -1] = BARE_SCALE_SPREAD**2
    return Component(mean, covariance, weight, sign)
