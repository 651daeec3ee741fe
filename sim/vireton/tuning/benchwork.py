"""What a measurement at the bench would tell the tuner: a look at the bow's gains, with an error.

The launch model's gains hang on inputs that a bench can measure. What a measurement takes off the
spread of a gain over plausible bows is told as a reading of the gain itself, whose error would take
off as much. It speaks of the launch model's bows only: whether a bow is one is not measured.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig
from vireton.tuning.belief import Belief
from vireton.tuning.costs import Costs
from vireton.tuning.unknowns import AXES, PLACE, Component
from vireton.uncertain.draws import share_of, variance_shares
from vireton.uncertain.measurements import MEASUREMENTS, Measurement
from vireton.uncertain.narrowing import Observed, with_observed
from vireton.uncertain.row import Pieces, Range
from vireton.uncertain.weights import WeighedDraws

#: Of a gain's variance that a measurement must take off to be thought of (our choice).
_LEAST = 0.1
#: So many are weighed against shooting, the most telling ones.
_THOUGHT_OF = 2
GAINS = tuple(PLACE[f"rate_gain_{axis}"] for axis in AXES)


@dataclass(frozen=True)
class Benchwork:
    """A measurement by its ``key``, and its ``minutes``.

    By axis, right and up: ``middle`` and ``spread`` of the gains of the launch model's bows before
    any arrow, rad/s a m of rest, and the ``error`` of the reading of them that it amounts to; inf
    where it tells nothing.
    """

    key: str
    minutes: float
    middle: FloatArray = field(repr=False)
    spread: FloatArray = field(repr=False)
    error: FloatArray = field(repr=False)

    def cost(self, costs: Costs) -> float:
        """In arrows."""
        return self.minutes * costs.minute


def benchwork_of(
    rig: Rig,
    ranges: Mapping[str, Range],
    drawn: WeighedDraws,
    gains: FloatArray,
    components: Sequence[Component],
    doubt: float,
) -> tuple[Benchwork, ...]:
    """What may be worth measuring on this bow.

    Args:
        rig: the nominal one.
        ranges: plausible low and high by the keys of the uncertain inputs, SI.
        drawn: plausible bows, weighed.
        gains: (n, 2) of their yaw rate by rest right and pitch rate by rest up.
        components: of the prior, the launch model's.
        doubt: by how much the prior takes their spread wider.
    """
    shares = [variance_shares(drawn.values, gains[:, k], drawn.weights) for k in (0, 1)]
    own = np.array([np.cov(gains[:, k], aweights=drawn.weights) for k in (0, 1)])
    weights = np.array([one.weight for one in components])
    means = np.array([one.mean[list(GAINS)] for one in components])
    variances = np.array([one.covariance.diagonal()[list(GAINS)] for one in components])
    middle = weights @ means / weights.sum()
    whole = weights @ (variances + (means - middle) ** 2) / weights.sum()
    pieces = rig.pieces
    found = []
    for row in MEASUREMENTS:
        # no reading takes off more than all that hangs on what it reads
        most = max(sum(of.get(one.input, 0.0) for one in row.reads) for of in shares)
        if most < _LEAST or not row.applies(pieces):
            continue
        left = _left(row, pieces, ranges)
        told = np.array([sum(of[key] * (1.0 - left[key]) for key in left if key in of)
                         for of in shares])  # fmt: skip
        if told.max() < _LEAST:
            continue
        # what a real reading takes off the prior's spread, doubt and all
        off = np.minimum(doubt**2 * own * told, 0.99 * whole)
        with np.errstate(divide="ignore"):
            error = np.sqrt(whole * (whole - off) / off)
        work = Benchwork(row.key, row.minutes, middle, np.sqrt(whole), error)
        found.append((float(told.max()), work))
    found.sort(key=lambda pair: -pair[0])
    return tuple(one for _, one in found[:_THOUGHT_OF])


def told_by(bench: Benchwork, belief: Belief, which: npt.NDArray[np.int64]) -> FloatArray:
    """(r, k) log-probability of r readings, of draws ``which`` (in fours), by each of k draws.

    A bow of the launch model shows its gains, with an error; whether it is one stays open.
    """
    told = np.isfinite(bench.error)
    gains = belief.theta[:, np.array(GAINS)[told]]
    error, middle = bench.error[told], bench.middle[told]
    usual = np.hypot(bench.spread[told], error)  # of the readings, over bows as they come
    chance = np.random.default_rng(11).standard_normal((len(which) // 4, len(error)))
    # a mirrored bow has the same gains, one that is turned round the opposite chance
    fours = np.stack([chance, chance, -chance, -chance], axis=1).reshape(len(which), len(error))
    own = belief.launch[which, None]
    outcome = np.where(own, gains[which] + error * fours, middle + usual * fours)

    def log_of(center: FloatArray, size: FloatArray) -> FloatArray:
        off = (outcome[:, None, :] - center) / size
        return np.asarray(-0.5 * (off**2).sum(axis=2) - np.log(size).sum())

    return np.where(belief.launch, log_of(gains[None], error), log_of(middle, usual))


def _left(row: Measurement, pieces: Pieces, ranges: Mapping[str, Range]) -> dict[str, float]:
    """Of the variance of each input that it reads, what a usual reading leaves."""
    taken = row.planned(pieces)
    seen = [
        Observed(row, one, one.predicted(pieces, taken), taken)
        for one in row.reads
        if one.input in ranges
    ]
    known = with_observed(pieces, ranges, seen)
    return {
        one.reads.input: _width(known.before[one.reads.input], known.ranges[one.reads.input]) ** 2
        for one in seen
    }


def _width(before: Range, after: Range) -> float:
    """Of a range, what is left of it, as it is drawn."""
    low, high = (share_of(before, end) for end in after)
    return min(1.0, high - low)
