"""What the rounds say of a bow: a mixture of Gaussians, one for each way to read the log.

A reading is a component of the prior, a scatter of the shooter, and a story of what went wrong (or
none). All are fitted side by side, by Gauss and Newton with halved steps, and weighed by their
evidence in Laplace's approximation (MacKay 2003, *Information Theory, Inference, and Learning
Algorithms*, ch. 27).
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from vireton.kernel.arrays import BoolArray, ComplexArray, FloatArray
from vireton.tuning.evidence import SCATTERS, Evidence
from vireton.tuning.predicting import both, predicted
from vireton.tuning.stories import Altered, Story
from vireton.tuning.unknowns import MIRROR, PLACE, SIZE, Component, Prior

_ROUNDS_OF_NEWTON = 8
_CLOSE = 0.03  # of a posterior standard deviation: far below what anybody could tell
#: Readings that weigh less than this beside the best are dropped.
_NOTHING = 1e-4


@dataclass(frozen=True)
class Reading:
    """One Gaussian of the posterior: (SIZE,) and (SIZE, SIZE), and its weight.

    ``component`` of the prior, ``scatter`` times the shooter's usual, ``story`` of what went wrong.
    ``misfit``: squared residuals and squared distance from the prior's mean, in standard
    deviations: chi-squared with ``count`` degrees of freedom where the reading is true.
    """

    mean: FloatArray
    covariance: FloatArray
    weight: float
    component: Component
    scatter: float
    story: Story
    misfit: float
    count: int


@dataclass(frozen=True)
class Posterior:
    """What is known after the rounds; the readings' weights add up to 1, best first."""

    readings: tuple[Reading, ...]

    @property
    def probability_right(self) -> float:
        """That rest right turns the nose right."""
        return sum(one.weight for one in self.readings if one.mean[PLACE["rate_gain_right"]] > 0.0)

    def stories(self) -> dict[Story, float]:
        """Probability of each story, likeliest first."""
        found: dict[Story, float] = {}
        for one in self.readings:
            found[one.story] = found.get(one.story, 0.0) + one.weight
        return dict(sorted(found.items(), key=lambda pair: -pair[1]))

    def models(self) -> dict[str, float]:
        """Probability of each model of how a bow answers."""
        found: dict[str, float] = {}
        for one in self.readings:
            found[one.component.model] = found.get(one.component.model, 0.0) + one.weight
        return found

    def samples(self, count: int, seed: int = 1) -> tuple[FloatArray, list[Story]]:
        """About ``count`` draws (k, SIZE), as many of each reading as it weighs, and their stories.

        Draws come in fours whose chance is mirrored sideways, and all turned round: a mirrored log
        has exactly mirrored advice, and every reading's draws have its own mean.
        """
        random = np.random.default_rng(seed)
        drawn, stories = [], []
        for one, fours in self._fours(count):
            chance = random.standard_normal((fours, SIZE))
            twins = chance * MIRROR
            chance = np.stack([chance, twins, -chance, -twins], axis=1).reshape(-1, SIZE)
            drawn.append(one.mean + chance @ np.linalg.cholesky(one.covariance).T)
            stories += [one.story] * len(chance)
        return np.concatenate(drawn), stories

    def of_launch_model(self, count: int) -> BoolArray:
        """(k,) which of so many :meth:`samples` are bows of the launch model."""
        fours = self._fours(count)
        return np.repeat(
            [one.component.model == "launch" for one, _ in fours], [4 * n for _, n in fours]
        )

    def _fours(self, count: int) -> "list[tuple[Reading, int]]":
        """Each reading with how many of ``count`` draws it has, in fours."""
        shares = np.cumsum([0.0, *(one.weight for one in self.readings)])
        ends = np.round(shares / shares[-1] * (count // 4)).astype(int)
        return [
            (one, int(last - first))
            for one, first, last in zip(self.readings, ends[:-1], ends[1:], strict=True)
            if last > first
        ]


class Fitter:
    """Fits readings of one log; c components of the prior, t scatters of the shooter.

    ``means`` (c, SIZE) and ``precisions`` (c, SIZE, SIZE) of the components, the logarithms of
    their determinants and of the weights (c,); ``log_scatters`` (t,): of each scatter's share and
    of its errors' density.
    """

    def __init__(self, prior: Prior, evidence: Evidence) -> None:
        self.evidence, self.components = evidence, prior.components
        self.means = np.array([one.mean for one in prior.components])
        self.precisions = np.linalg.inv(np.array([one.covariance for one in prior.components]))
        self.log_precisions = np.linalg.slogdet(self.precisions)[1]
        self.log_weights = np.log([one.weight for one in prior.components])
        # two axes, each with half the logarithm of the determinant: that of the factor
        self.log_scatters = (
            sum(
                np.log(np.diagonal(one, axis1=1, axis2=2)).sum(axis=1)
                for one in evidence.whiteners_by_axis
            )
            + np.log([share for _, share in SCATTERS])
            + evidence.inside
        )

    def fit(
        self,
        which: FloatArray,
        stories: Sequence[tuple[Story, Altered, float]],
        rounds: int = _ROUNDS_OF_NEWTON,
    ) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
        """Fit readings ``which`` (h, 3): indices of component, scatter and story.

        Returns means (h, SIZE), covariances, logarithms of the weights up to a constant, misfits.
        """
        c, t, s = which.T
        values = np.array([one.values for _, one, _ in stories])[s]
        settings = np.array([one.settings for _, one, _ in stories])[s]
        shifted = np.array([one.shifted for _, one, _ in stories])[s]
        answers = np.array([one.answers for _, one, _ in stories])[s]
        mean, precision = self.means[c], self.precisions[c]
        whitened = _whitening(self.evidence, t)

        def system(theta: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
            asked = settings * answers[:, None]
            value, slope = predicted(theta, self.evidence.planes, asked, shifted)
            residual = whitened(values - value).reshape(len(theta), -1, 1)
            rows = whitened(slope).swapaxes(2, 3)
            rows = rows.reshape(len(theta), -1, SIZE)
            across = rows.swapaxes(1, 2)
            off = theta - mean
            pull = np.matmul(precision, off[..., None])[..., 0]
            cost = (residual**2).sum(axis=(1, 2)) + (off * pull).sum(axis=1)
            uphill = np.matmul(across, residual)[..., 0] - pull
            return cost, uphill, precision + np.matmul(across, rows)

        theta = mean.copy()
        cost, uphill, information = system(theta)
        length = np.ones(len(theta))
        for _ in range(rounds):
            step = np.linalg.solve(information, uphill[..., None])[..., 0]
            if float((step * uphill).sum(axis=1).max()) < _CLOSE**2:
                break
            tried = theta + length[:, None] * step
            found = system(tried)
            better = found[0] < cost
            theta = np.where(better[:, None], tried, theta)
            cost = np.where(better, found[0], cost)
            uphill = np.where(better[:, None], found[1], uphill)
            information = np.where(better[:, None, None], found[2], information)
            length = np.where(better, np.minimum(1.0, 2.0 * length), 0.25 * length)
        logs = (
            self.log_weights[c]
            + self.log_scatters[t]
            + np.log([share for _, _, share in stories])[s]
            - 0.5 * cost
            + 0.5 * (self.log_precisions[c] - np.linalg.slogdet(information)[1])
        )
        covariance = np.asarray(np.linalg.inv(information), dtype=float)
        return theta, covariance, np.asarray(logs, dtype=float), cost


def _whitening(
    evidence: Evidence, which: npt.NDArray[np.int64]
) -> Callable[[ComplexArray], FloatArray]:
    """What turns (h, n, …) complex into (h, n, …, 2), right and up, in standard deviations.

    ``which`` (h,): of the scatters.
    """
    right, up = evidence.whiteners_by_axis
    if right is up:
        whiteners = right[which]

        def alike(value: ComplexArray) -> FloatArray:
            # right and up side by side, so that real factors do for both
            flat = both(value).reshape(*value.shape[:2], 2 * math.prod(value.shape[2:]))
            return np.asarray(np.matmul(whiteners, flat).reshape(*value.shape, 2))

        return alike
    of_axis = (right[which], up[which])

    def apart(value: ComplexArray) -> FloatArray:
        flat = both(value).reshape(*value.shape[:2], math.prod(value.shape[2:]), 2)
        found = [
            np.matmul(one, flat[..., axis] * evidence.axes[:, axis, None])
            for axis, one in enumerate(of_axis)
        ]
        return np.stack(found, axis=-1).reshape(*value.shape, 2)

    return apart


def fit(
    prior: Prior, evidence: Evidence, stories: Sequence[tuple[Story, Altered, float]]
) -> Posterior:
    """The posterior after all that was seen; the prior itself without any.

    Args:
        prior: of the bow.
        evidence: what was seen.
        stories: what may have gone wrong, each with what the log would then say and its share
            beforehand; the first is that nothing did.
    """
    fitter = Fitter(prior, evidence)
    plain = np.array(
        [(c, t, 0) for c in range(len(prior.components)) for t in range(len(SCATTERS))]
    )
    found = [(plain, *fitter.fit(plain, stories))]
    if len(stories) > 1 and evidence.count:
        found.append(_with_stories(fitter, stories, found[0]))
    which, means, covariances, logs, misfits = (
        np.concatenate(parts) for parts in zip(*found, strict=True)
    )
    weights = np.exp(logs - logs.max())
    order = [int(h) for h in np.argsort(-weights) if weights[h] > _NOTHING]
    whole = float(weights[order].sum())
    return Posterior(
        tuple(
            Reading(
                means[h],
                0.5 * (covariances[h] + covariances[h].T),
                float(weights[h]) / whole,
                fitter.components[which[h, 0]],
                SCATTERS[which[h, 1]][0],
                stories[which[h, 2]][0],
                float(misfits[h]),
                int(evidence.axes.sum()),
            )
            for h in order
        )
    )


#: Readings of the plain log on which stories are tried, and stories that are fitted to the end.
_TRIED_ON, _FITTED = 4, 6


def _with_stories(
    fitter: Fitter,
    stories: Sequence[tuple[Story, Altered, float]],
    plain: tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray],
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    """Readings with the likeliest stories.

    All are tried with two rounds of Newton from the prior's mean in a few components; the best go
    on to the end in every component, at the scatter that suits the plain log.
    """
    which, _, _, logs, _ = plain
    count = len(fitter.components)
    scatter = [
        int(which[which[:, 0] == c, 1][np.argmax(logs[which[:, 0] == c])]) for c in range(count)
    ]
    share = [float(logs[which[:, 0] == c].max()) for c in range(count)]
    most = np.argsort(-np.array(share))[:_TRIED_ON]
    trial = np.array([(c, scatter[c], s) for s in range(1, len(stories)) for c in most])
    *_, found, _ = fitter.fit(trial, stories, rounds=2)
    best = {int(s): -np.inf for s in trial[:, 2]}
    for (_, _, s), log in zip(trial, found, strict=True):
        best[int(s)] = max(best[int(s)], float(log))
    chosen = sorted(best, key=lambda s: -best[s])[:_FITTED]
    narrow = min(scatter)
    ways = sorted(
        {(c, t, s) for s in chosen for c in range(count) for t in {scatter[c], narrow, 1}}
    )
    last = np.array(ways)
    return (last, *fitter.fit(last, stories))
