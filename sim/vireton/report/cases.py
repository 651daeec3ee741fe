"""What a page asks of a bow, whether it is known from its setup file alone or from a log."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal, Protocol

import numpy as np

from vireton.flight.flight import Conditions, prepare
from vireton.kernel.arrays import FloatArray
from vireton.kernel.parameters import Parameters
from vireton.rig import Rig
from vireton.tuning.observations import ArrowKind

#: What is spread: an arrow's place, or bare minus fletched.
Seen = Literal["fletched", "bare", "apart"]

#: m of error allowed a step of the many flights behind a covariance: far below what they differ by.
ROUGH = 1e-4

#: A way of answering sideways less likely than this is not drawn beside the other (our choice).
UNLIKELY = 0.1


class Case(Protocol):
    """One way in which the bow may answer a sideways rest move.

    ``weight`` is its probability; ``nose`` +1 where rest right turns the nose right, −1 where left.
    """

    @property
    def weight(self) -> float:
        """Its probability."""
        ...

    @property
    def nose(self) -> int:
        """+1 where rest right turns the nose right."""
        ...

    @property
    def kinds(self) -> tuple[ArrowKind, ...]:
        """The arrows that there are, the fletched first."""
        ...

    def places(self, kind: ArrowKind, settings: FloatArray) -> FloatArray:
        """Where an arrow lands at each distance, (m, n, 2) m right and up.

        ``settings`` (m, 3): rest moved right and up, m, and the crosswind toward the right, m/s.
        """
        ...

    def covariances(self, seen: Seen, settings: FloatArray) -> FloatArray:
        """How well that is known, (m, n, 2, 2) m², for the same settings."""
        ...


def likely(cases: Sequence[Case]) -> tuple[Case, ...]:
    """The cases worth drawing, the likelier first."""
    ordered = sorted(cases, key=lambda case: -case.weight)
    return tuple(case for k, case in enumerate(ordered) if k == 0 or case.weight >= UNLIKELY)


def bodies_in_wind(
    rig: Rig, kind: ArrowKind, speed: float, crosswinds: FloatArray
) -> list[Parameters]:
    """Kernel parameters (m rows) of an arrow in each crosswind (m,) m/s toward the right."""
    arrow = rig.bare if kind == "bare" else rig.fletched
    ready = {wind: prepare(arrow, speed, across(rig.conditions, wind)) for wind in set(crosswinds)}
    return [ready[wind] for wind in crosswinds]


def across(conditions: Conditions, crosswind: float) -> Conditions:
    """The same with this crosswind, m/s toward the right; wind along the shot stays."""
    return replace(conditions, wind=replace(conditions.wind, towards_right=float(crosswind)))


def symmetric(covariances: FloatArray) -> FloatArray:
    """The same (…, 2, 2), freed of rounding."""
    return np.asarray(0.5 * (covariances + np.swapaxes(covariances, -1, -2)))
