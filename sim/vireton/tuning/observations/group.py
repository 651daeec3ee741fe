"""Groups: shots at one target, each of them or only their middle."""

import re
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, TypeVar

import tomlkit
from pydantic import model_validator

from vireton.kernel.arrays import FloatArray
from vireton.tuning.observations.base import (
    IMPACT,
    SHOT_ARROW,
    TARGET,
    Measurement,
    Observation,
    ShotArrow,
)
from vireton.units.bench_words import (
    AXIS_NAMES,
    Pair,
    names_side,
    parse_pair,
    parse_sides,
    problem,
)
from vireton.units.kind import Kind, shown
from vireton.units.kinds import Count
from vireton.units.move_names import HOLE_SIDES
from vireton.units.numbers import INCH, YARD, number
from vireton.units.quantity import Quantity
from vireton.units.spelling import spelled
from vireton.units.table import Table, may, need
from vireton.units.text import UnitSystem, as_typed, unit_at_end

#: m, one or many.
Distance = TypeVar("Distance", float, FloatArray)

#: Placing the center of a group by ruler or eye, m.
CENTER_ERROR = 0.1 * INCH
#: Where the model's bare or fletched arrow may land off the real one, rad: 0.15 in at 20 yd.
MODEL_ERROR = 0.15 * INCH / (20.0 * YARD)

#: More are no group (our choice).
_MOST_SHOTS = 200
_SPREAD = Quantity("length", "0 in", "10 ft", "1 in")


@dataclass(frozen=True)
class Shots(Kind):
    """Every shot of a group, each ``"0.2 in, 0.1 in"`` or ``["0.2 in", "0.1 in"]``."""

    def read(self, value: object) -> tuple[Pair, ...]:
        """Right and up of each shot, m."""
        if not isinstance(value, list) or not 1 <= len(value) <= _MOST_SHOTS:
            raise ValueError(
                f"{shown(value)} is no list of 1 to {_MOST_SHOTS} shots; write {self.example}"
            )
        return tuple(self._shot(index, shot) for index, shot in enumerate(value, start=1))

    def _shot(self, index: int, shot: object) -> Pair:
        try:
            match shot:
                case str():
                    right, up = parse_pair(shot)
                    low, high = IMPACT.bounds
                    if low <= min(right, up) and max(right, up) <= high:
                        return right, up
                    raise ValueError(f"{shown(shot)} is outside {IMPACT.low} to {IMPACT.high}")
                case [first, second]:
                    return IMPACT.read(first), IMPACT.read(second)
            raise ValueError(f'{shown(shot)} is not right and up; write "0.2 in, 0.1 in"')
        except ValueError as wrong:
            raise ValueError(f"shot {index}: {wrong}") from None

    @property
    def example(self) -> str:
        """Two shots."""
        return '["0.2 in, 0.1 in", "-0.3 in, 0.4 in"]'


_SHOTS = Shots()


class GroupTable(Table):
    """``[[round.group]]``: every shot, or center and count."""

    arrow: Annotated[ShotArrow, SHOT_ARROW] = need("Which arrow")
    at: Annotated[float, TARGET] = need("Distance of the target")
    shots: Annotated[tuple[Pair, ...] | None, _SHOTS] = may(
        "Every shot, right and up of where you aimed"
    )
    center_right: Annotated[float | None, IMPACT] = may(
        "Middle of the group right of where you aimed, left negative"
    )
    center_up: Annotated[float | None, IMPACT] = may(
        "Middle of the group above where you aimed, below negative"
    )
    count: Annotated[int | None, Count(1, _MOST_SHOTS, 3)] = may("How many shots that middle is of")
    spread: Annotated[float | None, _SPREAD] = may(
        "Standard deviation of one arrow on one axis, where it is known"
    )

    @model_validator(mode="before")
    @classmethod
    def _older_spelling(cls, table: Any) -> Any:
        """Version 0.1.0 wrote ``centre_right`` and ``centre_up``."""
        if not isinstance(table, dict):
            return table
        return {key.replace("centre", "center"): value for key, value in table.items()}

    @model_validator(mode="after")
    def _one_way(self) -> "GroupTable":
        named = {
            "center_right": self.center_right,
            "center_up": self.center_up,
            "count": self.count,
        }
        if self.shots is not None:
            given = {**named, "spread": self.spread}
            both = [key for key, value in given.items() if value is not None]
            if both:
                raise ValueError(f"choose: every shot, or its middle; delete {' and '.join(both)}")
            return self
        lacking = [key for key, value in named.items() if value is None]
        if len(lacking) == len(named):
            raise ValueError(
                f"has no shots; write shots = {_SHOTS.example}, or center_right, "
                "center_up and count"
            )
        if lacking:
            raise ValueError(
                f"the middle of a group needs center_right, center_up and count: "
                f"{' and '.join(lacking)} {'is' if len(lacking) == 1 else 'are'} missing"
            )
        return self


@dataclass(frozen=True)
class Group(Observation):
    """Shots at one target, ``distance`` m away, measured from the aim point.

    Either every shot, ``shots`` (right, up) m, or where only that was noted a ``center`` with
    ``count`` shots and, if known, their ``spread``: the standard deviation of one arrow on one
    axis, m. Build one with :func:`group_of_shots` or :func:`group_of_center`.
    """

    arrow: ShotArrow
    distance: float
    center: Pair
    count: int
    shots: tuple[Pair, ...] = ()
    spread: float | None = None

    key: ClassVar[str] = "group"
    description: ClassVar[str] = "Groups on a target"
    table: ClassVar[type[Table]] = GroupTable
    json_key: ClassVar[str] = "groups"

    @classmethod
    def from_table(cls, table: GroupTable) -> "Group":
        """As the file says it."""
        if table.shots is not None:
            return group_of_shots(table.arrow, table.at, table.shots)
        right, up, count = table.center_right, table.center_up, table.count
        assert right is not None and up is not None and count is not None
        return group_of_center(table.arrow, table.at, (right, up), count, table.spread)

    def to_table(self, units: UnitSystem) -> dict[str, Any]:
        """Decimals of an inch or a centimeter where they are exact."""

        def spell(value: float) -> str:
            return spelled(value, "impact", units)

        table = {"arrow": self.arrow, "at": spelled(self.distance, "distance", units)}
        if self.shots:
            shots = tomlkit.array()
            shots.extend(f"{spell(right)}, {spell(up)}" for right, up in self.shots)
            return table | {"shots": shots.multiline(len(shots) > 1)}
        right, up = self.center
        spread = {} if self.spread is None else {"spread": spell(self.spread)}
        middle = {"center_right": spell(right), "center_up": spell(up), "count": self.count}
        return table | middle | spread

    def words(self, units: UnitSystem) -> str:
        """``bare group at 20 yd: 3 shots, 1.00 in right, 0.20 in high``."""
        at = spelled(self.distance, "distance", units)
        shots = f"{self.count} shot{'s' if self.count > 1 else ''}"
        right = beside(self.center[0], HOLE_SIDES[0], units) or "centered"
        up = beside(self.center[1], HOLE_SIDES[1], units) or "level"
        spread = ""
        if self.spread is not None:
            spread = f", one arrow's spread {_rounded(self.spread, units)}"
        return f"{self.arrow} group at {at}: {shots}, {right}, {up}{spread}"

    def to_dict(self) -> dict[str, Any]:
        """Inches and yards."""
        return {
            "arrow": self.arrow,
            "distance_yd": number(self.distance / YARD),
            "center_right_in": number(self.center[0] / INCH),
            "center_up_in": number(self.center[1] / INCH),
            "count": self.count,
            "spread_in": None if self.spread is None else number(self.spread / INCH),
            "shots_in": [[number(right / INCH), number(up / INCH)] for right, up in self.shots],
        }

    def measurement(self, spread_angle: float) -> Measurement:
        """Its center, normal about the flown point: scatter, placing it, the model's own error."""
        variance = center_variance(spread_angle, self.distance, self.count)
        return Measurement(self.arrow, "target", self.distance, self.center, variance)


def center_variance(spread_angle: float, distance: Distance, count: int) -> Distance:
    """m² of a center on one axis about where the model lands: scatter, placing it, the model."""
    return (spread_angle * distance) ** 2 / count + CENTER_ERROR**2 + (MODEL_ERROR * distance) ** 2


def group_of_shots(arrow: ShotArrow, distance: float, shots: tuple[Pair, ...]) -> Group:
    """A group of which every shot was measured. Raises ValueError without any shot."""
    if not shots:
        raise ValueError("a group has one shot at least")
    # numpy would take longer over a few shots than all else in reading them
    right, up = (sum(axis) / len(shots) for axis in zip(*shots, strict=True))
    return Group(arrow, distance, (right, up), len(shots), shots)


def group_of_center(
    arrow: ShotArrow, distance: float, center: Pair, count: int, spread: float | None = None
) -> Group:
    """A group of which only the middle was noted. Raises ValueError for a count below 1."""
    if count < 1:
        raise ValueError(f"a group has one shot at least, not {count}")
    return Group(arrow, distance, center, count, (), spread)


def beside(value: float, names: tuple[str, str], units: UnitSystem) -> str:
    """``"0.40 in left"``: how far on which side, by the names of both; "" where that is no size."""
    size = _rounded(abs(value), units)
    return f"{size} {names[0 if value > 0.0 else 1]}" if float(size.split()[0]) else ""


def _rounded(value: float, units: UnitSystem) -> str:
    size, unit = (INCH, "in") if units == "us" else (0.01, "cm")
    return f"{value / size:.2f} {unit}"


def parse_center(text: str, where: str = "", unit: str = "") -> Pair:
    """The middle of a group, m: ``"right 1 in, low 2 in"`` or ``"1 in, -2 in"``, both axes named.

    Raises InputProblem with ``where`` in front.
    """
    if not names_side(text):
        return parse_pair(text, where, unit)
    right, up = parse_sides(text, where, 'write it like "right 1 in, low 2 in"')
    if right is None or up is None:
        silent = AXIS_NAMES[0] if right is None else AXIS_NAMES[1]
        zero = "right 0 in" if right is None else "up 0 in"
        raise problem(
            where, f'{as_typed(text)} does not say {silent}; add "{zero}" if that is where it is'
        )
    return right, up


def parse_shots(text: str, where: str = "", unit: str = "in") -> tuple[Pair, ...]:
    """Right and up, m, of every shot of ``"0.2,0.1 -0.3,0.4 cm"``; blanks or ``;`` between shots.

    A number without a unit takes the one that the text names, or ``unit`` where it names none. A
    text with two units must give every number its own. Raises InputProblem with ``where`` in front.
    """
    # blanks belong to shots only: take them out around commas and before units
    tight = re.sub(r"\s*,\s*", ",", text.strip())
    tight = re.sub(r"(?<=[0-9.])\s+(?=[A-Za-zµ])", "", tight)
    shots = [shot for shot in re.split(r"\s*;\s*|\s+", tight) if shot]
    if not 1 <= len(shots) <= _MOST_SHOTS:
        raise problem(where, f"{len(shots)} shots; a group has 1 to {_MOST_SHOTS}")
    named = [unit_at_end(one) for shot in shots for one in shot.split(",")]
    units = set(named) - {""}
    if len(units) > 1 and "" in named:
        raise problem(
            where,
            f"{as_typed(text)} mixes {' and '.join(sorted(units))}; give every number its unit",
        )
    common = units.pop() if len(units) == 1 else unit
    found = []
    for index, shot in enumerate(shots, start=1):
        if shot.count(",") != 1:
            raise problem(
                where,
                f"shot {index}, {as_typed(shot)}, is not right,up; write shots like "
                '"0.2,0.1 -0.3,0.4 in", a mixed number like 1-1/2',
            )
        found.append(parse_pair(shot, where, common))
    return tuple(found)
