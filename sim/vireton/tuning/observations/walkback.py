"""Walk-back points: fletched arrows from several distances with one sight setting."""

import re
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Self

from vireton.tuning.observations.base import IMPACT, TARGET, Observation
from vireton.tuning.observations.group import CENTER_ERROR, beside
from vireton.units.bench_words import names_side, parse_length, parse_side, problem
from vireton.units.move_names import HOLE_SIDES
from vireton.units.numbers import INCH, YARD, number
from vireton.units.spelling import spelled
from vireton.units.table import Table, need
from vireton.units.text import UnitSystem, as_typed, parse

_POINT = re.compile(r"(?P<at>[0-9./ -]*[0-9.]\s*[A-Za-z]+)[\s:]+(?P<right>\S.*)", re.S)


class WalkbackTable(Table):
    """``[[round.walkback]]``."""

    at: Annotated[float, TARGET] = need("Distance of the shot")
    right: Annotated[float, IMPACT] = need(
        "Fletched impact right of the plumb line through the aim point, left negative"
    )


@dataclass(frozen=True)
class WalkbackPoint(Observation):
    """A fletched arrow shot from ``distance`` m with one sight setting: ``right`` m of the plumb
    line through the aim point.
    """

    distance: float
    right: float

    key: ClassVar[str] = "walkback"
    description: ClassVar[str] = "Walk-back points"
    table: ClassVar[type[Table]] = WalkbackTable
    json_key: ClassVar[str] = "walkback"

    @classmethod
    def from_table(cls, table: WalkbackTable) -> Self:
        """As the file says it."""
        return cls(table.at, table.right)

    def to_table(self, units: UnitSystem) -> dict[str, Any]:
        """Decimals of an inch or a centimeter where they are exact."""
        return {
            "at": spelled(self.distance, "distance", units),
            "right": spelled(self.right, "impact", units),
        }

    def words(self, units: UnitSystem) -> str:
        """``walk-back at 40 yd: 0.40 in left of the plumb line``."""
        at = spelled(self.distance, "distance", units)
        return f"walk-back at {at}: {beside(self.right, HOLE_SIDES[0], units)} the plumb line"

    def to_dict(self) -> dict[str, Any]:
        """Inches and yards."""
        return {
            "distance_yd": number(self.distance / YARD),
            "right_in": number(self.right / INCH),
        }

    def measurement(self, spread_angle: float) -> None:
        """None: its causes are weighed by :func:`vireton.tuning.walkback.weigh_causes`."""

    def variance(self, spread_angle: float) -> float:
        """m² of ``right``: one arrow's scatter, which grows with distance, and reading it."""
        scatter = spread_angle * self.distance
        return scatter * scatter + CENTER_ERROR**2


def parse_walkback(text: str, where: str = "", unit: str = "in") -> tuple[WalkbackPoint, ...]:
    """Points of ``"20yd 0.1in, 40yd -0.4in"``; ``"40yd left 0.4in"`` says the same.

    A size without a unit is in ``unit``; a distance must have its own. Raises InputProblem with
    ``where`` in front.
    """
    points = []
    for piece in text.split(","):
        match = _POINT.fullmatch(piece.strip())
        if match is None:
            raise problem(
                where,
                f"{as_typed(piece.strip())} is not a distance and a size; write it like "
                '"20yd 0.1in, 40yd -0.4in" or "20yd right 0.1in, 40yd left 0.4in"',
            )
        at = parse(match["at"], "length", where=where, like="20 yd")
        points.append(WalkbackPoint(at, _sideways(match["right"], where, unit)))
    return tuple(points)


def _sideways(text: str, where: str, unit: str) -> float:
    if not names_side(text):
        return parse_length(text.strip(), unit, where)
    axis, value = parse_side(text.strip(), where, 'write it like "left 0.4 in"')
    if axis != 0:
        raise problem(where, f"{as_typed(text)}: a walk-back point is right or left only")
    return value
