"""A quantity in a file: a number with a unit, in quotes, within a stated range."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from vireton.units.factors import FACTORS
from vireton.units.kind import Kind, shown
from vireton.units.quantities import is_bare, with_unit
from vireton.units.text import convert, parse, split

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
            raise ValueError(self._no_unit(shown(value), shown(value)))
        if not isinstance(value, str):
            raise ValueError(f"{shown(value)} is no quantity; write it like {self.example}")
        value = value.strip()
        if is_bare(value):
            raise ValueError(self._no_unit(shown(value), value))
        si = parse(value, self.dimension, like=self.like)
        low, high = self.bounds
        if not low <= si <= high:
            hint = f"; {self.hint}" if self.hint else ""
            raise ValueError(f"{shown(value)} is outside {self._range_for(value)}{hint}")
        return si

    def _no_unit(self, given: str, number: str) -> str:
        spelling = with_unit(number, self.dimension, self.low, self.high, self.like)
        return f"{given} has no unit; write it like {spelling}"

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
