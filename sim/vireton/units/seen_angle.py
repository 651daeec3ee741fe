"""Angles as archers say them: an inch at twenty yards."""

import re
from dataclasses import dataclass
from typing import Any

from vireton.units.kind import shown
from vireton.units.quantity import Quantity
from vireton.units.text import UnitError, parse

_AT = re.compile(r"^(?P<across>.+?)\s+at\s+(?P<away>.+)$", re.IGNORECASE | re.DOTALL)


def parse_seen_angle(text: str, *, where: str = "", like: str = "1 in at 20 yd") -> float:
    """Read ``"1 in at 20 yd"``, a length seen at a distance, or a plain angle such as ``"2 moa"``.

    Args:
        text: as typed.
        where: what the value is for (a key, an option); put before the message of an error.
        like: a right spelling to show in an error.

    Returns:
        rad: the length over the distance, for small angles.

    Raises:
        UnitError: if it is neither, or the distance is not above 0.
    """
    match = _AT.match(text.strip())
    if match is None:
        return parse(text, "angle", where=where, like=like)
    across = parse(match["across"], "length", where=where, like="1 in")
    away = parse(match["away"], "length", where=where, like="20 yd")
    if not away > 0.0:
        said = f"{where}: " if where else ""
        raise UnitError(f'{said}the distance after "at" must be above 0; write it like "{like}"')
    return across / away


@dataclass(frozen=True)
class SeenAngle(Quantity):
    """An angle, or a length seen at a distance: ``"1 in at 20 yd"``."""

    def read(self, value: object) -> float:
        """The angle in rad."""
        if not isinstance(value, str) or " at " not in value.lower():
            return super().read(value)
        angle = parse_seen_angle(value, like=self.like)
        low, high = self.bounds
        if not low <= angle <= high:
            per = parse("20 yd", "length") / parse("1 in", "length")
            raise ValueError(
                f"{shown(value)} is outside {low * per:.3g} to {high * per:.3g} in at 20 yd"
            )
        return angle

    def describe(self) -> dict[str, Any]:
        """A string; both spellings."""
        return {"type": "string", "x-range": f"{self.low} to {self.high}", "examples": [self.like]}
