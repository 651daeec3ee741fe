"""Tears: one hole in paper, the tail's hole seen from the point's."""

import math
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Self

from vireton.tuning.observations.base import PAPER_ARROW, ArrowKind, Measurement, Observation
from vireton.units.bench_words import Pair, parse_sides
from vireton.units.move_names import HOLE_SIDES, sides
from vireton.units.numbers import INCH, YARD, number
from vireton.units.quantity import Quantity
from vireton.units.spelling import spelled
from vireton.units.table import Table, need
from vireton.units.text import UnitSystem

#: Reading a hole in paper: 1/32 in, as much again from shot to shot, and as much from the swing of
#: the bending shaft (our choice, no source).
TEAR_ERROR = INCH / 32.0 * math.sqrt(3.0)

_SIZE = Quantity("length", "-12 in", "12 in", "-1/16 in")
_PAPER = Quantity("length", "3 ft", "30 yd", "6 ft")
_CLEAN = ("clean", "clean hole", "bullet hole")


class TearTable(Table):
    """``[[round.tear]]``: tail hole minus point hole."""

    arrow: Annotated[ArrowKind, PAPER_ARROW] = need("Which arrow")
    at: Annotated[float, _PAPER] = need("Distance of the paper from the grip")
    right: Annotated[float, _SIZE] = need("Tail right of the point, left negative")
    up: Annotated[float, _SIZE] = need("Tail above the point, below negative")


@dataclass(frozen=True)
class Tear(Observation):
    """One hole in paper, ``distance`` m from the grip: tail hole minus point hole, m."""

    arrow: ArrowKind
    distance: float
    right: float
    up: float

    key: ClassVar[str] = "tear"
    description: ClassVar[str] = "Tears in paper"
    table: ClassVar[type[Table]] = TearTable
    json_key: ClassVar[str] = "tears"

    @classmethod
    def from_table(cls, table: TearTable) -> Self:
        """As the file says it."""
        return cls(table.arrow, table.at, table.right, table.up)

    def to_table(self, units: UnitSystem) -> dict[str, Any]:
        """Fractions of an inch where they are exact."""
        return {
            "arrow": self.arrow,
            "at": spelled(self.distance, "distance", units),
            "right": spelled(self.right, "bench", units),
            "up": spelled(self.up, "bench", units),
        }

    def words(self, units: UnitSystem) -> str:
        """``bare tear at 6 ft: tail left 1/16 in, high 1/8 in``."""
        said = sides((self.right, self.up), HOLE_SIDES, units)
        if len(said) == 1:
            said.append("level" if self.right else "not sideways")
        hole = f"tail {', '.join(said)}" if said else "clean"
        return f"{self.arrow} tear at {spelled(self.distance, 'distance', units)}: {hole}"

    def to_dict(self) -> dict[str, Any]:
        """Inches and yards."""
        return {
            "arrow": self.arrow,
            "distance_yd": number(self.distance / YARD),
            "right_in": number(self.right / INCH),
            "up_in": number(self.up / INCH),
        }

    def measurement(self, spread_angle: float) -> Measurement:
        """Normal about the flown tear, :data:`TEAR_ERROR` on each axis."""
        return Measurement(self.arrow, "paper", self.distance, (self.right, self.up), TEAR_ERROR**2)


def parse_tear(text: str, where: str = "") -> Pair:
    """The tail hole seen from the point hole: ``"left 1/16 in, high 1/8 in"``, ``"clean"``; m.

    ``tail-left`` is ``left``. An axis that is not named has no tear. Raises InputProblem with
    ``where`` in front.
    """
    if text.strip().lower() in _CLEAN:
        return 0.0, 0.0
    example = 'say where the tail hole is, like "left 1/16 in, high 1/8 in" or "clean"'
    right, up = parse_sides(text, where, example, tail=True)
    return right or 0.0, up or 0.0
