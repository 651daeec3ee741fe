"""What a shooter's arrows do for given launch errors, as formulas, and each flown once only."""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from vireton.kernel.arrays import ComplexArray, FloatArray
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.observations import ShotArrow
from vireton.tuning.response import Shooter
from vireton.tuning.surface import COEFFICIENTS, filmed, surfaces

#: m: places of films nearer to each other are one; in so short a way nothing changes.
_FILM_GRAIN = 0.05
#: Planes that a film sees, in the order of :func:`~vireton.tuning.surface.filmed`.
_FILMED = ("film rate", "film angle")


@dataclass(frozen=True)
class Entries:
    """Flown formulas of n entries: coefficients (n, 6), and what the rig itself does there.

    ``bare``: 1 for a bare shaft at a target or paper, else 0; ``paper``: 1 for a tear, else 0;
    ``far``: distance as a share of 20 yd, squared; ``rate``, ``angle`` (n,) of the rig's own
    launch.
    """

    coefficients: ComplexArray
    rate: ComplexArray
    angle: ComplexArray
    bare: FloatArray
    paper: FloatArray
    far: FloatArray

    def of(self, which: npt.NDArray[np.int64]) -> "Entries":
        """Those of some entries."""
        return Entries(*(getattr(self, one.name)[which] for one in fields(self)))


class Flown:
    """A shooter's surfaces, flown once each."""

    def __init__(self, shooter: Shooter) -> None:
        self.shooter = shooter
        self._known: dict[tuple[ShotArrow, str, float], ComplexArray] = {}

    def surface(self, arrow: ShotArrow, plane: str, distance: float) -> ComplexArray:
        """Coefficients (6,) of an arrow in a plane (``target``, ``paper`` or a film's), m away."""
        if plane in _FILMED:
            return self._film(arrow, plane, distance)
        key = (arrow, plane, distance)
        if key not in self._known:
            where = ((distance,), ()) if plane == "target" else ((), (distance,))
            self._known[key] = surfaces(self.shooter, arrow, *where)[0]
        return self._known[key]

    def _film(self, arrow: ShotArrow, plane: str, distance: float) -> ComplexArray:
        place = _FILM_GRAIN * round(distance / _FILM_GRAIN)
        if (arrow, plane, place) not in self._known:
            for name, found in zip(_FILMED, filmed(self.shooter, arrow, place), strict=True):
                self._known[arrow, name, place] = found
        return self._known[arrow, plane, place]

    def planes(
        self, asked: Sequence[tuple[ShotArrow, str, float]], later: Sequence[float] = ()
    ) -> Entries:
        """The formulas of what was measured: arrow, plane and distance m, one an entry.

        ``later`` (n,) s: how much of the rate is in a film's angle, see
        :class:`~vireton.tuning.observations.Measurement`.
        """
        nominal = {kind: self.shooter.nominal(kind) for kind in self.shooter.shots}
        rows = [self.surface(*one) for one in asked]
        for k, after in enumerate(later):
            if after:
                arrow, _, distance = asked[k]
                rows[k] = rows[k] + after * self.surface(arrow, _FILMED[0], distance)
        return Entries(
            np.array(rows).reshape(len(asked), COEFFICIENTS),
            np.array([complex(*nominal[one[0]][:2]) for one in asked], dtype=complex),
            np.array([complex(*nominal[one[0]][2:4]) for one in asked], dtype=complex),
            np.array([float(one[0] == "bare" and one[1] not in _FILMED) for one in asked]),
            np.array([float(one[1] == "paper") for one in asked]),
            np.array([(one[2] / TALKING_DISTANCE) ** 2 for one in asked]),
        )
