"""Draws from the posterior, and what each of them says bare and fletched arrows would do."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from vireton.kernel.arrays import BoolArray, ComplexArray, FloatArray
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.evidence import Evidence
from vireton.tuning.flown import Flown
from vireton.tuning.observations import ShotArrow
from vireton.tuning.posterior import Posterior
from vireton.tuning.predicting import launched
from vireton.tuning.stories import Story, off_by
from vireton.tuning.surface import turning
from vireton.tuning.unknowns import PLACE

#: What is wanted: a launch without yaw, pitch and their rates, or bare and fletched together.
Aim = Literal["clean", "together"]


@dataclass(frozen=True)
class Belief:
    """k draws alike in weight: ``theta`` (k, SIZE), and how each reads the log.

    ``here`` (k,) complex: where the rest stands, m from the first setting; ``answers`` and
    ``shifted`` (k,) as in :class:`~vireton.tuning.stories.Altered`; ``stories`` (k,); ``launch``
    (k,): whether it is a bow of the launch model.
    """

    flown: Flown
    theta: FloatArray
    here: ComplexArray
    answers: FloatArray
    shifted: FloatArray
    stories: tuple[Story, ...]
    launch: BoolArray

    def turned(
        self, arrow: ShotArrow, plane: str, distance: float, moves: ComplexArray
    ) -> ComplexArray:
        """(k, m) what the launch does to a point or a tear, m, after ``moves`` (m,) or (k, m).

        Of a film's plane rad/s or rad, see :class:`~vireton.tuning.observations.Measurement`.
        """
        b = self.flown.surface(arrow, plane, distance)
        own = self.flown.shooter.nominal(arrow)
        at = (self.here[:, None] + moves) * self.answers[:, None]
        _, (rate, angle, direction) = launched(self.theta, at, self.shifted[:, None])
        turned = turning(b, rate + complex(*own[:2]), angle + complex(*own[2:4]))
        name = "tear_scale" if plane == "paper" else "bare_scale"
        if plane == "paper" or (plane == "target" and arrow == "bare"):
            turned = turned * np.exp(self.theta[:, PLACE[name], None])
        return np.asarray(turned + b[5] * direction)

    def launches(self) -> tuple[ComplexArray, ComplexArray]:
        """(k,) each: rates, rad/s, and angles, rad, of a fletched arrow as the bow stands.

        Yaw, to the right, and pitch, up, as a complex number.
        """
        own = self.flown.shooter.nominal("fletched")
        at = self.here[:, None] * self.answers[:, None]
        _, (rate, angle, _) = launched(self.theta, at, self.shifted[:, None])
        return rate[:, 0] + complex(*own[:2]), angle[:, 0] + complex(*own[2:4])

    def off_clean(self, moves: ComplexArray, distance: float) -> ComplexArray:
        """(k, m) separation less that of a clean launch, m."""
        bare = self.turned("bare", "target", distance, moves)
        return np.asarray(bare - self.turned("fletched", "target", distance, moves))

    def clean(self, distance: float) -> ComplexArray:
        """(k,) separation of a clean launch, m."""
        flown = self.flown
        apart = (
            flown.surface("bare", "target", distance)[0]
            - flown.surface("fletched", "target", distance)[0]
        )
        return np.asarray(apart + (distance / TALKING_DISTANCE) ** 2 * self._own("bare"))

    def left(self, aim: Aim, moves: ComplexArray, distance: float) -> ComplexArray:
        """(k, m) what is left from the aim after each move, m."""
        off = self.off_clean(moves, distance)
        return off if aim == "clean" else off + self.clean(distance)[:, None]

    def separation(self, distance: float, moves: ComplexArray | None = None) -> ComplexArray:
        """(k,) or (k, m) bare minus fletched, m."""
        asked = np.zeros(1, complex) if moves is None else moves
        found = self.off_clean(asked, distance) + self.clean(distance)[:, None]
        return found[:, 0] if moves is None else found

    def tear(self, arrow: ShotArrow, distance: float, moves: ComplexArray) -> ComplexArray:
        """(k, m) tears after each move, m."""
        clean = self.flown.surface(arrow, "paper", distance)[0] + self._own("tear")
        return np.asarray(clean[:, None] + self.turned(arrow, "paper", distance, moves))

    def film_rate(self, arrow: ShotArrow, distance: float, moves: ComplexArray) -> ComplexArray:
        """(k, m) rate at which the shaft turns at a distance after each move, rad/s."""
        clean = self.flown.surface(arrow, "film rate", distance)[0]
        return np.asarray(clean + self.turned(arrow, "film rate", distance, moves))

    def _own(self, name: str) -> ComplexArray:
        return np.asarray(
            self.theta[:, PLACE[f"{name}_right"]] + 1j * self.theta[:, PLACE[f"{name}_up"]]
        )


def drawn_from(
    posterior: Posterior,
    seen: Evidence,
    stands: complex,
    flown: Flown,
    count: int = 800,
    seed: int = 1,
) -> Belief:
    """Draw from the posterior; ``stands``: the rest, m from the first setting, by the log."""
    shifted = bool(seen.count and seen.shifted[-1])
    theta, stories = posterior.samples(count, seed)
    return Belief(
        flown,
        theta,
        np.array([stands + off_by(one, seen.moves) for one in stories]),
        np.array([float(one.kind != "contact") for one in stories]),
        np.array([float(one.kind == "changed" or shifted) for one in stories]),
        tuple(stories),
        posterior.of_launch_model(count),
    )


def mean_and_ends(values: ComplexArray, share: float = 0.95) -> tuple[FloatArray, ...]:
    """Mean and ends of the middle ``share`` of complex draws (k,), each (2,): right, up."""
    both = np.column_stack([values.real, values.imag])
    tail = 50.0 * (1.0 - share)
    low, high = np.percentile(both, [tail, 100.0 - tail], axis=0)
    return both.mean(axis=0), low, high
