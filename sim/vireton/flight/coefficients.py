"""Factors on the terms of the flight model that are known least, all 1 for the best estimate."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Coefficients:
    """Multipliers, each 1 for the best estimate.

    ``crossflow_drag`` on the cylinder drag across the shaft, ``crossflow_growth`` on the way
    sideways after which half of it has grown, ``friction_across`` on the component across the shaft
    of the friction along the flow, ``vane_lift`` on the vanes' normal
    force slope, ``vortex_lift`` on what the vortices at the edges of vanes and blades add at larger
    angles, ``boundary_layer`` on the *loss* of speed over the vanes, ``friction`` on all skin
    friction, ``point_lift`` on the point's normal force, ``transition`` on the Reynolds number of
    the laminar-to-turbulent change, ``blade_lift`` on the normal force slope of a broadhead's
    blades, ``blade_wake`` on what their wake takes from the vanes.
    """

    crossflow_drag: float = 1.0
    crossflow_growth: float = 1.0
    friction_across: float = 1.0
    vane_lift: float = 1.0
    vortex_lift: float = 1.0
    boundary_layer: float = 1.0
    friction: float = 1.0
    point_lift: float = 1.0
    transition: float = 1.0
    blade_lift: float = 1.0
    blade_wake: float = 1.0
