"""How numbers are shown to people: two systems of units, and no more digits than a band supports.

Every face shows numbers through this module: tables, words, pictures, pages.
"""

import math
from dataclasses import dataclass

from vireton.units.factors import FACTORS
from vireton.units.numbers import FOOT, GRAIN, INCH, MPH, YARD
from vireton.units.text import UnitSystem

#: Sideways numbers of a sideways move carry this mark: the size is the model's, the direction open.
OPEN = "↔"
#: What a band holds, said the same in every answer and under every picture.
LIKE_YOURS = "most bows like yours (9 of 10)"


@dataclass(frozen=True)
class Unit:
    """What a number is told in.

    ``key`` ends its JSON key (empty: the number stands alone) and ``size`` is one of that unit in
    SI; ``us`` and ``metric`` are name and size of the units that people see.
    """

    key: str
    size: float
    us: tuple[str, float]
    metric: tuple[str, float]


def _same(key: str, name: str, size: float = 1.0) -> Unit:
    return Unit(key, size, (name, size), (name, size))


NUMBER = _same("", "")
SHARE = _same("", "%", 0.01)  # people read percentages, programs shares
SMALL = Unit("in", INCH, ("in", INCH), ("cm", 0.01))
BENCH = Unit("in", INCH, ("in", INCH), ("mm", 1e-3))  # what a ruler or a caliper reads
FAR = Unit("yd", YARD, ("yd", YARD), ("m", 1.0))
SPEED = Unit("fps", FOOT, ("fps", FOOT), ("m/s", 1.0))
WIND = Unit("mph", MPH, ("mph", MPH), ("m/s", 1.0))
MASS = Unit("grains", GRAIN, ("gr", GRAIN), ("g", 1e-3))
FORCE = Unit("lbf", FACTORS["force"]["lbf"], ("lb", FACTORS["force"]["lbf"]), ("N", 1.0))
ENERGY = Unit("ft_lbf", 1.3558179483314004, ("ft·lbf", 1.3558179483314004), ("J", 1.0))
SECONDS = _same("s", "s")
DEGREES = _same("deg", "°", math.radians(1.0))
MILLIRADIANS = _same("mrad", "mrad", 1e-3)
TURNING = _same("rad_s", "rad/s")
SPIN = _same("rev_s", "rev/s", 2.0 * math.pi)
PERCENT = _same("percent", "%", 0.01)
GRAINS_PER_POUND = _same("grains_per_pound", "gr/lb", FACTORS["mass_per_force"]["gr/lbf"])
STIFFNESS = _same("n_m2", "N·m²")
DENSITY = _same("kg_m3", "kg/m³")


@dataclass(frozen=True)
class Display:
    """One of the two systems.

    ``far`` for shooting distances, ``small`` for impacts, ``speed``; each with its size in SI, two
    of them spelled out as ``_word``. ``small_span`` is the least height of a picture's impact
    panel, in small units: without it a panel would blow up rounding noise to look like an effect.
    """

    name: UnitSystem
    far: str
    far_word: str
    far_size: float
    small: str
    small_word: str
    small_size: float
    speed: str
    speed_size: float
    small_span: float

    def unit(self, unit: Unit) -> tuple[str, float]:
        """Name and size of what this system shows the unit in."""
        return unit.us if self.name == "us" else unit.metric

    def distance(self, meters: float) -> str:
        """A shooting distance, with its unit."""
        return f"{meters / self.far_size:.4g} {self.far}"

    def small_with_unit(self, meters: float, low: float, high: float) -> str:
        """A size without its sign, rounded to what its band supports, with its unit."""
        digits = digits_for((high - low) / self.small_size)
        return f"{abs(meters) / self.small_size:.{digits}f} {self.small}"


US = Display("us", "yd", "yards", YARD, "in", "inches", INCH, "fps", FOOT, 1.0)
METRIC = Display("metric", "m", "meters", 1.0, "cm", "centimeters", 0.01, "m/s", 1.0, 2.0)


def display(system: UnitSystem) -> Display:
    """The system of this name; ValueError for one that is not ``"us"`` or ``"metric"``."""
    for one in (US, METRIC):
        if one.name == system:
            return one
    raise ValueError(f"units {system!r} are not known; they are 'us' or 'metric'")


def digits_for(width: float, most: int = 2) -> int:
    """Decimals worth showing of a number whose band is ``width`` wide, 0 to ``most``.

    The last digit shown is never finer than a thirtieth of the band.
    """
    if not math.isfinite(width) or width <= 0.0:
        return most
    return min(most, max(0, math.floor(1.5 - math.log10(width))))


def with_band(value: float, low: float, high: float) -> str:
    """``"+1.7 (1.4 to 2.4)"``; a number whose whole band is nothing shows as ``"0.00"``."""
    if not math.isfinite(value):
        return "not reached"
    if not (math.isfinite(low) and math.isfinite(high)):
        return f"{value:+.2f} (?)"
    digits = digits_for(high - low)
    ends = [plain(end, digits) for end in (low, high)]
    if ends[0] == ends[1]:
        return plain(value, digits)
    # a band needs a sign only where it is minus: a table has no room for the others
    low_text, high_text = (end.removeprefix("+") for end in ends)
    return f"{plain(value, digits)} ({low_text} to {high_text})"


def within(value: float, low: float, high: float) -> str:
    """``"1.4 to 2.4"`` of sizes without their sign; both ends must have the sign of ``value``.

    ``"?"`` where an end is not known.
    """
    if not (math.isfinite(low) and math.isfinite(high)):
        return "?"
    digits = digits_for(high - low)
    ends = sorted((abs(low), abs(high)))
    return f"{ends[0]:.{digits}f} to {ends[1]:.{digits}f}"


def plain(value: float, digits: int) -> str:
    """A signed number; one that rounds to nothing has no sign, ``"?"`` is one that is not known."""
    if not math.isfinite(value):
        return "?"
    return f"{value:+.{digits}f}" if round(value, digits) else f"{0:.{digits}f}"
