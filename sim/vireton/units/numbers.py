"""Numbers for other programs, in the units that their keys name, and shares for people."""

import math
from collections.abc import Iterable

YARD, INCH, FOOT = 0.9144, 0.0254, 0.3048  # m, by definition
MPH = 0.44704  # m/s, by definition
GRAIN = 6.479891e-5
DEGREE = math.pi / 180.0  # rad


def number(value: float) -> float | None:
    """A float with twelve significant digits, None for nan."""
    value = float(value)
    return float(f"{value:.12g}") if math.isfinite(value) else None


def pair(values: Iterable[float], size: float) -> list[float | None]:
    """Numbers in units of ``size``."""
    return [number(value / size) for value in values]


def percent(share: float) -> str:
    """A probability in words that never claims to be certain."""
    if share > 0.99:
        return "over 99 %"
    if share < 0.01:
        return "under 1 %"
    return f"{share * 100.0:.0f} %"
