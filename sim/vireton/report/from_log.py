"""Where the next arrows of a logged bow land, by what the log says of it."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from vireton.flight.volley import shoot_volley, starts_around
from vireton.kernel.arrays import FloatArray
from vireton.kernel.door import DEFAULT_TOLERANCE
from vireton.kernel.start import START
from vireton.report.cases import ROUGH, Case, Seen, bodies_in_wind, symmetric
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.loop import Turn
from vireton.tuning.observations import ArrowKind
from vireton.tuning.observations.group import center_variance
from vireton.tuning.posterior import Reading
from vireton.tuning.predicting import launched
from vireton.tuning.response import ERRORS, Shooter
from vireton.tuning.stories import off_by
from vireton.tuning.unknowns import PLACE, SIZE

_PAIRS = 24  # of draws behind the covariances: each flies from every place of the sliders

#: Shots in the next group, for whose center the ellipses are.
NEXT_SHOTS = 3


@dataclass(frozen=True)
class LogCase:
    """The bows that the log leaves on one side, as one Gaussian: mean (SIZE,), covariance.

    ``stands``: the rest, m from the first setting; ``answers``: 0 where it does not.

    Places are measured from the center of the fletched group as the rest stands now, in still air,
    the sight untouched: where the sight stood at each round nobody noted. The covariance is that of
    the center of the next group of :data:`NEXT_SHOTS`.
    """

    shooter: Shooter
    mean: FloatArray
    covariance: FloatArray
    weight: float
    nose: int
    stands: complex
    answers: float
    spread_angle: float
    distances: FloatArray
    kinds: tuple[ArrowKind, ...] = ("fletched", "bare")

    def places(self, kind: ArrowKind, settings: FloatArray) -> FloatArray:
        """At the mean. See :class:`~vireton.report.cases.Case`."""
        mean = self.mean[None]
        return np.asarray(self._places(kind, mean, settings, DEFAULT_TOLERANCE)[0])

    def _places(
        self, kind: ArrowKind, thetas: FloatArray, settings: FloatArray, tolerance: float
    ) -> FloatArray:
        """(k, m, n, 2) m for unknowns (k, SIZE), each from its own fletched group."""
        origins = self._landed("fletched", thetas, np.zeros((1, 3)), tolerance)
        return np.asarray(self._landed(kind, thetas, settings, tolerance) - origins)

    def _landed(
        self, kind: ArrowKind, thetas: FloatArray, settings: FloatArray, tolerance: float
    ) -> FloatArray:
        at = self.answers * (self.stands + settings[:, 0] + 1j * settings[:, 1])
        _, found = launched(thetas, np.asarray(at[None]), np.zeros((1, 1)))
        errors = np.stack([part for one in found for part in (one.real, one.imag)], axis=-1)
        if kind == "fletched":
            return self._shoot(kind, errors, settings[:, 2], tolerance)
        # as in the fit: the bare shaft's answer to its launch is scaled, directions are not
        nominal = np.array(self.shooter.nominal(kind))
        straight = np.where(np.arange(len(ERRORS)) < 4, -nominal, errors)
        plain = self._shoot(kind, straight, settings[:, 2], tolerance)
        moved = self._shoot(kind, errors, settings[:, 2], tolerance) - plain
        scale = np.exp(thetas[:, PLACE["bare_scale"]])[:, None, None, None]
        beside = thetas[:, [PLACE["bare_right"], PLACE["bare_up"]]][:, None, None, :]
        grown = (self.distances / TALKING_DISTANCE) ** 2
        return np.asarray(plain + scale * moved + grown[:, None] * beside)

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
        """Second moments about the places of real flights of the reading's draws, with the
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
        """Draws (k, SIZE) that have the very mean and covariance: few are enough."""
        chance = np.random.default_rng(1).standard_normal((_PAIRS, SIZE))
        own = np.linalg.cholesky(chance.T @ chance / _PAIRS)
        chance = np.linalg.solve(own, chance.T).T
        wide = np.linalg.cholesky(self.covariance)
        return np.asarray(self.mean + np.concatenate([chance, -chance]) @ wide.T)


def cases_of_turn(turn: Turn, distances: FloatArray) -> list[Case]:
    """A case for each side to which rest right may turn the nose, arrows at ``distances`` (n,) m.

    All readings on that side that tell the likeliest one's story stand for it; a side on which none
    has come to lie has no case. Rest moves are counted from where the rest stands now, and the
    arrows are those of the bow as it is now.
    """
    where = np.atleast_1d(np.asarray(distances, dtype=float))
    right = turn.posterior.probability_right
    cases: list[Case] = []
    for nose, weight in ((1, right), (-1, 1.0 - right)):
        there = [r for r in turn.posterior.readings if r.mean[PLACE["rate_gain_right"]] * nose > 0]
        if there:
            story = max(there, key=lambda one: one.weight).story
            mean, covariance, scatter = _merged([one for one in there if one.story == story])
            cases.append(
                LogCase(
                    turn.belief.flown.shooter,
                    mean,
                    covariance,
                    weight,
                    nose,
                    turn.stands + off_by(story, turn.seen.moves),
                    float(story.kind != "contact"),
                    turn.spread.sd * scatter,
                    where,
                )
            )
    return cases


def _merged(readings: list[Reading]) -> tuple[FloatArray, FloatArray, float]:
    """Mean, covariance and scatter of a mixture of readings."""
    weights = np.array([one.weight for one in readings])
    weights /= weights.sum()
    means = np.array([one.mean for one in readings])
    mean = weights @ means
    off = means - mean
    within = np.einsum("r,rij->ij", weights, np.array([one.covariance for one in readings]))
    between = np.einsum("r,ri,rj->ij", weights, off, off)
    scatter = float(weights @ [one.scatter for one in readings])
    return mean, np.asarray(within + between), scatter
