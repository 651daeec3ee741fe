"""The push of the string in a shot written a second time, for references that integrate in time."""

import math
from collections.abc import Callable

from scipy.integrate import quad


def push_in_shot(
    peak: float, holding: float, stroke: float, tension: float = 1.0
) -> Callable[[float], float]:
    """Push, N, by draw, m: the usual static curve, raised near brace, of the same energy."""
    rise, fall = 0.25 * stroke, 0.28 * stroke

    def static(draw: float) -> float:
        if draw < rise:
            return peak * math.sin(0.5 * math.pi * draw / rise)
        if draw < stroke - fall:
            return peak
        share = (draw - stroke + fall) / fall
        return holding + (peak - holding) * 0.5 * (1.0 + math.cos(math.pi * share))

    def raised(draw: float) -> float:
        near = max(1.0 - draw / (0.25 * stroke), 0.0)
        return static(draw) * (1.0 + (tension - 1.0) * math.sin(0.5 * math.pi * near) ** 2)

    corners = [rise, stroke - fall]
    scale = quad(static, 0.0, stroke, points=corners)[0]
    scale /= quad(raised, 0.0, stroke, points=corners)[0]
    return lambda draw: scale * raised(draw)
