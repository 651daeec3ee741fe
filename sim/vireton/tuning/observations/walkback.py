"""Walk-back points: fletched arrows from several distances with one sight setting."""

import re
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import model_validator

from vireton.tuning.observations.base import IMPACT, TARGET, Observation
from vireton.tuning.observations.group import CENTER_ERROR, beside
from vireton.units.bench_words import names_side, parse_length, parse_side, problem
from vireton.units.kinds import Choice, Count
from vireton.units.move_names import HOLE_SIDES
from vireton.units.numbers import INCH, YARD, number
from vireton.units.quantity import Quantity
from vireton.units.spelling import spelled
from vireton.units.table import Table, may, need
from vireton.units.text import UnitSystem, as_typed, parse

#: More are no point (our choice).
_MOST_ARROWS = 200
_LONGEST = 120  # letters of one point as typed
_SPREAD = Quantity("length", "0 in", "10 ft", "1 in")
_YES_NO = ("yes", "no")

_POINT = re.compile(
    r"(?P<at>[0-9./ -]*[0-9.]\s*[A-Za-z]+)[\s:]+(?P<right>\S.*?)"
    r"(?:\s+[x×]\s*(?P<count>\d+))?(?:\s+spread\s+(?P<spread>.+?))?"
    r"(?P<checked>(?:\s+(?:level|calm))*)",
    re.S | re.I,
)
_LIKE = (
    'write it like "20yd 0.1in, 40yd -0.4in" or "20yd right 0.1in, 40yd left 0.4in x3 spread 1.2in"'
)


class WalkbackTable(Table):
    """``[[round.walkback]]``."""

    at: Annotated[float, TARGET] = need("Distance of the shot")
    right: Annotated[float, IMPACT] = need(
        "Fletched impact right of the plumb line through the aim point, left negative"
    )
    count: Annotated[int | None, Count(1, _MOST_ARROWS, 3)] = may(
        "How many arrows that is the middle of; without it one"
    )
    spread: Annotated[float | None, _SPREAD] = may(
        "Standard deviation of one of them sideways, where it is known"
    )
    level: Annotated[Literal["yes", "no"] | None, Choice(_YES_NO)] = may(
        "Whether the bow was held by a level that was checked"
    )
    calm: Annotated[Literal["yes", "no"] | None, Choice(_YES_NO)] = may(
        "Whether it was shot without wind"
    )

    @model_validator(mode="after")
    def _of_several(self) -> "WalkbackTable":
        if self.spread is not None and (self.count or 1) < 2:
            raise ValueError(
                "one arrow has no spread: give count, how many arrows the point is of, or delete "
                "spread"
            )
        return self


@dataclass(frozen=True)
class WalkbackPoint(Observation):
    """Fletched arrows shot from ``distance`` m with the one sight setting of the walk-back.

    The middle of ``count`` of them is ``right`` m of the plumb line through the aim point;
    ``spread`` m: the standard deviation of one of them sideways, None where it is not known.
    ``level``: by a level that was checked; ``calm``: without wind.
    """

    distance: float
    right: float
    count: int = 1
    spread: float | None = None
    level: bool = False
    calm: bool = False

    key: ClassVar[str] = "walkback"
    description: ClassVar[str] = "Walk-back points"
    table: ClassVar[type[Table]] = WalkbackTable
    json_key: ClassVar[str] = "walkback"

    @classmethod
    def from_table(cls, table: WalkbackTable) -> Self:
        """As the file says it."""
        return cls(
            table.at,
            table.right,
            table.count or 1,
            table.spread,
            table.level == "yes",
            table.calm == "yes",
        )

    def to_table(self, units: UnitSystem) -> dict[str, Any]:
        """Decimals of an inch or a centimeter where they are exact; what is usual is left out."""
        found: dict[str, Any] = {
            "at": spelled(self.distance, "distance", units),
            "right": spelled(self.right, "impact", units),
        }
        if self.count != 1:
            found["count"] = self.count
        if self.spread is not None:
            found["spread"] = spelled(self.spread, "impact", units)
        return found | {name: "yes" for name in ("level", "calm") if getattr(self, name)}

    def words(self, units: UnitSystem) -> str:
        """``walk-back at 40 yd: 3 arrows, middle 0.40 in left of the plumb line``."""
        at = spelled(self.distance, "distance", units)
        several = f"{self.count} arrows, middle " if self.count > 1 else ""
        aside = beside(self.right, HOLE_SIDES[0], units)
        said = f"walk-back at {at}: {several}{aside + ' of' if aside else 'on'} the plumb line"
        if self.spread is not None:
            size, unit = (INCH, "in") if units == "us" else (0.01, "cm")
            said += f", one arrow's spread {self.spread / size:.2f} {unit}"
        said += ", bow level" if self.level else ""
        return said + (", no wind" if self.calm else "")

    def to_dict(self) -> dict[str, Any]:
        """Inches and yards."""
        return {
            "distance_yd": number(self.distance / YARD),
            "right_in": number(self.right / INCH),
            "count": self.count,
            "spread_in": None if self.spread is None else number(self.spread / INCH),
            "level": self.level,
            "calm": self.calm,
        }

    def measurement(self, spread_angle: float) -> None:
        """None: its causes are weighed by :func:`vireton.tuning.walkback.weigh_causes`."""

    def variance(self, spread_angle: float) -> float:
        """m² of ``right``: the scatter of so many arrows, growing with distance, and reading it."""
        scatter = spread_angle * self.distance
        return scatter * scatter / self.count + CENTER_ERROR**2


def parse_walkback(text: str, where: str = "", unit: str = "in") -> tuple[WalkbackPoint, ...]:
    """Points of ``"20yd 0.1in, 40yd -0.4in"``; ``"40yd left 0.4in"`` says the same.

    Behind a size may stand how many arrows it is the middle of, ``x3``, and then what one of them
    scatters, ``spread 1.2in``; then ``level`` and ``calm``: by a checked level, without wind. A
    size without a unit is in ``unit``; a distance must have its own. Raises InputProblem with
    ``where`` in front.
    """
    return tuple(_point(piece.strip(), where, unit) for piece in text.split(","))


def _point(piece: str, where: str, unit: str) -> WalkbackPoint:
    match = _POINT.fullmatch(piece) if len(piece) <= _LONGEST else None
    if match is None:
        raise problem(where, f"{as_typed(piece)} is not a distance and a size; {_LIKE}")
    at = parse(match["at"], "length", where=where, like="20 yd")
    right = _sideways(match["right"], where, unit)
    count = int(match["count"] or 1)
    if not 1 <= count <= _MOST_ARROWS:
        raise problem(where, f"{as_typed(piece)}: a point is of 1 to {_MOST_ARROWS} arrows")
    spread = None
    if match["spread"] is not None:
        if count < 2:
            raise problem(
                where, f"{as_typed(piece)}: one arrow has no spread; say how many it is of, like x3"
            )
        spread = parse_length(match["spread"].strip(), unit, where)
    checked = match["checked"].lower().split()
    return WalkbackPoint(at, right, count, spread, "level" in checked, "calm" in checked)


def _sideways(text: str, where: str, unit: str) -> float:
    if not names_side(text):
        return parse_length(text.strip(), unit, where)
    axis, value = parse_side(text.strip(), where, 'write it like "left 0.4 in"')
    if axis != 0:
        raise problem(where, f"{as_typed(text)}: a walk-back point is right or left only")
    return value
