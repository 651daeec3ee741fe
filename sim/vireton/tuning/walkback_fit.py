"""The weighing of a walk-back: which causes are at work, how large, and how the shots scatter.

Each of sixteen sets of causes at each of five sizes of the scatter is a linear Gaussian model,
whose evidence and posterior are closed forms (e.g. MacKay 2003, *Information Theory, Inference, and
Learning Algorithms*, ch. 28, from memory). They are handed on as draws, each set as many as it
weighs, for what is asked of them is not Gaussian.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
import numpy.typing as npt
from scipy import special

from vireton.kernel.arrays import FloatArray
from vireton.tuning.observations import WalkbackPoint
from vireton.tuning.spread import Spread
from vireton.tuning.walkback_lines import CAUSES, Lines

_LEVELS = (0.1, 0.3, 0.5, 0.7, 0.9)  # chances at which the scatter's own doubt is taken
_DRAWS, _SEED = 4000, 7
_LEAST = 1e-5  # weight of a model below which it is left out


@dataclass(frozen=True)
class Fit:
    """One model: which causes are at work (4,), its ``columns`` of the lines' modes, the scatter
    ``level`` rad, its ``weight`` among all, mean (p,) of the modes' sizes and a ``root`` (p, p) of
    their covariance.
    """

    at_work: FloatArray
    columns: npt.NDArray[np.int64]
    level: float
    weight: float
    mean: FloatArray
    root: FloatArray

    def line(self, lines: Lines) -> tuple[FloatArray, FloatArray]:
        """Mean and variance (n + 1,) of all that is at work."""
        own = lines.modes[:, self.columns]
        launch = lines.mean * self.at_work[-1]
        return launch + own @ self.mean, np.sum((own @ self.root) ** 2, axis=1)


@dataclass(frozen=True)
class Drawn:
    """k draws from what is believed: ``parts`` (k, 4, n + 1) m of each cause, ``weights`` (k,) that
    add up to 1, ``scatter`` (k,) rad of one arrow.
    """

    parts: FloatArray
    weights: FloatArray
    scatter: FloatArray

    @property
    def lines(self) -> FloatArray:
        """(k, n + 1) m: all causes together."""
        return np.asarray(self.parts.sum(axis=1))

    def shown(self, rows: Sequence[int], acting: FloatArray) -> FloatArray:
        """(k, points) m: those causes together that act (points, 4), at these rows."""
        return np.asarray((self.parts[:, :, rows] * acting.T).sum(axis=1))


def fits(lines: Lines, points: Sequence[WalkbackPoint], spread: Spread) -> list[Fit]:
    """All models, their weights adding up to 1. A cause ruled out at every point is not at work."""
    rows = lines.at([one.distance for one in points])
    acting = lines.acting(points)
    often = lines.at_work * acting.any(axis=0)
    design = lines.modes[rows] * acting[:, lines.owner]
    seen = np.array([one.right for one in points])
    levels = spread.sd * np.sqrt(spread.degrees / special.chdtri(spread.degrees, _LEVELS))
    noises = [(float(one), np.array([p.variance(one) for p in points])) for one in levels]
    found, logs = [], []
    for some in product((0.0, 1.0), repeat=len(CAUSES)):
        on = np.array(some)
        prior = float(np.prod(np.where(on > 0.0, often, 1.0 - often)))
        if prior == 0.0:
            continue
        columns = np.flatnonzero(on[lines.owner])
        off = seen - lines.mean[rows] * on[-1]
        for level, noise in noises:
            log, mean, root = _conditioned(design[:, columns], off, noise)
            found.append((on, columns, level, mean, root))
            logs.append(np.log(prior) + log)
    weights = np.exp(np.array(logs) - max(logs))
    weights /= weights.sum()
    return [
        Fit(on, columns, level, float(weight), mean, root)
        for (on, columns, level, mean, root), weight in zip(found, weights, strict=True)
    ]


def _conditioned(
    design: FloatArray, off: FloatArray, noise: FloatArray
) -> tuple[float, FloatArray, FloatArray]:
    """Log evidence; mean and a root of the covariance of the sizes, standard normal beforehand."""
    precision = np.eye(design.shape[1]) + design.T @ (design / noise[:, None])
    factor = np.linalg.cholesky(precision)
    mean = np.linalg.solve(precision, design.T @ (off / noise))
    left = off - design @ mean
    squares = float(left @ (left / noise) + mean @ mean + np.log(noise).sum())
    log = -0.5 * squares - float(np.log(np.diag(factor)).sum())
    return log, np.asarray(mean, float), np.asarray(np.linalg.inv(factor).T, float)


def alone(lines: Lines, found: Sequence[Fit], cause: str) -> tuple[FloatArray, FloatArray]:
    """Mean and standard deviation (n + 1,) of a cause's line if it alone is at work."""
    only = np.array([name == cause for name in CAUSES], float)
    own = [one for one in found if np.array_equal(one.at_work, only)]
    if not own:  # it was ruled out at every point
        return np.zeros(len(lines.mean)), np.zeros(len(lines.mean))
    shares = _among(own)
    means, variances = (np.array(both) for both in zip(*(f.line(lines) for f in own), strict=True))
    mean = shares @ means
    return mean, np.sqrt(shares @ (variances + (means - mean) ** 2))


def free(found: Sequence[Fit]) -> list[Fit]:
    """The models with all at work that can be, their weights adding up to 1.

    No cause is taken to be nothing in them: their band is that of the fitted line itself.
    """
    most = max(one.at_work.sum() for one in found)
    own = [one for one in found if one.at_work.sum() == most]
    shares = _among(own)
    return [replace(one, weight=float(share)) for one, share in zip(own, shares, strict=True)]


def _among(found: Sequence[Fit]) -> FloatArray:
    """Weights of some models among themselves; all can be too small to add up."""
    shares = np.array([max(one.weight, 1e-300) for one in found])
    return np.asarray(shares / shares.sum())


def draw(lines: Lines, found: Sequence[Fit]) -> Drawn:
    """Draws in pairs that mirror each other about each model's mean, so that sides are alike."""
    normals = np.random.default_rng(_SEED).standard_normal((_DRAWS, lines.modes.shape[1]))
    parts, weights, scatter = [], [], []
    for fit in found:
        if fit.weight < _LEAST:
            continue
        half = int(np.ceil(0.5 * _DRAWS * fit.weight))
        z = normals[:half, fit.columns] @ fit.root.T
        z = fit.mean + np.concatenate([z, -z])
        part = np.zeros((2 * half, len(CAUSES), len(lines.mean)))
        for k in range(len(CAUSES)):
            own = lines.owner[fit.columns] == k
            part[:, k] = z[:, own] @ lines.modes[:, fit.columns[own]].T
        part[:, -1] += lines.mean * fit.at_work[-1]
        parts.append(part)
        weights.append(np.full(2 * half, fit.weight / (2 * half)))
        scatter.append(np.full(2 * half, fit.level))
    shares = np.concatenate(weights)
    return Drawn(np.concatenate(parts), shares / shares.sum(), np.concatenate(scatter))
