"""A quantity in a setup file: a number with a unit, in quotes, within a stated range."""

import re
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from vireton.setup.kind import Kind, shown
from vireton.unit_factors import FACTORS
from vireton.units import UnitError, convert, parse, split

_NUMBER_PATTERN = (
    r"(?:(?:[0-9]+[ -])?[0-9]+ ?/ ?[0-9]+|[0-9]* ?[½¼¾⅓⅔⅛⅜⅝⅞]"
    r"|(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)"
)


@dataclass(frozen=True)
class Quantity(Kind):
    """A number with a unit, in a string: ``low`` to ``high``, both included and with units.

    ``hint`` is put behind the message of a value outside the range.
    """

    dimension: str
    low: str
    high: str
    like: str
    hint: str = ""

    @cached_property
    def bounds(self) -> tuple[float, float]:
        """The range in SI."""
        return parse(self.low, self.dimension), parse(self.high, self.dimension)

    def read(self, value: object) -> float:
        """The quantity in SI."""
        if isinstance(value, int | float) and not isinstance(value, bool):
            spelling = self._with_unit(shown(value))
            raise ValueError(f"{shown(value)} has no unit; write it like {spelling}")
        if not isinstance(value, str):
            raise ValueError(f"{shown(value)} is no quantity; write it like {self.example}")
        try:
            si = parse(value, self.dimension, like=self.like)
        except UnitError:
            if self._is_bare(value):
                spelling = self._with_unit(value.strip())
                raise ValueError(f"{shown(value)} has no unit; write it like {spelling}") from None
            raise
        low, high = self.bounds
        if not low <= si <= high:
            hint = f"; {self.hint}" if self.hint else ""
            raise ValueError(f"{shown(value)} is outside {self._range_for(value)}{hint}")
        return si

    @staticmethod
    def _is_bare(value: str) -> bool:
        try:
            return not split(value)[1]
        except UnitError:
            return False

    def _with_unit(self, number: str) -> str:
        """The number with the usual unit where that can be, else the example."""
        _, unit = split(self.like)
        guess = f"{number} {unit}"
        if unit == "%" and re.fullmatch(r"0?\.[0-9]+|1(\.0*)?", number):
            guess = f"{100.0 * float(number):g} %"
        try:
            si = parse(guess, self.dimension)
        except UnitError:
            return self.example
        return f'"{guess}"' if self.bounds[0] <= si <= self.bounds[1] else self.example

    def _range_for(self, value: str) -> str:
        """The range, and once more in the unit that was written where that is another one."""
        said = f"{self.low} to {self.high}"
        _, unit = split(value)
        sizes = FACTORS[self.dimension]
        usual = sizes[split(self.low)[1]]
        if unit not in sizes or sizes[unit] == usual:
            return said
        if self.dimension == "temperature":
            low, high = (convert(bound, unit) for bound in self.bounds)
        else:
            low, high = (bound / sizes[unit] for bound in self.bounds)
        return f"{said} ({low:.3g} to {high:.3g} {unit})"

    def describe(self) -> dict[str, Any]:
        """A string with a number and a unit."""
        return {
            "type": "string",
            "pattern": rf"^\s*[-+−]? ?{_NUMBER_PATTERN} ?[A-Za-z°µ%][A-Za-z°µ%/*·^²³0-9 -]*\s*$",
            "x-range": f"{self.low} to {self.high}",
            "examples": [self.like],
        }

    @property
    def example(self) -> str:
        """The usual spelling, quoted."""
        return f'"{self.like}"'
