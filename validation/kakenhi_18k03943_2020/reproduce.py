"""Drag of an arrow with a laminar and with a turbulent boundary layer (KAKENHI 18K03943)."""

from vireton.aerodynamics.body import axial_drag_areas
from vireton.flight.air import standard
from vireton.flight.packing import pack
from vireton.published.checks import CaseData, assumed_arrow

#: Transition on the length that leaves the layer laminar, or turbulent, from end to end.
TRANSITION = {"laminar": 1e12, "turbulent": 1.0}


def reproduce(data: CaseData) -> dict[str, float]:
    given = data.data
    arrow = assumed_arrow(given, shape="streamlined")
    air = standard(0.0)
    speed = given["reynolds"] * air.kinematic_viscosity / arrow.parts.shaft.outside_diameter
    found = {}
    for state, transition in TRANSITION.items():
        body = pack(arrow, air, speed)._replace(transition_reynolds=transition)
        found[state] = sum(axial_drag_areas(body, speed, 0.0)[:4]) / body.cross_section
    return found
