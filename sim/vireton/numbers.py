"""Numbers as other programs read them: in the units that their keys name, None for what is not."""

import math
from collections.abc import Iterable

YARD, INCH, FOOT = 0.9144, 0.0254, 0.3048
GRAIN = 6.479891e-5


def number(value: float) -> float | None:
    """A float with twelve significant digits, None for nan."""
    value = float(value)
    return float(f"{value:.12g}") if math.isfinite(value) else None


def pair(values: Iterable[float], size: float) -> list[float | None]:
    """Numbers in units of ``size``."""
    return [number(value / size) for value in values]
