"""Where the next arrows of a logged bow land, by what the log says of it."""

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from vireton.arrays import FloatArray
from vireton.kernel.start import START
from vireton.observations import ArrowKind
from vireton.report.cases import Case, Seen, bodies_in_wind, symmetric
from vireton.tuning.fit import (
    CENTRE_ERROR,
    MODEL_ERROR,
    PosteriorLobe,
    launch_errors,
    predict,
)
from vireton.tuning.loop import Tuner, Turn
from vireton.tuning.prior import PER_AXIS
from vireton.tuning.response import ERRORS, Question, Shooter
from vireton.volley import shoot_volley, start_of, starts_around

_GAIN = PER_AXIS.index("rate_gain")

#: Shots in the next group, for whose centre the ellipses are.
NEXT_SHOTS = 3


@dataclass(frozen=True)
class LogCase:
    """One lobe of the posterior.

    Places are measured from the centre of the fletched group as the rest stands now, in still air,
    the sight untouched: where the sight stood at each round nobody noted. The covariance is that of
    the centre of the next group of :data:`NEXT_SHOTS`.
    """

    shooter: Shooter
    lobe: PosteriorLobe
    weight: float
    nose: int
    rest: FloatArray
    spread_angle: float
    distances: FloatArray
    kinds: tuple[ArrowKind, ...] = ("fletched", "bare")

    def places(self, kind: ArrowKind, settings: FloatArray) -> FloatArray:
        """At the lobe's mean. See :class:`~vireton.report.cases.Case`."""
        return np.asarray(self._landed(kind, settings) - self._origin)

    @cached_property
    def _origin(self) -> FloatArray:
        return np.asarray(self._landed("fletched", np.zeros((1, 3)))[0])

    def _landed(self, kind: ArrowKind, settings: FloatArray) -> FloatArray:
        theta = self.lobe.mean
        errors = np.array([launch_errors(theta, self.rest + move) for move in settings[:, :2]])
        if kind == "fletched":
            return self._shoot(kind, errors, settings[:, 2])
        # as in the fit: the bare shaft's answer to its launch errors is scaled, directions are not
        straight = np.where(np.arange(len(ERRORS)) < 4, 0.0, errors)
        plain = self._shoot(kind, straight, settings[:, 2])
        return plain + math.exp(theta[-1]) * (self._shoot(kind, errors, settings[:, 2]) - plain)

    def _shoot(self, kind: ArrowKind, errors: FloatArray, crosswinds: FloatArray) -> FloatArray:
        rig, arrow = self.shooter.rig, self.shooter.arrow(kind)
        start = start_of(self.shooter.launches[kind], rig.aim, arrow.balance)
        changes = dict(zip(ERRORS, errors.T, strict=True))
        volley = shoot_volley(
            starts_around(start, **changes),
            bodies_in_wind(rig, kind, float(start[START.index("speed")]), crosswinds),
            arrow.total_length - arrow.balance,
            self.distances,
            rig.bow.brace_height,
        )
        return np.stack([volley.right, volley.up], axis=-1)

    def covariances(self, seen: Seen, settings: FloatArray) -> FloatArray:
        """Linear about the lobe's mean, with the scatter of the next group, (m, n, 2, 2) m²."""
        found = np.array([self._covariance(seen, one) for one in settings])
        groups = 2 if seen == "apart" else 1
        one = (
            (self.spread_angle * self.distances) ** 2 / NEXT_SHOTS
            + CENTRE_ERROR**2
            + (MODEL_ERROR * self.distances) ** 2
        )
        return symmetric(found + groups * one[:, None, None] * np.eye(2))

    def _covariance(self, seen: Seen, setting: FloatArray) -> FloatArray:
        slopes = (
            self._slopes("bare", setting) - self._slopes("fletched", setting)
            if seen == "apart"
            else self._slopes(seen, setting) - self._slopes("fletched", np.zeros(3))
        )
        return np.asarray(np.einsum("nai,ij,nbj->nab", slopes, self.lobe.covariance, slopes))

    def _slopes(self, kind: ArrowKind, setting: FloatArray) -> FloatArray:
        """Derivative (n, 2, 13) of the places by the unknowns."""
        key = (kind, *map(float, setting))
        if key not in self._known:
            question = Question(kind, tuple(float(one) for one in self.distances))
            speed = self.shooter.launches[kind].speed
            body = bodies_in_wind(self.shooter.rig, kind, speed, setting[2:])[0]
            blown = replace(self.shooter, bodies={**self.shooter.bodies, kind: body})
            _, self._known[key] = predict(blown, question, self.lobe.mean, self.rest + setting[:2])
        return self._known[key]

    @cached_property
    def _known(self) -> dict[tuple[str | float, ...], FloatArray]:
        return {}


def cases_of_turn(tuner: Tuner, turn: Turn, distances: FloatArray) -> list[Case]:
    """A case for each side to which rest right may turn the nose, arrows at ``distances`` (n,) m.

    The likelier lobe on that side stands for it; a side on which none has come to lie has no case.
    Rest moves are counted from where the rest stands now.
    """
    where = np.atleast_1d(np.asarray(distances, dtype=float))
    right = turn.posterior.probability_right
    cases: list[Case] = []
    for nose, weight in ((1, right), (-1, 1.0 - right)):
        # a lobe begins on one side, but what was seen can take it to the other
        lobes = [lobe for lobe in turn.posterior.lobes if lobe.mean[_GAIN] * nose > 0.0]
        if lobes:
            lobe = max(lobes, key=lambda one: one.weight)
            cases.append(
                LogCase(tuner.shooter, lobe, weight, nose, turn.rest, turn.spread.as_normal, where)
            )
    return cases
