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


def vortex_lift(area: float, height: float, length: float) -> float:
    """Coefficient K of the vortex lift of one vane or blade on its own area: K·sin²α.

    Air that goes round a sharp edge leaves it in a vortex, and the suction that attached flow would
    have along the edge turns to lift: of side edges as well as of a swept front, not of a front
    that stands straight (Polhamus 1966, NASA TN D-3767; Lamar 1974, NASA TR R-428; from memory). A
    slender vane of any outline has K = π (the edge suction πρw²s/2 per length, s the height,
    against ½ρV²·area; derived here). A swept front keeps it; at a side edge it falls as the vane
    gets shorter, taken as π/(1 + A), A = 2s²/area the aspect ratio with the mirror image (half of
    it at A = 1, recalled of Lamar's curves; our fit). Between the two by sin² of the front's sweep
    (our choice). 3.0 for a vane of 50 by 13 mm with a rounded front, 1.8 for a rectangle.
    """
    tip = max(0.0, 2.0 * area / height - length)
    swept = (length - tip) ** 2 / ((length - tip) ** 2 + height * height)
    return math.pi * (swept + (1.0 - swept) / (1.0 + 2.0 * height * height / area))


def roll_damping_factor(area: float, height: float, length: float, radius: float) -> float:
    """By how much the body between rolling vanes raises their damping in roll.

    Barrowman 1967 (thesis), for fins on a cylinder (from memory), on the straight taper λ of the
    same area, τ = (height + radius)/radius: 1 + ((τ − λ)/τ − (1 − λ)ln τ/(τ − 1)) ÷ ((τ + 1)(τ −
    λ)/2 − (1 − λ)(τ³ − 1)/(3(τ − 1))). About 1.09 for an arrow.
    """
    taper = max(0.0, 2.0 * area / (height * length) - 1.0)
    t = (height + radius) / radius
    above = (t - taper) / t - (1.0 - taper) * math.log(t) / (t - 1.0)
    below = 0.5 * (t + 1.0) * (t - taper) - (1.0 - taper) * (t**3 - 1.0) / (3.0 * (t - 1.0))
    return 1.0 + above / below


def sweep_cosine(area: float, height: float, length: float) -> float:
    """Cosine of the sweep of the mid-chord line, ``length`` m at the base, rear edge straight.

    The straight taper of the same area stands for the outline.
    """
    tip = max(0.0, 2.0 * area / height - length)
    return height / math.hypot(height, 0.5 * (length - tip))
