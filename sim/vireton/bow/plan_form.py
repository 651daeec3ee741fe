"""Plan forms of vanes and blades: areas, centers, and the slope of their lift."""

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from vireton.bow.parts import Blades, Vanes


def outline_chord(outline: str, share: float) -> float:
    """Chord of a vane at this share (0 root, 1 tip) of its height, relative to the root chord.

    ``rectangle`` keeps its chord, ``trapezoid`` tapers to half, ``triangle`` to nothing and
    ``parabola`` falls as √(1 − share).
    """
    match outline:
        case "rectangle":
            return 1.0
        case "trapezoid":
            return 1.0 - 0.5 * share
        case "triangle":
            return 1.0 - share
        case "parabola":
            return math.sqrt(max(0.0, 1.0 - share))
        case _:
            raise ValueError(f"unknown vane outline {outline!r}")


@dataclass(frozen=True)
class VaneShape:
    """Plan form of one vane or blade. m and m²; ``leading_edge_sweep`` is measured by its mean.

    ``centroid_height``: above the shaft or ferrule. ``second_moment``: ∫ chord·(r + y)² dy, m⁴,
    from the shaft's axis. ``lift_center``: behind the vane's front end at the root, m: the quarter
    chord, averaged over the area with the trailing edge straight.
    """

    area: float
    centroid_height: float
    second_moment: float
    lift_center: float


def vane_shape(vanes: Vanes, shaft_radius: float) -> VaneShape:
    """Plan form of one vane on a shaft of this radius (m)."""
    return _integrated(vanes.outline, vanes.length, vanes.height, shaft_radius)


def blade_shape(blades: Blades) -> VaneShape:
    """Plan form of one blade: a triangle, its rear edge straight across and its tip there.

    A given area, smaller for cut-outs, scales what goes with the area and moves nothing.
    """
    shape = _integrated("triangle", blades.length, blades.height, 0.5 * blades.ferrule_diameter)
    if blades.area is None:
        return shape
    share = blades.area / shape.area
    return replace(shape, area=blades.area, second_moment=share * shape.second_moment)


@lru_cache(maxsize=64)
def _integrated(outline: str, length: float, height: float, radius: float) -> VaneShape:
    """Integrate the outline: the rear edge stands straight, the front edge makes the shape."""
    count = 400
    area = first = second = lift = 0.0
    step = height / count
    for i in range(count):
        share = (i + 0.5) / count
        y = share * height
        chord = length * outline_chord(outline, share)
        area += chord * step
        first += chord * y * step
        second += chord * (radius + y) ** 2 * step
        lift += chord * (length - 0.75 * chord) * step
    return VaneShape(area, first / area, second, lift / area)


def fin_slope(area: float, height: float, sweep_cosine: float, beta: float) -> float:
    """Normal-force slope of one vane or blade on its own area, per rad.

    Barrowman 1967 (thesis), fin slope: 2π(s²/A)/(1 + √(1 + (β s²/(A cos Γ))²)), s the height, A
    the area, Γ the sweep of the mid-chord line, β = √(1 − M²).
    """
    aspect = height * height / area
    return 2.0 * math.pi * aspect / (1.0 + math.hypot(1.0, beta * aspect / sweep_cosine))


def sweep_cosine(area: float, height: float, length: float) -> float:
    """Cosine of the sweep of the mid-chord line, ``length`` m at the base, rear edge straight.

    The straight taper of the same area stands for the outline.
    """
    tip = max(0.0, 2.0 * area / height - length)
    return height / math.hypot(height, 0.5 * (length - tip))
