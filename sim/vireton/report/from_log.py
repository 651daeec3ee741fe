"""Where the next arrows of a logged bow land, by what the log says of it."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from vireton.bow.setting import BowSetting
from vireton.flight.volley import shoot_volley, starts_around
from vireton.kernel.arrays import FloatArray
from vireton.kernel.door import DEFAULT_TOLERANCE
from vireton.kernel.start import START
from vireton.report.cases import ROUGH, Case, Seen, bodies_in_wind, symmetric
from vireton.tuning.fit import PosteriorComponent, errors_by_theta
from vireton.tuning.loop import Tuner, Turn
from vireton.tuning.observations import ArrowKind
from vireton.tuning.observations.group import center_variance
from vireton.tuning.prior import PER_AXIS, SIZE
from vireton.tuning.response import ERRORS, Shooter

_GAIN = PER_AXIS.index("rate_gain")

_PAIRS = 24  # of draws behind the covariances: each flies from every place of the sliders

#: Shots in the next group, for whose center the ellipses are.
NEXT_SHOTS = 3


@dataclass(frozen=True)
class LogCase:
    """One component of the posterior.

    Places are measured from the center of the fletched group as the rest stands now, in still air,
    the sight untouched: where the sight stood at each round nobody noted. The covariance is that of
    the center of the next group of :data:`NEXT_SHOTS`.
    """

    shooter: Shooter
    component: PosteriorComponent
    weight: float
    nose: int
    setting: BowSetting
    spread_angle: float
    distances: FloatArray
    kinds: tuple[ArrowKind, ...] = ("fletched", "bare")

    def places(self, kind: ArrowKind, settings: FloatArray) -> FloatArray:
        """At the component's mean. See :class:`~vireton.report.cases.Case`."""
        mean = self.component.mean[None]
        return np.asarray(self._places(kind, mean, settings, DEFAULT_TOLERANCE)[0])

    def _places(
        self, kind: ArrowKind, thetas: FloatArray, settings: FloatArray, tolerance: float
    ) -> FloatArray:
        """(k, m, n, 2) m for unknowns (k, 13), each from its own fletched group."""
        origins = self._landed("fletched", thetas, np.zeros((1, 3)), tolerance)
        return np.asarray(self._landed(kind, thetas, settings, tolerance) - origins)

    def _landed(
        self, kind: ArrowKind, thetas: FloatArray, settings: FloatArray, tolerance: float
    ) -> FloatArray:
        moves = [BowSetting(float(right), float(up)) for right, up in settings[:, :2]]
        by_theta = np.array([errors_by_theta(self.setting.moved(move)) for move in moves])
        errors = np.einsum("mij,kj->kmi", by_theta, thetas)
        if kind == "fletched":
            return self._shoot(kind, errors, settings[:, 2], tolerance)
        # as in the fit: the bare shaft's answer to its launch errors is scaled, directions are not
        straight = np.where(np.arange(len(ERRORS)) < 4, 0.0, errors)
        plain = self._shoot(kind, straight, settings[:, 2], tolerance)
        moved = self._shoot(kind, errors, settings[:, 2], tolerance) - plain
        return np.asarray(plain + np.exp(thetas[:, -1])[:, None, None, None] * moved)

    def _shoot(
        self, kind: ArrowKind, errors: FloatArray, crosswinds: FloatArray, tolerance: float
    ) -> FloatArray:
        """(k, m, n, 2) m for launch errors (k, m, 6)."""
        rig, arrow = self.shooter.rig, self.shooter.arrow(kind)
        start = self.shooter.shots[kind].start
        changes = dict(zip(ERRORS, errors.reshape(-1, len(ERRORS)).T, strict=True))
        bodies = bodies_in_wind(rig, kind, float(start[START.index("speed")]), crosswinds)
        volley = shoot_volley(
            starts_around(start, **changes),
            np.tile(np.array(bodies), (len(errors), 1)),
            arrow.total_length - arrow.balance,
            self.distances,
            rig.bow.brace_height,
            tolerance=tolerance,
        )
        return np.stack([volley.right, volley.up], axis=-1).reshape(*errors.shape[:2], -1, 2)

    def covariances(self, seen: Seen, settings: FloatArray) -> FloatArray:
        """Second moments about the places of real flights of the component's draws, with the
        scatter of the next group, (m, n, 2, 2) m².

        A line about the mean would say too little where a bare shaft's answer bends.
        """
        if seen == "apart":
            off = self._off("bare", settings) - self._off("fletched", settings)
        else:
            off = self._off(seen, settings)
        found = np.einsum("kmna,kmnb->mnab", off, off) / len(off)
        groups = 2 if seen == "apart" else 1
        one = center_variance(self.spread_angle, self.distances, NEXT_SHOTS)
        return symmetric(found + groups * one[:, None, None] * np.eye(2))

    def _off(self, kind: ArrowKind, settings: FloatArray) -> FloatArray:
        """How far each draw's arrow lands off the mean's, (k, m, n, 2) m."""
        key = (kind, settings.tobytes())
        if key not in self._known:
            landed = self._places(kind, self._draws, settings, ROUGH)
            self._known[key] = landed - self.places(kind, settings)
        return self._known[key]

    @cached_property
    def _known(self) -> dict[tuple[ArrowKind, bytes], FloatArray]:
        return {}

    @cached_property
    def _draws(self) -> FloatArray:
        """Draws (k, 13) that have the component's very mean and covariance: few are enough."""
        chance = np.random.default_rng(1).standard_normal((_PAIRS, SIZE))
        own = np.linalg.cholesky(chance.T @ chance / _PAIRS)
        chance = np.linalg.solve(own, chance.T).T
        wide = np.linalg.cholesky(self.component.covariance)
        return np.asarray(self.component.mean + np.concatenate([chance, -chance]) @ wide.T)


def cases_of_turn(tuner: Tuner, turn: Turn, distances: FloatArray) -> list[Case]:
    """A case for each side to which rest right may turn the nose, arrows at ``distances`` (n,) m.

    The likelier component on that side stands for it; a side on which none has come to lie has no
    case. Rest moves are counted from where the rest stands now.
    """
    where = np.atleast_1d(np.asarray(distances, dtype=float))
    right = turn.posterior.probability_right
    cases: list[Case] = []
    for nose, weight in ((1, right), (-1, 1.0 - right)):
        # a component begins on one side, but what was seen can take it to the other
        there = [one for one in turn.posterior.components if one.mean[_GAIN] * nose > 0.0]
        if there:
            likelier = max(there, key=lambda one: one.weight)
            spread = turn.spread.as_normal
            cases.append(
                LogCase(tuner.shooter, likelier, weight, nose, turn.setting, spread, where)
            )
    return cases
