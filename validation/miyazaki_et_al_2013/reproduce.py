"""Arrow drag by boundary layer and shape of the point (Miyazaki et al. 2013)."""

from typing import Any

from vireton.aerodynamics.body import axial_drag_areas
from vireton.bow.parts import PointShape
from vireton.flight.air import standard
from vireton.flight.packing import pack
from vireton.published.checks import CaseData, assumed_arrow

#: Transition on the length that leaves the layer laminar, or turbulent, from end to end.
LAMINAR, TURBULENT = 1e12, 1.0


def drag_coefficient(given: dict[str, Any], shape: PointShape, transition: float) -> float:
    """CD on the shaft's cross-section of the assumed arrow with this point and layer."""
    arrow = assumed_arrow(given, shape=shape)
    air = standard(0.0)
    speed = given["reynolds"] * air.kinematic_viscosity / arrow.parts.shaft.outside_diameter
    body = pack(arrow, air, speed)._replace(transition_reynolds=transition)
    return float(sum(axial_drag_areas(body, speed, 0.0)[:4]) / body.cross_section)


def reproduce(data: CaseData) -> dict[str, float]:
    given = data.data
    laminar = drag_coefficient(given, "streamlined", LAMINAR)
    return {
        "tunnel_laminar": laminar,
        "flight_laminar": laminar,
        "flight_turbulent": drag_coefficient(given, "streamlined", TURBULENT),
        "flight_bluff": drag_coefficient(given, "blunt", TURBULENT),
    }
