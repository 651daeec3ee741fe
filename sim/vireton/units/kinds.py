"""What else a value in a file may be: a number, a count, a choice, a name, a list.

Each kind reads one TOML value or refuses it in words, and says in JSON Schema what it takes. The
models carry them as annotations, so that reading and schema cannot part ways.
"""

import difflib
import json
from dataclasses import dataclass
from typing import Any

from vireton.units.kind import Kind, shown
from vireton.units.quantity import Quantity


@dataclass(frozen=True)
class Number(Kind):
    """A plain number, ``low`` to ``high``; with ``above`` the low end itself is left out."""

    low: float
    high: float
    like: float
    above: bool = False

    def read(self, value: object) -> float:
        """The number as a float."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValueError(
                f"{shown(value)} is no plain number; write it like {self.example}, without quotes"
            )
        inside = self.low < value if self.above else self.low <= value
        if not (inside and value <= self.high):
            raise ValueError(f"{shown(value)} is outside the range of {self._range}")
        return float(value)

    @property
    def _range(self) -> str:
        low = f"above {self.low:g}" if self.above else f"{self.low:g}"
        return f"{low} to {self.high:g}"

    def describe(self) -> dict[str, Any]:
        """A number with its bounds."""
        return {
            "type": "number",
            "exclusiveMinimum" if self.above else "minimum": self.low,
            "maximum": self.high,
            "x-range": self._range,
            "examples": [self.like],
        }

    @property
    def example(self) -> str:
        """The usual number."""
        return f"{self.like:g}"


@dataclass(frozen=True)
class OrNone(Kind):
    """A value of another kind, or the word "none"."""

    item: Quantity

    def read(self, value: object) -> float | None:
        """The value in SI; None for the word."""
        if isinstance(value, str) and value.strip().lower() == "none":
            return None
        try:
            return self.item.read(value)
        except ValueError as problem:
            raise ValueError(f'{problem}; or write "none"') from None

    def describe(self) -> dict[str, Any]:
        """The item's string, or the word."""
        item = self.item.describe()
        return item | {
            "pattern": rf"(?:{item['pattern']})|^\s*[Nn][Oo][Nn][Ee]\s*$",
            "x-range": f'{item["x-range"]}, or "none"',
        }

    @property
    def example(self) -> str:
        """The item's."""
        return self.item.example


@dataclass(frozen=True)
class Choice(Kind):
    """One of a few words."""

    words: tuple[str, ...]

    def read(self, value: object) -> str:
        """The word."""
        if isinstance(value, str) and value in self.words:
            return value
        said = " or ".join(f'"{word}"' for word in self.words)
        near = difflib.get_close_matches(str(value).lower(), self.words, n=1, cutoff=0.6)
        asked = f'; did you mean "{near[0]}"?' if isinstance(value, str) and near else ""
        raise ValueError(f"{shown(value)} is not {said}{asked}")

    def describe(self) -> dict[str, Any]:
        """An enumeration."""
        return {"type": "string", "enum": list(self.words), "examples": [self.words[0]]}

    @property
    def example(self) -> str:
        """The first word, quoted."""
        return f'"{self.words[0]}"'


@dataclass(frozen=True)
class Text(Kind):
    """A name: one line, 1 to ``longest`` characters."""

    like: str
    longest: int = 80

    def read(self, value: object) -> str:
        """The name without blanks around it."""
        if not isinstance(value, str):
            raise ValueError(f"{shown(value)} is no text; write it like {self.example}")
        name = value.strip()
        if not 1 <= len(name) <= self.longest or not name.isprintable():
            raise ValueError(
                f"{shown(value)} is no name: one line of 1 to {self.longest} characters, such as "
                f"{self.example}"
            )
        return name

    def describe(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "minLength": 1, "maxLength": self.longest}

    @property
    def example(self) -> str:
        """A name, quoted."""
        return json.dumps(self.like, ensure_ascii=False)


@dataclass(frozen=True)
class Count(Kind):
    """A whole number, ``low`` to ``high``."""

    low: int
    high: int
    like: int

    def read(self, value: object) -> int:
        """The whole number."""
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValueError(f"{shown(value)} is no whole number; write it like {self.example}")
        if not self.low <= value <= self.high:
            raise ValueError(f"{shown(value)} is outside {self.low} to {self.high}")
        return value

    def describe(self) -> dict[str, Any]:
        """An integer with its bounds."""
        return {
            "type": "integer",
            "minimum": self.low,
            "maximum": self.high,
            "x-range": f"{self.low} to {self.high}",
            "examples": [self.like],
        }

    @property
    def example(self) -> str:
        """The usual count."""
        return str(self.like)


@dataclass(frozen=True)
class Version(Kind):
    """The version of the file's layout: the one that is ``known``."""

    known: int

    def read(self, value: object) -> int:
        """The version."""
        if value != self.known or isinstance(value, bool | float):
            raise ValueError(
                f"{shown(value)} is no layout that this version of Vireton reads; it reads "
                f"{self.known}"
            )
        return self.known

    def describe(self) -> dict[str, Any]:
        """A constant."""
        return {"type": "integer", "const": self.known, "examples": [self.known]}

    @property
    def example(self) -> str:
        """The known one."""
        return str(self.known)


@dataclass(frozen=True)
class ListOf(Kind):
    """A list of ``fewest`` to ``most`` values of one kind."""

    item: Quantity | Number
    fewest: int
    most: int

    def read(self, value: object) -> tuple[float, ...]:
        """The values in SI."""
        if not isinstance(value, list) or not self.fewest <= len(value) <= self.most:
            many = str(self.fewest) if self.fewest == self.most else f"{self.fewest} to {self.most}"
            raise ValueError(f"{shown(value)} is no list of {many}; write {self.example}")
        return tuple(self._read_one(index, one) for index, one in enumerate(value, start=1))

    def _read_one(self, index: int, value: object) -> float:
        try:
            return self.item.read(value)
        except ValueError as problem:
            raise ValueError(f"entry {index}: {problem}") from None

    def describe(self) -> dict[str, Any]:
        """An array."""
        return {
            "type": "array",
            "items": self.item.describe(),
            "minItems": self.fewest,
            "maxItems": self.most,
        }

    @property
    def example(self) -> str:
        """A list of the shortest length."""
        return f"[{', '.join([self.item.example] * self.fewest)}]"


@dataclass(frozen=True)
class Band(ListOf):
    """A plausible low and high, ``[low, high]``; ``like`` is one as it stands in TOML."""

    fewest: int = 2
    most: int = 2
    like: str = ""

    def read(self, value: object) -> tuple[float, float]:
        """Low and high in SI."""
        low, high = super().read(value)
        if low > high:
            raise ValueError(f"its low end is above its high end; write it like {self.like}")
        return low, high

    def describe(self) -> dict[str, Any]:
        """An array of two."""
        return super().describe() | {"examples": [json.loads(self.like)]}

    @property
    def example(self) -> str:
        """Low and high."""
        return self.like
