"""What the rounds of a log say about the bow: a mixture of Gaussians, a lobe for each sign.

Nonlinear least squares with the prior (maximum a posteriori), each lobe from its own start, and a
Laplace approximation about it (any text on Bayesian computation, e.g. MacKay 2003, *Information
Theory, Inference, and Learning Algorithms*, ch. 27). Lobes are weighed by their evidence.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.observations import ArrowKind, Group, Round, Tear
from vireton.tuning.prior import PER_AXIS, SIZE, Lobe, Prior
from vireton.tuning.response import Answer, Question, Shooter
from vireton.units.numbers import INCH

#: Reading a hole in paper: 1/32 in, as much again from shot to shot, and as much from the swing of
#: the bending shaft (our choice, no source).
TEAR_ERROR = INCH / 32.0 * math.sqrt(3.0)
#: Placing the center of a group by ruler or eye.
CENTER_ERROR = 0.1 * INCH
#: Where the model's bare or fletched arrow may land off the real one, as an angle.
MODEL_ERROR = 0.15 * INCH / TALKING_DISTANCE

#: Signs that mirror errors sideways and leave gains: what the right axis has, turned round.
_MIRROR = np.ones(SIZE)
_MIRROR[[PER_AXIS.index(name) for name in ("rate", "angle", "sight")]] = -1.0

#: rad, how far the sight may stand elsewhere at a later rest setting, or with another pin: wide
#: enough that then only what is between bare and fletched counts.
SIGHT_MOVED = 0.02

_SAME_DISTANCE = 0.5  # m
_ROUNDS_OF_NEWTON = 12
_CLOSE = 0.03  # of a posterior standard deviation: far below what anybody could tell


@dataclass(frozen=True)
class Setting:
    """All that was seen at one rest setting, ready for the simulator.

    ``rest`` (2,) m from the first setting; for each arrow a question, the values (n, 2) that were
    seen in its order (points, then tears), their variances (n,), which are the same on both axes.
    """

    rest: FloatArray
    questions: tuple[Question, ...]
    values: tuple[FloatArray, ...]
    variances: tuple[FloatArray, ...]

    def stretched(self, factor: float) -> "Setting":
        """The same with all errors ``factor`` times as large."""
        return replace(self, variances=tuple(one * factor**2 for one in self.variances))


@dataclass(frozen=True)
class PosteriorLobe:
    """One Gaussian of the posterior: (13,) and (13, 13), its weight, and how it fits.

    ``misfit``: sum of squared residuals in standard deviations; ``count`` numbers seen.
    """

    mean: FloatArray
    covariance: FloatArray
    weight: float
    sideways_sign: int
    misfit: float
    count: int

    def samples(self, count: int, random: np.random.Generator) -> FloatArray:
        """Its share of ``count`` draws, (k, 13).

        Each draw has a twin whose chance is mirrored sideways, so that a mirrored log has exactly
        mirrored draws and advice.
        """
        pairs = round(0.5 * self.weight * count)
        chance = random.standard_normal((pairs, SIZE))
        chance = np.concatenate([chance, chance * _MIRROR])
        return self.mean + chance @ np.linalg.cholesky(self.covariance).T


@dataclass(frozen=True)
class Posterior:
    """What is known after the rounds. ``lobes`` weights add up to 1.

    ``log_evidence`` of all that was seen, up to a constant.
    """

    lobes: tuple[PosteriorLobe, ...]
    log_evidence: float = 0.0

    @property
    def probability_right(self) -> float:
        """That rest right turns the nose right."""
        at = PER_AXIS.index("rate_gain")
        return sum(
            lobe.weight * 0.5 * math.erfc(-lobe.mean[at] / math.sqrt(2.0 * lobe.covariance[at, at]))
            for lobe in self.lobes
        )

    def samples(self, count: int, seed: int = 1) -> FloatArray:
        """About ``count`` draws (k, 13), in proportion to the lobes' weights."""
        random = np.random.default_rng(seed)
        return np.concatenate([lobe.samples(count, random) for lobe in self.lobes])


def settings_of(rounds: Sequence[Round], spread_angle: float) -> list[Setting]:
    """Gather the rounds by rest setting.

    Args:
        rounds: those that count.
        spread_angle: standard deviation of one arrow on one axis, rad.
    """
    gathered: dict[tuple[float, float], list[Tear | Group]] = {}
    for one in rounds:
        seen = [o for o in one.observations if isinstance(o, Tear | Group)]
        if seen:
            gathered.setdefault((one.rest_right, one.rest_up), []).extend(seen)
    return [_setting(np.array(rest), seen, spread_angle) for rest, seen in gathered.items()]


def _setting(rest: FloatArray, seen: list[Tear | Group], spread_angle: float) -> Setting:
    questions, values, variances = [], [], []
    kinds: tuple[ArrowKind, ...] = ("fletched", "bare")
    for kind in kinds:
        groups = [o for o in seen if isinstance(o, Group) and o.arrow == kind]
        tears = [o for o in seen if isinstance(o, Tear) and o.arrow == kind]
        if not groups and not tears:
            continue
        questions.append(
            Question(kind, tuple(g.distance for g in groups), tuple(t.distance for t in tears))
        )
        values.append(np.array([[*g.center] for g in groups] + [[t.right, t.up] for t in tears]))
        of_groups = [
            (spread_angle * g.distance) ** 2 / g.count
            + CENTER_ERROR**2
            + (MODEL_ERROR * g.distance) ** 2
            for g in groups
        ]
        variances.append(np.array(of_groups + [TEAR_ERROR**2] * len(tears)))
    return Setting(rest, tuple(questions), tuple(values), tuple(variances))


def launch_errors(theta: FloatArray, rest: FloatArray) -> FloatArray:
    """Launch errors (6,) of :data:`~vireton.tuning.response.ERRORS` at a rest setting (2,) m."""
    return errors_by_theta(rest) @ theta


def errors_by_theta(rest: FloatArray) -> FloatArray:
    """Derivative (6, 13) of the launch errors by the unknowns."""
    n = len(PER_AXIS)
    matrix = np.zeros((6, SIZE))
    for k in range(3):
        for axis in range(2):
            matrix[2 * k + axis, axis * n + k] = 1.0
            matrix[2 * k + axis, axis * n + 3 + k] = rest[axis]
    return matrix


def predict(
    shooter: Shooter, question: Question, theta: FloatArray, rest: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Values (n, 2) in the question's order, and their derivative (n, 2, 13) by the unknowns.

    The bare shaft's answer to the launch errors is scaled by exp(bare_scale): its aerodynamics are
    known to some 15 per cent only.
    """
    errors = launch_errors(theta, rest)
    answer: Answer = shooter.shoot(question, errors)
    value = np.concatenate([answer.points, answer.tears])
    by_error = np.concatenate([answer.points_by_error, answer.tears_by_error])
    derivative = by_error @ errors_by_theta(rest)
    if question.arrow == "bare" and question.targets:
        n = len(question.targets)
        # what turning and yaw do, without what direction does: that part is geometry
        straight = np.zeros(6)
        straight[4:] = errors[4:]
        plain = shooter.points(question, straight)
        scale = float(np.exp(theta[-1]))
        moved = value[:n] - plain
        value[:n] = plain + scale * moved
        turning = by_error[:n].copy()
        turning[:, :, 4:] = 0.0
        derivative[:n] += (scale - 1.0) * (turning @ errors_by_theta(rest))
        derivative[:n, :, -1] += scale * moved
    return value, derivative


def fit(shooter: Shooter, prior: Prior, settings: Sequence[Setting]) -> Posterior:
    """The posterior after these settings; the prior itself without any."""
    whiteners = [_whitener(shooter, one, k == 0) for k, one in enumerate(settings)]
    found = [
        _fit_lobe(shooter, lobe, settings, whiteners) for lobe in prior.lobes if lobe.weight > 0.0
    ]
    logs = np.array([log for _, log in found])
    weights = np.exp(logs - logs.max())
    evidence = float(logs.max() + np.log(weights.sum()))
    # two axes, each with half the logarithm of the determinant: twice that of the factor
    evidence += 2.0 * sum(float(np.sum(np.log(np.diag(one)))) for one in whiteners)
    weights /= weights.sum()
    lobes = tuple(
        PosteriorLobe(one.mean, one.covariance, float(w), one.sideways_sign, one.misfit, one.count)
        for (one, _), w in zip(found, weights, strict=True)
    )
    return Posterior(lobes, evidence)


def _whitener(shooter: Shooter, setting: Setting, first: bool) -> FloatArray:
    """Turns what was seen at a setting into standard deviations, (n, n), the same on each axis.

    The inverse of the Cholesky factor of its covariance, worked out once: a factor that is solved
    with in every round of the fit took minutes for a log of a thousand rounds.

    Every value has its own error. Where the sight may not be that of the start (a later setting, or
    another distance than the one it was set for) both arrows at a distance share what it is off.
    """
    away = np.array(
        [far for q in setting.questions for far in (*q.targets, *([0.0] * len(q.papers)))]
    )
    aimed = shooter.rig.sight.sight_in or 0.0
    free = (away > 0.0) & (not first or np.abs(away - aimed) > _SAME_DISTANCE)
    shared = (away[:, None] == away[None, :]) & free[:, None] & free[None, :]
    covariance = np.diag(np.concatenate(setting.variances))
    factor = np.linalg.cholesky(covariance + shared * (SIGHT_MOVED * away[:, None]) ** 2)
    return np.asarray(np.linalg.inv(factor), dtype=float)


def _system(
    shooter: Shooter,
    theta: FloatArray,
    settings: Sequence[Setting],
    whiteners: Sequence[FloatArray],
) -> tuple[FloatArray, FloatArray]:
    """Residuals (n,) in standard deviations, and the derivative (n, 13) of the predictions."""
    residuals, rows = [np.zeros(0)], [np.zeros((0, SIZE))]
    for setting, whitener in zip(settings, whiteners, strict=True):
        seen, slopes = [], []
        for question, values in zip(setting.questions, setting.values, strict=True):
            value, derivative = predict(shooter, question, theta, setting.rest)
            seen.append(values - value)
            slopes.append(derivative)
        count = len(whitener)
        residuals.append((whitener @ np.concatenate(seen)).ravel())
        stacked = whitener @ np.concatenate(slopes).reshape(count, -1)
        rows.append(stacked.reshape(2 * count, SIZE))
    return np.concatenate(residuals), np.concatenate(rows)


def _fit_lobe(
    shooter: Shooter, lobe: Lobe, settings: Sequence[Setting], whiteners: Sequence[FloatArray]
) -> tuple[PosteriorLobe, float]:
    precision = np.linalg.inv(lobe.covariance)

    def cost_at(theta: FloatArray, residuals: FloatArray) -> float:
        off = theta - lobe.mean
        return float(residuals @ residuals + off @ precision @ off)

    theta = lobe.mean.copy()
    residuals, rows = _system(shooter, theta, settings, whiteners)
    cost = cost_at(theta, residuals)
    damping = 0.0
    for _ in range(_ROUNDS_OF_NEWTON):
        information = rows.T @ rows + precision
        slope = rows.T @ residuals - precision @ (theta - lobe.mean)
        change = np.linalg.solve(information + damping * np.diag(np.diag(information)), slope)
        trial = theta + change
        new_residuals, new_rows = _system(shooter, trial, settings, whiteners)
        new_cost = cost_at(trial, new_residuals)
        if not np.isfinite(new_cost) or new_cost > cost * (1.0 + 1e-9) + 1e-9:
            damping = max(10.0 * damping, 0.1)
            if damping > 1e4:
                break
            continue
        done = float(change @ information @ change) < _CLOSE**2
        theta, residuals, rows, cost = trial, new_residuals, new_rows, new_cost
        damping = 0.0 if damping < 0.05 else damping / 10.0
        if done:
            break
    information = rows.T @ rows + precision
    covariance = np.linalg.inv(information)
    _, log_information = np.linalg.slogdet(information)
    _, log_precision = np.linalg.slogdet(precision)
    log = np.log(lobe.weight) - 0.5 * cost + 0.5 * (log_precision - log_information)
    fitted = PosteriorLobe(
        theta,
        0.5 * (covariance + covariance.T),
        1.0,
        lobe.sideways_sign,
        float(residuals @ residuals),
        residuals.size,
    )
    return fitted, float(log)
