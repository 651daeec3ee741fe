"""What is plausible of a bow before any shot: launch errors, and its answer to a rest move."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from vireton.bow.bow import Sight
from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig, vary
from vireton.studies.experience import weigh
from vireton.tuning.benchwork import benchwork_of
from vireton.tuning.causes import launch_errors, resampled
from vireton.tuning.unknowns import AXES, PER_AXIS, PLACE, SIZE, Component, Prior
from vireton.uncertain import DEFAULT_SEED
from vireton.uncertain.weights import WeighedDraws, effective_number
from vireton.units.numbers import INCH

#: On top of what the causes make: what they leave out, so that a tear of an inch and a bare shaft
#: half a foot off at 20 yd stay inside three standard deviations (our choice, no source), and the
#: sight, which is within some inches.
RATE_LEFT_OUT = 0.3  # rad/s
ANGLE_LEFT_OUT = 0.0015  # rad
SIGHT_SPREAD = 0.01  # rad
#: How far the bare shaft's answer may be off from the model's: ln of a factor (crossflow drag and
#: point lift are known to some 25 to 30 %).
BARE_SCALE_SPREAD = 0.15
#: How far tears may be off from the model's: ln of a factor; and what paper shows beside the
#: launch, m: the shaft still swings, paper pulls (our choice, no source).
TEAR_SCALE_SPREAD = 0.35
TEAR_BESIDE = INCH / 16.0
#: m at 20 yd, right and up, that a bare shaft may land off the fletched arrow by itself, beside
#: what the model says: it may be another one than told, a little bent, taped or not (our choice).
BARE_BESIDE = (0.1 * INCH, 0.25 * INCH)
#: m of rest that a bow may be off by, after something happened that the log does not hold
#: (our choice).
SHIFT_SPREAD = INCH / 12.0
#: The launch model leaves things out: the spread of its gains is taken this much wider.
MODEL_DOUBT = 1.5
#: And no gain is known better than this share of its mean: independent launches without what bends
#: and gives answer up to twice as much (our choice).
GAIN_FLOOR = 0.35
#: How far the model alone is believed about the sideways sign: never more than 3 in 4.
SIGN_BELIEF = 0.5
#: The same where the trade's experience weighs its draws: never more than 9 in 10 (our choice).
_SUREST = 0.9

_DRAWS = 64
#: Bows of each sign that launch errors are worked out for.
_BOWS = 10
#: Effective draws below which a sign takes the other's mirror image instead of its own.
_FEW = 6.0
_MOVE = INCH / 32.0


def gains_of(rig: Rig) -> FloatArray:
    """(2, 3): yaw rate, yaw and direction of the fletched arrow, per m of rest right and up."""
    start = rig.launch(rig.fletched).by_axis
    right = rig.launch(rig.fletched, _MOVE).by_axis
    up = rig.launch(rig.fletched, 0.0, _MOVE).by_axis
    return np.array([right[0] - start[0], up[1] - start[1]]) / _MOVE


def believed(share: float, weighed: float | None = None) -> float:
    """Probability that rest right turns the nose right.

    Args:
        share: of the launch model's draws in which it does.
        weighed: the same with the trade's experience; None where that is left alone.
    """
    if weighed is None:
        return 0.5 * (1.0 - SIGN_BELIEF) + SIGN_BELIEF * share
    return float(np.clip(weighed, 1.0 - _SUREST, _SUREST))


def sign_belief(rig: Rig, share: float, weighed: float) -> float:
    """:func:`believed`, by whether this rig's experience counts."""
    return believed(share, None if rig.experience.sideways is None else weighed)


def bow_prior(
    rig: Rig, ranges: Mapping[str, tuple[float, float]], seed: int = DEFAULT_SEED
) -> Prior:
    """The prior of this bow.

    Gains: mean and spread of the launch model over the plausible bows, weighed by the trade's
    experience, the spread widened by :data:`MODEL_DOUBT`. Sideways there are two components, one a
    sign of the gain; a sign that hardly any bow has takes the mirror image of the other (of the
    nose, not of the whole group). Launch errors: by their causes, :mod:`vireton.tuning.causes`.
    """
    level = replace(rig, sight=Sight(None, 0.0))
    drawn = weigh(rig, ranges, draws=_DRAWS, seed=seed)
    gains = np.array([gains_of(vary(level, values)) for values in drawn.values])
    nose_right = gains[:, 0, 0] > 0.0
    share, weighed = float(np.mean(nose_right)), float(drawn.weights @ nose_right)
    weight = sign_belief(rig, share, weighed)
    components = tuple(
        _component(level, drawn, gains, sign, weight if sign > 0 else 1.0 - weight)
        for sign in (1, -1)
    )
    turning = np.column_stack([gains[:, 0, 0], gains[:, 1, 0]])
    return Prior(
        components,
        share,
        weighed,
        drawn.share_of_crowd,
        benchwork_of(level, ranges, drawn, turning, components, MODEL_DOUBT),
    )


def _component(
    rig: Rig, drawn: WeighedDraws, gains: FloatArray, sign: int, weight: float
) -> Component:
    own = drawn.weights * (gains[:, 0, 0] * sign > 0.0)
    mirrored = not own.any() or effective_number(own) < _FEW
    weights = drawn.weights if mirrored else own / own.sum()
    errors = launch_errors(rig, resampled(drawn.values, weights, _BOWS))[:, :3, :3]
    mean = np.zeros(SIZE)
    covariance = np.zeros((SIZE, SIZE))
    for axis in range(2):
        at = axis * len(PER_AXIS)
        left_out = np.array([RATE_LEFT_OUT, ANGLE_LEFT_OUT, SIGHT_SPREAD])
        covariance[at : at + 3, at : at + 3] = errors[axis] + np.diag(left_out**2)
        of_axis = gains[:, axis]
        if axis == 0 and mirrored:
            turned = np.sign(of_axis[:, :1]) * sign
            # the group as a whole goes with the rest either way; only the nose may turn round
            of_axis = of_axis * np.hstack([turned, turned, np.ones_like(turned)])
        block = slice(at + 3, at + 6)
        mean[block] = weights @ of_axis
        spread = np.cov(of_axis.T, aweights=weights) * MODEL_DOUBT**2
        covariance[block, block] = spread + np.diag((GAIN_FLOOR * np.abs(mean[block]) + 1e-6) ** 2)
    spread_beside(covariance, TEAR_SCALE_SPREAD)
    return Component(mean, covariance, weight, sign)


def spread_beside(covariance: FloatArray, tear_scale: float) -> None:
    """Fill in the variances of what both axes share and of what is beside the launch."""
    spreads = {
        "bare_scale": BARE_SCALE_SPREAD,
        "tear_scale": tear_scale,
        **{f"tear_{axis}": TEAR_BESIDE for axis in AXES},
        **{f"bare_{axis}": size for axis, size in zip(AXES, BARE_BESIDE, strict=True)},
        **{f"shift_{axis}": SHIFT_SPREAD for axis in AXES},
    }
    for name, size in spreads.items():
        covariance[PLACE[name], PLACE[name]] = size**2
