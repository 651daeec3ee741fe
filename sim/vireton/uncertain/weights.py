"""The trade's experience as evidence: draws weighed until its rules hold as often as they do.

The launch model leaves the sideways sign to numbers that nobody measures. Technicians with release
aids use a rule for it daily, and it works often enough to have become the rule; a prior that gives
it one bow in ten throws that evidence away. So the draws are weighed until the share that follows
the rule is what experience says.

Of all weights that meet those shares, these are the ones nearest to equal ones (least relative
entropy): all draws of one class, follows or not, by one factor, found class by class in turn
(Deming and Stephan 1940, "On a Least Squares Adjustment of a Sampled Frequency Table", Annals of
Mathematical Statistics 11:427–444; Csiszár 1975, "I-Divergence Geometry", Annals of Probability
3:146–158; from memory). Within a class the model's own draws stay as they are: experience knows the
side, not the spring of the cams. A smooth tilt along chosen inputs would claim more than that.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from vireton.kernel.arrays import FloatArray

_ROUNDS = 200
_CLOSE = 1e-10


@dataclass(frozen=True)
class WeighedDraws:
    """Draws and what each counts, by whether it follows the trade's rules for the rest.

    ``values``: one mapping a draw, by the keys of the uncertain inputs, SI. ``weights`` (n,) add up
    to 1. ``effective``: how many equal draws are worth as much (Kish 1965, *Survey Sampling*, from
    memory: (Σw)²/Σw²). ``share_before`` and ``share_after``: the share that follows the sideways
    rule by the model alone, and weighed; ``up_before`` and ``up_after`` that of the rule up and
    down.
    """

    values: list[dict[str, float]]
    weights: FloatArray
    effective: float
    share_before: float
    share_after: float
    up_before: float
    up_after: float
    #: How often each class of draws counts, 1 where all count alike; a class is whether they follow
    #: the rules (sideways, up and down).
    classes: Mapping[tuple[bool, bool], float] = field(default_factory=dict)
    #: Where the bow was measured: the share that followed the sideways rule before, weighed.
    share_of_crowd: float | None = None


Classes = Mapping[tuple[bool, bool], float]


def classes_of(follows: npt.NDArray[np.bool_], weights: FloatArray) -> Classes:
    """How often each class of draws counts, from (n, 2) rules followed and their weights (n,)."""
    found: dict[tuple[bool, bool], float] = {}
    for one, weight in zip(follows, weights, strict=True):
        found.setdefault((bool(one[0]), bool(one[1])), float(weight * len(weights)))
    return found


def by_classes(follows: npt.NDArray[np.bool_], classes: Classes) -> FloatArray:
    """Weights (n,), adding up to 1, of draws (n, 2) whose classes have counted so elsewhere.

    A class that did not occur there counts once.
    """
    weights = np.array([classes.get((bool(one[0]), bool(one[1])), 1.0) for one in follows])
    return np.asarray(weights / weights.sum())


def effective_number(weights: FloatArray) -> float:
    """How many equal draws are worth as much as these."""
    return float(np.sum(weights) ** 2 / np.sum(np.square(weights)))


def tilt(follows: npt.NDArray[np.bool_], shares: Sequence[float | None]) -> FloatArray:
    """Weights (n,), adding up to 1, under which each rule holds in its share.

    Args:
        follows: (n, k) true where the draw follows the rule.
        shares: (k,) wanted, 0 to 1; None for a rule that is left alone.

    A rule that all draws follow, or none, cannot be weighed and is left alone.
    """
    wanted = [
        (np.asarray(follows[:, rule], dtype=bool), share)
        for rule, share in enumerate(shares)
        if share is not None and 0.0 < np.mean(follows[:, rule]) < 1.0
    ]
    weights = np.full(len(follows), 1.0 / len(follows))
    for _ in range(_ROUNDS):
        before = weights
        for rule, share in wanted:
            held = float(weights[rule].sum())
            if not 0.0 < held < 1.0:
                continue  # another rule took a whole class away
            weights = weights * np.where(rule, share / held, (1.0 - share) / (1.0 - held))
        if np.abs(weights - before).max() < _CLOSE / len(weights):
            break
    return np.asarray(weights / weights.sum())


def carried(
    follows: npt.NDArray[np.bool_], shares: Sequence[float | None], least: float
) -> FloatArray:
    """Weights as :func:`tilt` gives them, or as far that way as the draws can carry.

    Args:
        follows: (n, k) true where the draw follows the rule.
        shares: (k,) wanted, 0 to 1; None for a rule that is left alone.
        least: effective draws that must be left. Where too few draws lie on one side for the share
            that is wanted, the weights stop short of it.
    """
    alike = follows.mean(axis=0)
    weights = tilt(follows, shares)
    if effective_number(weights) >= least:
        return weights
    short, far = 0.0, 1.0
    for _ in range(30):
        way = 0.5 * (short + far)
        tried = tilt(
            follows,
            [
                None if share is None else float(before + way * (share - before))
                for share, before in zip(shares, alike, strict=True)
            ],
        )
        if effective_number(tried) >= least:
            short, weights = way, tried
        else:
            far = way
    return weights if short > 0.0 else np.full(len(follows), 1.0 / len(follows))
