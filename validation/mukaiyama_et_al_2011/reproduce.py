"""Laminar or turbulent, by the shape of the point (Mukaiyama et al. 2011)."""

from typing import Any

from vireton.aerodynamics.body import turbulent_share
from vireton.bow.parts import PointShape
from vireton.flight.air import standard
from vireton.flight.packing import pack
from vireton.published.checks import CaseData, assumed_arrow

SHAPES: tuple[PointShape, ...] = ("streamlined", "bullet", "blunt")


def share(given: dict[str, Any], shape: PointShape, reynolds: float) -> float:
    """Turbulent share at this Reynolds number on the length, shaft along the stream."""
    arrow = assumed_arrow(given, shape=shape)
    air = standard(0.0)
    length = arrow.total_length - arrow.parts.nock.throat_to_shaft
    body = pack(arrow, air, reynolds * air.kinematic_viscosity / length)
    return float(turbulent_share(body, reynolds, 0.0))


def reproduce(data: CaseData) -> dict[str, float]:
    given = data.data
    return {
        f"{shape}_{end}": share(given, shape, given[f"reynolds_{end}"])
        for shape in SHAPES
        for end in ("low", "high")
    }
