"""What the rounds of a log say about the bow: a mixture of Gaussians, a component for each sign.

Each component is fitted from its own start by :mod:`vireton.studies.fitting`; they are weighed by
their evidence.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from vireton.bow.setting import BowSetting
from vireton.kernel.arrays import FloatArray
from vireton.studies.fitting import Gaussian, Linearized, descend
from vireton.tuning.observations import ArrowKind, Measurement
from vireton.tuning.prior import PER_AXIS, SIZE, Component, Prior
from vireton.tuning.response import Planes, Shooter
from vireton.tuning.rounds import Round

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
class SettingData:
    """All that was seen at one setting of the bow, ready for the simulator.

    ``setting`` from the first one; for each arrow its planes, the values (n, 2) that were seen in
    their order (points, then tears), their variances (n,), which are the same on both axes.
    """

    setting: BowSetting
    planes: tuple[Planes, ...]
    values: tuple[FloatArray, ...]
    variances: tuple[FloatArray, ...]

    def inflated(self, factor: float) -> "SettingData":
        """The same with all errors ``factor`` times as large."""
        return replace(self, variances=tuple(one * factor**2 for one in self.variances))


@dataclass(frozen=True)
class PosteriorComponent:
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
    """What is known after the rounds. The ``components``' weights add up to 1.

    ``log_evidence`` of all that was seen, up to a constant.
    """

    components: tuple[PosteriorComponent, ...]
    log_evidence: float = 0.0

    @property
    def probability_right(self) -> float:
        """That rest right turns the nose right."""
        at = PER_AXIS.index("rate_gain")
        return sum(
            one.weight * 0.5 * math.erfc(-one.mean[at] / math.sqrt(2.0 * one.covariance[at, at]))
            for one in self.components
        )

    def samples(self, count: int, seed: int = 1) -> FloatArray:
        """About ``count`` draws (k, 13), in proportion to the components' weights."""
        random = np.random.default_rng(seed)
        return np.concatenate([one.samples(count, random) for one in self.components])


def data_by_setting(rounds: Sequence[Round], spread_angle: float) -> list[SettingData]:
    """Gather the rounds by the bow's setting.

    Args:
        rounds: those that count.
        spread_angle: standard deviation of one arrow on one axis, rad.
    """
    gathered: dict[BowSetting, list[Measurement]] = {}
    for one in rounds:
        said = [seen.measurement(spread_angle) for seen in one.observations]
        told = [measurement for measurement in said if measurement is not None]
        if told:
            gathered.setdefault(one.setting, []).extend(told)
    return [_data(setting, told) for setting, told in gathered.items()]


def _data(setting: BowSetting, told: list[Measurement]) -> SettingData:
    planes, values, variances = [], [], []
    arrows: tuple[ArrowKind, ...] = ("fletched", "bare")
    for arrow in arrows:
        points = [one for one in told if one.arrow == arrow and one.plane == "target"]
        tears = [one for one in told if one.arrow == arrow and one.plane == "paper"]
        if not points and not tears:
            continue
        planes.append(
            Planes(arrow, tuple(p.distance for p in points), tuple(t.distance for t in tears))
        )
        values.append(np.array([one.value for one in (*points, *tears)]))
        variances.append(np.array([one.variance for one in (*points, *tears)]))
    return SettingData(setting, tuple(planes), tuple(values), tuple(variances))


def launch_errors(theta: FloatArray, setting: BowSetting) -> FloatArray:
    """Launch errors (6,) of :data:`~vireton.tuning.response.ERRORS` at a setting of the bow."""
    return errors_by_theta(setting) @ theta


def errors_by_theta(setting: BowSetting) -> FloatArray:
    """Derivative (6, 13) of the launch errors by the unknowns.

    Raises ValueError for a nocking point that was moved: no unknown says yet what that does.
    """
    if not setting.moves_rest_only:
        raise ValueError("the tuning knows what a move of the rest does, not of the nocking point")
    n = len(PER_AXIS)
    matrix = np.zeros((6, SIZE))
    for k in range(3):
        for axis in range(2):
            matrix[2 * k + axis, axis * n + k] = 1.0
            matrix[2 * k + axis, axis * n + 3 + k] = setting.rest[axis]
    return matrix


def predict(
    shooter: Shooter, planes: Planes, theta: FloatArray, setting: BowSetting
) -> tuple[FloatArray, FloatArray]:
    """Values (n, 2) in the planes' order, and their derivative (n, 2, 13) by the unknowns.

    The bare shaft's answer to the launch errors is scaled by exp(bare_scale): its aerodynamics are
    known to some 15 per cent only.
    """
    errors, by_theta = launch_errors(theta, setting), errors_by_theta(setting)
    response = shooter.shoot(planes, errors)
    value = np.concatenate([response.points, response.tears])
    by_error = np.concatenate([response.points_by_error, response.tears_by_error])
    derivative = by_error @ by_theta
    if planes.arrow == "bare" and planes.targets:
        n = len(planes.targets)
        # what turning and yaw do, without what direction does: that part is geometry
        straight = np.zeros(6)
        straight[4:] = errors[4:]
        plain = shooter.points(planes, straight)
        scale = float(np.exp(theta[-1]))
        moved = value[:n] - plain
        value[:n] = plain + scale * moved
        turning = by_error[:n].copy()
        turning[:, :, 4:] = 0.0
        derivative[:n] += (scale - 1.0) * (turning @ by_theta)
        derivative[:n, :, -1] += scale * moved
    return value, derivative


def fit(shooter: Shooter, prior: Prior, data: Sequence[SettingData]) -> Posterior:
    """The posterior after these settings; the prior itself without any."""
    whiteners = [_whitener(shooter, one, k == 0) for k, one in enumerate(data)]
    found = [
        _fit_component(shooter, one, data, whiteners)
        for one in prior.components
        if one.weight > 0.0
    ]
    logs = np.array([log for _, log in found])
    weights = np.exp(logs - logs.max())
    evidence = float(logs.max() + np.log(weights.sum()))
    # two axes, each with half the logarithm of the determinant: twice that of the factor
    evidence += 2.0 * sum(float(np.sum(np.log(np.diag(one)))) for one in whiteners)
    weights /= weights.sum()
    components = tuple(
        replace(one, weight=float(weight)) for (one, _), weight in zip(found, weights, strict=True)
    )
    return Posterior(components, evidence)


def _whitener(shooter: Shooter, data: SettingData, first: bool) -> FloatArray:
    """Turns what was seen at a setting into standard deviations, (n, n), the same on each axis.

    The inverse of the Cholesky factor of its covariance, worked out once: a factor that is solved
    with in every round of the fit took minutes for a log of a thousand rounds.

    Every value has its own error. Where the sight may not be that of the start (a later setting, or
    another distance than the one it was set for) both arrows at a distance share what it is off.
    """
    away = np.array([far for q in data.planes for far in (*q.targets, *([0.0] * len(q.papers)))])
    aimed = shooter.rig.sight.sight_in or 0.0
    free = (away > 0.0) & (not first or np.abs(away - aimed) > _SAME_DISTANCE)
    shared = (away[:, None] == away[None, :]) & free[:, None] & free[None, :]
    covariance = np.diag(np.concatenate(data.variances))
    factor = np.linalg.cholesky(covariance + shared * (SIGHT_MOVED * away[:, None]) ** 2)
    return np.asarray(np.linalg.inv(factor), dtype=float)


def _system(
    shooter: Shooter,
    theta: FloatArray,
    data: Sequence[SettingData],
    whiteners: Sequence[FloatArray],
) -> tuple[FloatArray, FloatArray]:
    """Residuals (n,) in standard deviations, and the derivative (n, 13) of the predictions."""
    residuals, rows = [np.zeros(0)], [np.zeros((0, SIZE))]
    for one, whitener in zip(data, whiteners, strict=True):
        seen, slopes = [], []
        for planes, values in zip(one.planes, one.values, strict=True):
            value, derivative = predict(shooter, planes, theta, one.setting)
            seen.append(values - value)
            slopes.append(derivative)
        count = len(whitener)
        residuals.append((whitener @ np.concatenate(seen)).ravel())
        stacked = whitener @ np.concatenate(slopes).reshape(count, -1)
        rows.append(stacked.reshape(2 * count, SIZE))
    return np.concatenate(residuals), np.concatenate(rows)


def _fit_component(
    shooter: Shooter,
    before: Component,
    data: Sequence[SettingData],
    whiteners: Sequence[FloatArray],
) -> tuple[PosteriorComponent, float]:
    """The component after the data, and the logarithm of its weight up to a constant."""

    def system(theta: FloatArray) -> tuple[FloatArray, FloatArray]:
        return _system(shooter, theta, data, whiteners)

    prior = Gaussian(before.mean, np.asarray(np.linalg.inv(before.covariance), dtype=float))
    found = first = Linearized(before.mean, *system(before.mean), prior)
    for last, found in descend(system, first, _ROUNDS_OF_NEWTON):
        change = found.at - last.at
        if float(change @ last.information @ change) < _CLOSE**2:
            break
    covariance = found.covariance
    _, log_information = np.linalg.slogdet(found.information)
    _, log_precision = np.linalg.slogdet(prior.precision)
    log = np.log(before.weight) - 0.5 * found.cost + 0.5 * (log_precision - log_information)
    fitted = PosteriorComponent(
        found.at,
        0.5 * (covariance + covariance.T),
        1.0,
        before.sideways_sign,
        float(found.residuals @ found.residuals),
        found.residuals.size,
    )
    return fitted, float(log)
