"""A number read off an instrument, with how far that may be off: ``"9.6 g ± 0.2 g"``."""

import re
from dataclasses import dataclass
from typing import Any, NamedTuple

from vireton.units.kind import Kind, shown
from vireton.units.quantities import is_bare
from vireton.units.quantity import Quantity
from vireton.units.text import parse, split

_EITHER_WAY = re.compile(r"\s*(?:±|\+/-|\+-|give or take)\s*")


class Reading(NamedTuple):
    """What was read, SI; ``error``: 19 of 20 such readings lie this near, None where not said."""

    value: float
    error: float | None = None

    def deviation(self, usual: float) -> float:
        """Standard deviation; ``usual`` is the error where none is said."""
        return 0.5 * (usual if self.error is None else self.error)


@dataclass(frozen=True)
class WithError(Kind):
    """A quantity, and behind ``±`` (or ``+-``) how far it may be off; the unit may stand once."""

    item: Quantity

    def read(self, value: object) -> Reading:
        """The reading in SI."""
        if not isinstance(value, str) or _EITHER_WAY.search(value) is None:
            return Reading(self.item.read(value))
        said, error, *more = _EITHER_WAY.split(value)
        if more:
            raise ValueError(f"{shown(value)} has more than one ±; write it like {self.example}")
        off = parse(error, self.item.dimension, like=self.item.like)
        if not off > 0.0:
            raise ValueError(f"{shown(value)}: an error is above 0; write it like {self.example}")
        if is_bare(said):  # "9.6 ± 0.2 g": the unit stands once
            said = f"{said} {split(error)[1]}"
        return Reading(self.item.read(said), off)

    def describe(self) -> dict[str, Any]:
        """The quantity's string, an error behind it."""
        item = self.item.describe()
        pattern = item["pattern"]
        return item | {"pattern": rf"(?:{pattern})|(?:^.+(?:±|\+/-|\+-|give or take).+$)"}

    @property
    def example(self) -> str:
        """The quantity's."""
        return self.item.example
