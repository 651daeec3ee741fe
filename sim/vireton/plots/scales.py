"""The two display systems of the figures: the name and the size in SI of each unit."""

from dataclasses import dataclass
from math import pi
from typing import Literal

from vireton.units.numbers import INCH, YARD

System = Literal["us", "metric"]

#: One degree in radians; both systems show angles in degrees.
DEGREE = pi / 180.0


@dataclass(frozen=True)
class Scale:
    """``far`` for shooting distances, ``small`` for impacts; sizes in m; ``_word`` is spelt out.

    ``small_span`` is the least height of an impact panel, in small units: without it a panel would
    blow up rounding noise until it looks like an effect.
    """

    far: str
    far_word: str
    far_size: float
    small: str
    small_word: str
    small_size: float
    small_span: float


_SCALES = {
    "us": Scale("yd", "yards", YARD, "in", "inches", INCH, 1.0),
    "metric": Scale("m", "meters", 1.0, "cm", "centimeters", 0.01, 2.0),
}


def scale(system: System) -> Scale:
    """The units of ``system``; ValueError for a name that is not one of the two."""
    if system not in _SCALES:
        raise ValueError(f"system {system!r} is not known; it is 'us' or 'metric'")
    return _SCALES[system]
