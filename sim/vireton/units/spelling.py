"""Lengths as a log spells them: the shortest usual text that reads back as exactly that float."""

import math
from typing import Literal

from vireton.units.factors import FACTORS
from vireton.units.text import UnitSystem, as_fraction_inches, parse

Style = Literal["bench", "impact", "distance"]

_FINEST_FRACTION = 64
_FRACTION = -1

#: Units to try in order, each with the decimals that people write, or as a bench fraction.
_TRIES: dict[tuple[Style, UnitSystem], tuple[tuple[str, int], ...]] = {
    ("bench", "us"): (("in", _FRACTION), ("in", 4), ("mm", 3)),
    ("bench", "metric"): (("mm", 3), ("in", _FRACTION), ("in", 4)),
    ("impact", "us"): (("in", 4), ("cm", 3), ("in", _FRACTION)),
    ("impact", "metric"): (("cm", 3), ("in", 4), ("in", _FRACTION)),
    ("distance", "us"): (("yd", 2), ("ft", 2), ("in", 2), ("m", 2)),
    ("distance", "metric"): (("m", 2), ("yd", 2), ("ft", 2), ("in", 2)),
}
#: Nearer than this a distance is said in feet (common practice, no source).
_FEET_BELOW = 15.0 * FACTORS["length"]["ft"]

#: No length of a log is larger, m; the digits of one that is would fill a line.
_LARGEST = 1e6

#: Lengths this near to each other are the same, m: rounding of sums, far below any ruler.
_SAME = 1e-12


def _as_typed(value: float, unit: str, digits: int) -> str:
    if digits == _FRACTION:
        return as_fraction_inches(value, _FINEST_FRACTION)
    number = f"{value / FACTORS['length'][unit]:.{digits}f}"
    number = number.rstrip("0").rstrip(".") if "." in number else number
    return f"{'0' if number == '-0' else number} {unit}"


def _tries(value: float, style: Style, units: UnitSystem) -> tuple[tuple[str, int], ...]:
    tries = _TRIES[style, units]
    if style == "distance" and units == "us" and abs(value) < _FEET_BELOW:
        return (("ft", 2), *tries)
    return tries


def spelled(value: float, style: Style, units: UnitSystem = "us") -> str:
    """A length with its unit, such as ``"1/32 in"``, ``"20 yd"``, ``"-0.3 in"``.

    Args:
        value: m, finite; else ValueError.
        style: ``bench`` prefers fractions of an inch, ``impact`` decimals, ``distance`` yards.
        units: whose units are tried first. The others come after, so ``"2.4 mm"`` stays that.

    The text reads back as exactly ``value``; where no usual one does, it is in meters with all
    digits.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is no length")
    for unit, digits in _tries(value, style, units) if abs(value) < _LARGEST else ():
        text = _as_typed(value, unit, digits)
        if parse(text, "length") == value:
            return text
    return f"{value!r} m"


def tidy(value: float) -> float:
    """The bench length that ``value`` is but for the rounding of a sum, else ``value`` itself, m.

    Three moves of 0.1 in add up to 0.3 in, which the sum of their floats is not.
    """
    for unit, digits in _TRIES["bench", "us"]:
        usual = parse(_as_typed(value, unit, digits), "length")
        if abs(usual - value) <= _SAME:
            return usual
    return value
