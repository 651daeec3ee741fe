"""A quantity in a file: a number with a unit, in quotes, within a stated range."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from vireton.units.factors import FACTORS, MARKS
from vireton.units.kind import Kind, shown
from vireton.units.quantities import LIKE_SPINE, is_bare, readings
from vireton.units.text import convert, of_an_inch, parse, split, unit_at_end

_NUMBER_PATTERN = (
    r"(?:(?:[0-9]+[ -])?[0-9]+ ?/ ?[0-9]+|[0-9]* ?[½¼¾⅓⅔⅛⅜⅝⅞]"
    r"|(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)"
)
_UNIT_PATTERN = "(?:[A-Za-z°µ%][A-Za-z°µ%/*·^²³0-9 -]*|[#\"″“”'′’]{1,2})"


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
        value = self.completed(value)
        if is_bare(value):
            raise ValueError(self._no_unit(shown(value), value))
        si = parse(value, self.dimension, like=self.like)
        low, high = self.bounds
        if not low <= si <= high:
            hint = f"; {self.hint}" if self.hint else ""
            raise ValueError(f"{shown(value)} is outside {self._range_for(value)}{hint}")
        return si

    def completed(self, text: str) -> str:
        """The text with the unit that the trade leaves out, where it can be no other."""
        return of_an_inch(text.strip(), self.like)

    def written(self, text: str) -> str:
        """The text with a mark of the trade written out, by the name that this file would use."""
        mark, usual = unit_at_end(text), split(self.like)[1]
        unit, sizes = MARKS.get(mark.lower()), FACTORS[self.dimension]
        if unit is None:
            return text
        name = usual if sizes.get(unit) == sizes[usual] else unit
        return f"{text.strip().removesuffix(mark).strip()} {name}"

    def _no_unit(self, given: str, number: str) -> str:
        said = readings(number, self.dimension, self.low, self.high, self.like)
        return f"{given} has no unit; write it like {said}"

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
            "pattern": rf"^\s*[-+−]? ?{_NUMBER_PATTERN} ?{_UNIT_PATTERN}\s*$",
            "x-range": f"{self.low} to {self.high}",
            "examples": [self.like],
        }

    @property
    def example(self) -> str:
        """The usual spelling, quoted."""
        return f'"{self.like}"'


@dataclass(frozen=True)
class Spine(Quantity):
    """A static spine: ``"0.340 in"``, or the number that a shaft is called by: 340, 0.34.

    Inches of deflection and thousandths of them are so far apart that no number is both.
    """

    dimension: str = "length"
    low: str = "0.1 in"
    high: str = "3 in"
    like: str = LIKE_SPINE

    def read(self, value: object) -> float:
        """The deflection in m."""
        if isinstance(value, int | float) and not isinstance(value, bool) and 0.0 < value < 1e6:
            return super().read(f"{value:.12g}")
        return super().read(value)

    def completed(self, text: str) -> str:
        """Thousandths from 100 on, inches up to 3; what lies between is left to be asked."""
        text = super().completed(text.strip().removesuffix("spine"))
        if not is_bare(text):
            return text
        number, _ = split(text)
        if 100.0 <= number <= 3000.0:  # 340 is 0.340 in
            return f"{number / 1000.0:{'.3f' if number == round(number) else '.12g'}} in"
        return f"{text} in" if 0.1 <= number <= 3.0 else text

    def describe(self) -> dict[str, Any]:
        """A string, its unit left out where it may be, or a number."""
        told = super().describe()
        optional = told["pattern"].replace(_UNIT_PATTERN, f"{_UNIT_PATTERN}?")
        return told | {"type": ["string", "number"], "pattern": optional}
