"""How numbers are shown: units of the chosen system, and no more digits than the band supports."""

import math
from dataclasses import dataclass

from vireton.units.numbers import FOOT, GRAIN, INCH, YARD, number, pair, percent
from vireton_cli.options import UnitChoice

__all__ = [
    "FOOT",
    "GRAIN",
    "INCH",
    "METRIC",
    "OPEN",
    "US",
    "YARD",
    "Shown",
    "digits_for",
    "number",
    "pair",
    "percent",
    "plain",
    "system",
    "with_band",
    "within",
]

#: Sideways numbers of a sideways move carry this mark: the size is the model's, the direction open.
OPEN = "↔"


@dataclass(frozen=True)
class Shown:
    """Names and sizes (in SI) of the units of one display system."""

    far: str
    far_size: float
    small: str
    small_size: float
    speed: str
    speed_size: float

    def distance(self, meters: float) -> str:
        """A shooting distance, with its unit."""
        return f"{meters / self.far_size:.4g} {self.far}"

    def small_with_unit(self, meters: float, low: float, high: float) -> str:
        """A size without its sign, rounded to what its band supports, with its unit."""
        digits = digits_for((high - low) / self.small_size)
        return f"{abs(meters) / self.small_size:.{digits}f} {self.small}"


US = Shown("yd", YARD, "in", INCH, "fps", FOOT)
METRIC = Shown("m", 1.0, "cm", 0.01, "m/s", 1.0)


def system(units: UnitChoice) -> Shown:
    """The display units of this choice."""
    return US if units is UnitChoice.US else METRIC


def digits_for(width: float) -> int:
    """Decimals worth showing of a number whose band is ``width`` wide, 0 to 2.

    The last digit shown is never finer than a thirtieth of the band.
    """
    if not math.isfinite(width) or width <= 0.0:
        return 2
    return min(2, max(0, math.floor(1.5 - math.log10(width))))


def with_band(value: float, low: float, high: float) -> str:
    """``"1.7 (1.4…2.4)"``, signed; a number whose whole band is nothing shows as ``"0"``."""
    if not math.isfinite(value):
        return "not reached"
    if not (math.isfinite(low) and math.isfinite(high)):
        return f"{value:+.2f} (?)"
    if max(abs(value), abs(low), abs(high)) < 0.005:
        return "0"
    digits = digits_for(high - low)
    if f"{low:.{digits}f}" == f"{high:.{digits}f}":
        return plain(value, digits)
    return f"{plain(value, digits)} ({plain(low, digits)}…{plain(high, digits)})"


def within(value: float, low: float, high: float) -> str:
    """``"1.4 to 2.4"`` of sizes without their sign; both ends must have the sign of ``value``."""
    digits = digits_for(high - low)
    ends = sorted((abs(low), abs(high)))
    return f"{ends[0]:.{digits}f} to {ends[1]:.{digits}f}"


def plain(value: float, digits: int) -> str:
    """A signed number; one that rounds to nothing has no sign."""
    return f"{value:+.{digits}f}" if round(value, digits) else f"{0:.{digits}f}"
