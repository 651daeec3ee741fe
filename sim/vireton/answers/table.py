"""Columns: what an answer's numbers are called, told in, and shown as, said once for all faces."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from vireton.units.display import NUMBER, OPEN, Display, Unit, plain, with_band
from vireton.units.numbers import number

#: How the key of a number's band ends: of bows like this one, or of what the shots leave open.
BandName = Literal["", "range", "interval_95"]
Row = Mapping[str, Any]


@dataclass(frozen=True)
class Column:
    """One number, word or list of an answer.

    ``key`` is its place in a row; a point opens an object of its own in the JSON
    (``canted.right``). ``title`` heads it in a printed table, ``words`` say what it is. A ``band``
    takes values with ``nominal``, ``low`` and ``high``, such as a :class:`Span`. ``after`` ends the
    key behind the unit (``sd_right_error`` in inches is told as ``sd_right_in_error``).
    ``open_side``: its direction can be open. ``digits`` are shown where there is no band.
    ``exact``: programs get every digit, not twelve. ``with_unit``: a shooting distance, shown with
    its unit.
    ``rows``: the value is a list of rows of these columns.
    """

    key: str
    unit: Unit = NUMBER
    title: str = ""
    words: str = ""
    band: BandName = ""
    after: str = ""
    open_side: bool = False
    digits: int = 2
    signed: bool = True
    exact: bool = False
    with_unit: bool = False
    rows: tuple["Column", ...] = ()

    @property
    def path(self) -> list[str]:
        """The keys of the JSON that lead to it, the last with its unit."""
        *outer, last = self.key.split(".")
        pieces = last.removesuffix(f"_{self.after}"), self.unit.key, self.after
        return [*outer, "_".join(piece for piece in pieces if piece)]

    def heading(self, display: Display, *, is_open: bool = False) -> str:
        """Its title with the unit that is shown, marked where its direction is open."""
        name, _ = display.unit(self.unit)
        if self.with_unit or name in self.title.split()[-1:]:
            name = ""
        mark = OPEN if is_open and self.open_side else ""
        return " ".join(part for part in (self.title, name, mark) if part)

    def cell(self, value: Any, display: Display) -> str:
        """The value as a table shows it."""
        if isinstance(value, str):
            return value
        if value is None:
            return ""
        if self.with_unit:
            return display.distance(float(value))
        _, size = display.unit(self.unit)
        if self.band:
            return with_band(*(float(end) / size for end in ends(value)))
        shown = float(value) / size
        if not math.isfinite(shown):
            return "not reached"
        return plain(shown, self.digits) if self.signed else f"{shown:.{self.digits}f}"

    def put(self, found: dict[str, Any], value: Any) -> None:
        """Add the value to a JSON object, with its band beside it."""
        *outer, last = self.path
        for key in outer:
            found = found.setdefault(key, {})
        if self.rows:
            found[last] = [json_row(self.rows, row) for row in value]
        elif not self.band:
            found[last] = self._number(value)
        else:
            value, low, high = ends(value)
            found[last] = self._number(value)
            found[f"{last}_{self.band}"] = [self._number(low), self._number(high)]

    def _number(self, value: Any) -> Any:
        if value is None or isinstance(value, str | bool | int | dict):
            return value
        if isinstance(value, list | tuple) or getattr(value, "ndim", False):
            return [self._number(one) for one in value]
        told = float(value) / (self.unit.size if self.unit.key else 1.0)
        return told if self.exact else number(told)


class Span(NamedTuple):
    """A number with its low and high end."""

    nominal: float
    low: float
    high: float


def ends(value: Any) -> tuple[Any, Any, Any]:
    """Value, low and high of something banded."""
    return value.nominal, value.low, value.high


def json_row(columns: Iterable[Column], row: Row) -> dict[str, Any]:
    """A row as JSON; a column that it does not have is left out."""
    found: dict[str, Any] = {}
    for column in columns:
        if column.key in row:
            column.put(found, row[column.key])
    return found


def shares(values: Mapping[str, float]) -> dict[str, float | None]:
    """Shares by name, as JSON."""
    return {name: number(value) for name, value in values.items()}


def flat(row: Row) -> dict[str, Any]:
    """Inner objects' keys behind the outer one's: ``{"a": {"b_in": 1}}`` is ``{"a_b_in": 1}``."""
    found: dict[str, Any] = {}
    for key, value in row.items():
        if isinstance(value, Mapping):
            found |= {f"{key}_{inner}": one for inner, one in flat(value).items()}
        else:
            found[key] = value
    return found


@dataclass(frozen=True)
class Grid:
    """A table as people see it: text in every cell; columns in ``left`` lean to the left."""

    title: str
    heads: tuple[str, ...]
    cells: tuple[tuple[str, ...], ...]
    left: frozenset[int] = frozenset()


def grid(
    title: str,
    columns: Sequence[Column],
    rows: Iterable[Row],
    display: Display,
    *,
    is_open: bool = False,
    left: Iterable[int] = (),
) -> Grid:
    """The table of these columns."""
    return Grid(
        title,
        tuple(column.heading(display, is_open=is_open) for column in columns),
        tuple(
            tuple(column.cell(row.get(column.key), display) for column in columns) for row in rows
        ),
        frozenset(left),
    )


@dataclass(frozen=True)
class Lines:
    """What is said between tables, a fact a line; ``bold`` is one heading line."""

    lines: tuple[str, ...]
    bold: bool = False


#: What an answer shows, in order.
Part = Lines | Grid
