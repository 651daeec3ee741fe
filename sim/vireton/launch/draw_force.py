"""The draw-force curve of a compound bow, and its integral.

An invented, typical shape (no source): a quarter sine up to the peak over the first quarter of the
draw, a plateau, and a half cosine down to the holding weight over the last 28 %. ``draw`` is the
nock's distance behind the straight string, 0 at brace height.
"""

import math

import numpy as np

from vireton.kernel.compiled import inlined

RISE_SHARE = 0.25
FALL_SHARE = 0.28


@inlined
def force(draw: float, peak: float, holding: float, stroke: float) -> float:
    """Static draw force, N, at ``draw`` m of a ``stroke`` m; peak and holding force in N."""
    rise = RISE_SHARE * stroke
    fall = FALL_SHARE * stroke
    if draw < rise:
        return peak * np.sin(0.5 * math.pi * draw / rise)
    if draw < stroke - fall:
        return peak
    share = (draw - stroke + fall) / fall
    return holding + (peak - holding) * 0.5 * (1.0 + np.cos(math.pi * share))


@inlined
def force_per_draw(draw: float, peak: float, holding: float, stroke: float) -> float:
    """Force ÷ draw, N/m, finite down to draw 0."""
    draw = max(draw, 1e-6 * stroke)
    return force(draw, peak, holding, stroke) / draw


@inlined
def stored_energy(draw: float, peak: float, holding: float, stroke: float) -> float:
    """Work done in drawing this far, J: the exact integral of :func:`force`."""
    rise = RISE_SHARE * stroke
    fall = FALL_SHARE * stroke
    over = 2.0 * rise / math.pi
    if draw < rise:
        return peak * over * (1.0 - np.cos(0.5 * math.pi * draw / rise))
    if draw < stroke - fall:
        return peak * (over + draw - rise)
    share = (draw - stroke + fall) / fall
    return peak * (over + stroke - fall - rise) + fall * (
        0.5 * (peak + holding) * share + 0.5 * (peak - holding) / math.pi * np.sin(math.pi * share)
    )
