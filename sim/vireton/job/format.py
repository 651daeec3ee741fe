"""The tables and keys of a tuning log: what each is and what it may be.

As in a setup file, every value is an annotation of a kind that reads it into SI.
"""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated, Any, get_args

from pydantic import Field, model_validator

from vireton.job.words import parse_pair
from vireton.tuning.observations import ArrowKind
from vireton.units.kind import Kind, shown
from vireton.units.kinds import Choice, Count, Text, Version
from vireton.units.problems import InputProblem
from vireton.units.quantity import Quantity
from vireton.units.table import Table, may, need

SCHEMA_VERSION = 1

#: More are no group (our choice).
_MOST_SHOTS = 200


@dataclass(frozen=True)
class Note(Kind):
    """Free text of a few lines."""

    longest: int = 2000

    def read(self, value: object) -> str:
        """The text as it is written."""
        if not isinstance(value, str):
            raise ValueError(f"{shown(value)} is no text; write it like {self.example}")
        if len(value) > self.longest:
            raise ValueError(f"a note of {len(value)} characters; keep it to {self.longest}")
        if not all(c.isprintable() or c in "\n\t" for c in value):
            raise ValueError(f"{shown(value)} holds characters that cannot be shown")
        return value

    @property
    def example(self) -> str:
        """A note, quoted."""
        return '"wind from the left"'


@dataclass(frozen=True)
class Day(Kind):
    """A date, as TOML's own or as any text of one line."""

    def read(self, value: object) -> str:
        """The date as text; TOML's own in the order year, month, day."""
        if isinstance(value, date | datetime):
            return value.isoformat()
        return Text("2026-05-01", 40).read(value)

    @property
    def example(self) -> str:
        """A date, quoted."""
        return '"2026-05-01"'


@dataclass(frozen=True)
class Shots(Kind):
    """Every shot of a group, each ``"0.2 in, 0.1 in"`` or ``["0.2 in", "0.1 in"]``."""

    one: Quantity

    def read(self, value: object) -> tuple[tuple[float, float], ...]:
        """Right and up of each shot, m."""
        if not isinstance(value, list) or not 1 <= len(value) <= _MOST_SHOTS:
            raise ValueError(
                f"{shown(value)} is no list of 1 to {_MOST_SHOTS} shots; write {self.example}"
            )
        return tuple(self._shot(index, shot) for index, shot in enumerate(value, start=1))

    def _shot(self, index: int, shot: object) -> tuple[float, float]:
        try:
            match shot:
                case str():
                    right, up = parse_pair(shot)
                    low, high = self.one.bounds
                    if not (low <= right <= high and low <= up <= high):
                        raise ValueError(
                            f"{shown(shot)} is outside {self.one.low} to {self.one.high}"
                        )
                    return right, up
                case [first, second]:
                    return self.one.read(first), self.one.read(second)
            raise ValueError(f"{shown(shot)} is not right and up; write {self._example_shot}")
        except InputProblem as problem:
            raise ValueError(f"shot {index}: {problem}") from None
        except ValueError as problem:
            raise ValueError(f"shot {index}: {problem}") from None

    @property
    def _example_shot(self) -> str:
        return '"0.2 in, 0.1 in"'

    @property
    def example(self) -> str:
        """Two shots."""
        return '["0.2 in, 0.1 in", "-0.3 in, 0.4 in"]'


_ARROW = Choice(get_args(ArrowKind))
_REST = Quantity("length", "-1 in", "1 in", "1/32 in")
_TEAR = Quantity("length", "-12 in", "12 in", "-1/16 in")
_PAPER = Quantity("length", "3 ft", "30 yd", "6 ft")
_TARGET = Quantity("length", "2 yd", "300 yd", "20 yd")
_IMPACT = Quantity("length", "-10 ft", "10 ft", "0.5 in")
_SPREAD = Quantity("length", "0 in", "10 ft", "1 in")


class TearTable(Table):
    """``[[round.tear]]``: tail hole minus point hole."""

    arrow: Annotated[ArrowKind, _ARROW] = need("Which arrow")
    at: Annotated[float, _PAPER] = need("Distance of the paper from the grip")
    right: Annotated[float, _TEAR] = need("Tail right of the point, left negative")
    up: Annotated[float, _TEAR] = need("Tail above the point, below negative")


class GroupTable(Table):
    """``[[round.group]]``: every shot, or center and count."""

    arrow: Annotated[ArrowKind, _ARROW] = need("Which arrow")
    at: Annotated[float, _TARGET] = need("Distance of the target")
    shots: Annotated[tuple[tuple[float, float], ...] | None, Shots(_IMPACT)] = may(
        "Every shot, right and up of where you aimed"
    )
    center_right: Annotated[float | None, _IMPACT] = may(
        "Middle of the group right of where you aimed, left negative"
    )
    center_up: Annotated[float | None, _IMPACT] = may(
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
                f"has no shots; write shots = {Shots(_IMPACT).example}, or center_right, "
                "center_up and count"
            )
        if lacking:
            raise ValueError(
                f"the middle of a group needs center_right, center_up and count: "
                f"{' and '.join(lacking)} {'is' if len(lacking) == 1 else 'are'} missing"
            )
        return self


class WalkbackTable(Table):
    """``[[round.walkback]]``."""

    at: Annotated[float, _TARGET] = need("Distance of the shot")
    right: Annotated[float, _IMPACT] = need(
        "Fletched impact right of the plumb line through the aim point, left negative"
    )


class RoundTable(Table):
    """``[[round]]``: all that was seen at one rest setting."""

    number: Annotated[int | None, Count(1, 10**6, 1)] = may(
        "Of this round; without it one more than the round before"
    )
    date: Annotated[str | None, Day()] = may("When it was shot")
    rest_right: Annotated[float | None, _REST] = may(
        "Rest right of where it stood at the start of the log; without it as the round before"
    )
    rest_up: Annotated[float | None, _REST] = may(
        "Rest above where it stood at the start of the log; without it as the round before"
    )
    note: Annotated[str | None, Note()] = may("Anything else")
    undoes: Annotated[int | None, Count(1, 10**6, 1)] = may("Number of the round it takes back")
    tear: tuple[TearTable, ...] = Field(default=(), description="Tears in paper")
    group: tuple[GroupTable, ...] = Field(default=(), description="Groups on a target")
    walkback: tuple[WalkbackTable, ...] = Field(default=(), description="Walk-back points")


class LogFile(Table):
    """The whole file."""

    # `schema` itself would hide a method of every model
    version: Annotated[int, Version(SCHEMA_VERSION)] = Field(
        alias="schema", description="Version of this file's layout"
    )
    setup: Annotated[str, Text("mill_bow.toml", 500)] = need(
        "Setup file of this bow, seen from the folder of the log"
    )
    name: Annotated[str | None, Text("Mill bow, spring")] = may("What you call this log")
    round: tuple[RoundTable, ...] = Field(default=(), description="The rounds, in order")


#: The table that each list of tables holds, by the names of the keys that lead to it.
TABLES: dict[tuple[str, ...], type[Table]] = {
    (): LogFile,
    ("round",): RoundTable,
    ("round", "tear"): TearTable,
    ("round", "group"): GroupTable,
    ("round", "walkback"): WalkbackTable,
}
