"""The kernel's numbers of a broadhead's blades: lift, roll damping, drag, and their wake."""

import math

from vireton.bow.arrow import Arrow
from vireton.bow.parts import Blades, Vanes
from vireton.bow.plan_form import (
    blade_shape,
    fin_slope,
    outline_chord,
    roll_damping_factor,
    sweep_cosine,
    vortex_lift,
)
from vireton.flight.coefficients import Coefficients
from vireton.kernel.parameters import Parameters

#: Drag of a blade's edges on height × thickness: sharp in front, blunt behind. After Hoerner,
#: *Fluid-Dynamic Drag*, ch. 3 (from memory); plausible 0.1 to 0.5.
BLADE_EDGE_DRAG = 0.25

#: Distance of the two trailing vortices ÷ span, once rolled up: π/4 for an elliptic load (any text
#: on wings).
_VORTEX_SPACING = math.pi / 4.0


def wake_at_vanes(lift_area: float, span: float, vanes: Vanes, shaft_radius: float) -> float:
    """Share of the blades' crossflow that their wake takes from the vanes', at vanishing angle.

    Args:
        lift_area: normal-force slope of all blades × area, m² per rad.
        span: cutting diameter, m.
        vanes: the ring behind.
        shaft_radius: m.

    A lift of ½ρV²·α·lift_area = ρVΓ·2a leaves two line vortices Γ at ±a, and between them
    the air goes Γ/(πa) = V·α·lift_area/(4πa²) with the lift (line-vortex theory of wing and tail:
    Pitts, Nielsen and Kaattari 1957, NACA Report 1307, from memory). A ring of vanes feels the
    part of that field that goes once round: all of it inside radius a, and −(a/R)² of it, an
    upwash, outside (the two vortices' fields expanded in R, derived here; re-derived by sums over
    places in the tests). The mean is weighted by the vanes' chord. What the shaft
    does to that field is in the vanes' own upwash factor.
    """
    spacing = 0.5 * _VORTEX_SPACING * span
    weight = total = 0.0
    count = 100
    for i in range(count):
        share = (i + 0.5) / count
        radius = shaft_radius + share * vanes.height
        chord = outline_chord(vanes.outline, share)
        weight += chord
        total += chord * (1.0 if radius < spacing else -((spacing / radius) ** 2))
    return lift_area / (4.0 * math.pi * spacing**2) * total / weight


def with_blades(
    body: Parameters,
    arrow: Arrow,
    blades: Blades,
    reynolds: float,
    beta: float,
    factors: Coefficients,
) -> Parameters:
    """Add the blades to a packed arrow.

    Args:
        body: packed with its vanes.
        arrow: whose point they are.
        blades: ahead of the balance point.
        reynolds: on the wetted length at launch.
        beta: √(1 − M²).
        factors: ``blade_lift``, ``vortex_lift``, ``blade_wake`` and ``friction`` are used.

    Lift, interference with the ferrule and the center of pressure are those of fins (Barrowman
    1967): slope on their own area, 1 + r/(r + s), quarter chord of the mean chord, which for a full
    triangle is half its length. Their layer starts afresh and is laminar. The blades' moments of
    inertia across are taken as equal in all directions, which is exact for three or more; for two
    the difference is under 1e-4 of the arrow's.
    """
    shape = blade_shape(blades)
    height, ferrule = blades.height, 0.5 * blades.ferrule_diameter
    cosine = sweep_cosine(shape.area, height, blades.length)
    slope = fin_slope(shape.area, height, cosine, beta) * factors.blade_lift
    upwash = 1.0 + ferrule / (ferrule + height)
    arm = ferrule + shape.centroid_height
    front_end = arrow.parts.length + blades.rear_from_shaft + blades.length
    position = front_end - shape.lift_center - arrow.balance

    chord = shape.area / height
    friction = 1.328 / math.sqrt(reynolds * chord / body.wetted_length)  # Blasius
    drag_area = 2.0 * blades.count * shape.area * friction * factors.friction
    drag_area += BLADE_EDGE_DRAG * blades.count * blades.thickness * height

    wake = spread = 0.0
    if arrow.parts.vanes is not None:
        lift_area = 0.5 * blades.count * shape.area * slope * upwash
        radius = 0.5 * body.diameter
        wake = wake_at_vanes(lift_area, blades.cutting_diameter, arrow.parts.vanes, radius)
        spacing = 0.5 * _VORTEX_SPACING * blades.cutting_diameter
        spread = 0.5 * ((position - body.vane_position) / spacing) ** 2
    return body._replace(
        point_drag=body.point_drag + drag_area / body.cross_section,
        blade_count=float(blades.count),
        blade_area=shape.area,
        blade_slope=slope,
        blade_position=position,
        blade_vortex=vortex_lift(shape.area, height, blades.length)
        * factors.blade_lift
        * factors.vortex_lift,
        blade_upwash=upwash,
        blade_carry=upwash,  # slender bodies, as for vanes
        blade_arm=arm,
        blade_spin_radius=shape.second_moment
        / (shape.area * arm)
        * roll_damping_factor(shape.area, height, blades.length, ferrule),
        # as for two vanes
        blade_cosine=math.sin(blades.angle),
        blade_sine=-math.cos(blades.angle),
        blade_wake=wake * factors.blade_wake,
        blade_wake_spread=spread,
    )
