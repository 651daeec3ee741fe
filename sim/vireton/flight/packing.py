"""From an arrow and its air to the kernel's parameters: all geometry is worked out once, here."""

import math

from vireton.bow.arrow import STANDARD_GRAVITY, Arrow
from vireton.bow.parts import Point, Vanes
from vireton.bow.plan_form import (
    fin_slope,
    roll_damping_factor,
    sweep_cosine,
    vane_shape,
    vortex_lift,
)
from vireton.flight.air import Air
from vireton.flight.coefficients import Coefficients
from vireton.flight.packing_blades import with_blades
from vireton.kernel.parameters import Parameters

#: Slope of the normal force of a slender nose on its cross-section, per rad (Munk 1924; any text).
SLENDER_SLOPE = 2.0

#: Reynolds number on the length at which half the friction is turbulent, by the point's shape, at
#: zero angle. Bounds: streamlined stays laminar to 1.65e6, bullet and bluff are turbulent from
#: 0.78e6 (Mukaiyama et al. 2011, Procedia Engineering 13:265–270, abstract); a transition in
#: flight near 1.8e4 on the diameter (Ortiz et al. 2020, Proceedings 49:56), 2.3e6 on the length
#: for a length of 128 diameters (assumed). Where they fall inside those bounds is our choice, and
#: so is that blades stir the layer up like a blunt point.
TRANSITION_REYNOLDS = {"streamlined": 2.6e6, "bullet": 5e5, "field": 5e5, "blunt": 3e5}

#: Angle that halves it: 0.75° (Miyazaki et al. 2013, Sports Engineering 16:43–54, from memory).
TRANSITION_ANGLE = math.radians(0.75)

#: Pressure drag of the point on the cross-section: noses of revolution in subsonic flow, Hoerner,
#: *Fluid-Dynamic Drag*, ch. 3 (from memory): near nothing for an ogive, 0.8 for a flat face.
POINT_DRAG = {"streamlined": 0.03, "bullet": 0.05, "field": 0.10, "blunt": 0.80}

#: A blunt point's with its edge rounded to this share of the head's diameter or more, and that
#: share; in between in proportion (Hoerner, the same, from memory).
ROUNDED_DRAG, ROUNDED_SHARE = 0.20, 0.10

#: First-order curvature of a laminar layer on a thin cylinder, mean over the length: the friction
#: coefficient grows by 4 f₁″(0)/Re_d with f₁″(0) = 0.6943 (Seban and Bond 1951, corrected by Kelly
#: 1954; re-derived in the tests).
CURVATURE_LAMINAR = 4.0 * 0.6943

#: Drag of a vane's square-cut front edge on height × thickness (Hoerner, *Fluid-Dynamic Drag*,
#: ch. 3, from memory). Its sweep is left out: it would lessen it.
FRONT_EDGE_DRAG = 0.6

#: Sideways way, in radii of the shaft, after which half of a steady cylinder's drag has grown: our
#: choice between the sources of :func:`vireton.aerodynamics.crossflow.crossflow_integrals`,
#: plausible 0.1 (as good as steady at once) to 4.
CROSSFLOW_GROWTH = 2.0

STALL_ANGLE = math.radians(30.0)


def turbulent_curvature(thickness_over_radius: float) -> float:
    """Factor on the mean turbulent friction of a plate when it is rolled to a thin cylinder.

    Args:
        thickness_over_radius: thickness of the *flat-plate* layer at the end ÷ shaft radius, ≥ 0.

    The momentum integral with a 1/7-power profile and Blasius' wall law (after Landweber 1949,
    from memory; derived here): with D the cylinder's layer over the radius and D₀ the plate's,
    D^(5/4)·(1 + D/3) = D₀^(5/4), and the friction ratio is (D + 0.3·D²)/D₀.
    """
    if thickness_over_radius == 0.0:
        return 1.0
    layer = cylinder_layer(thickness_over_radius)
    return (layer + 0.3 * layer * layer) / thickness_over_radius


def turbulent_plate_layer(length: float, reynolds: float) -> float:
    """Thickness (m) of a flat plate's turbulent layer after ``length`` m, 0.37 x/Re^0.2.

    One-seventh-power profile (Schlichting, *Boundary-Layer Theory*, from memory). ``reynolds`` on
    that length, some 5e5 to 1e7.
    """
    return 0.37 * length / math.pow(reynolds, 0.2)


def cylinder_layer(plate_layer: float) -> float:
    """Layer thickness over radius on a cylinder, from the plate's (see turbulent_curvature)."""
    layer = plate_layer
    target = plate_layer**1.25
    for _ in range(40):  # Newton from above: convex, so it cannot overshoot
        error = layer**1.25 * (1.0 + layer / 3.0) - target
        slope = 1.25 * layer**0.25 + 0.75 * layer**1.25
        change = error / slope
        layer -= change
        if abs(change) < 1e-13 * layer:
            break
    return layer


def point_drag(point: Point, shaft_diameter: float) -> float:
    """Pressure drag of a point on the shaft's cross-section.

    By its shape; a blunt one between a sharp flat face and a rounded one by its edge radius. A head
    wider than the shaft counts with its own cross-section; what its rear shoulder adds is left out.
    From a flat face to a rounded one an arrow of 27 g drops some 1.3 in less at 60 yd.
    """
    diameter = point.head_diameter or shaft_diameter
    drag = POINT_DRAG[point.shape]
    if point.shape == "blunt":
        rounded = min(1.0, point.edge_radius / (ROUNDED_SHARE * diameter))
        drag += rounded * (ROUNDED_DRAG - drag)
    return drag * (diameter / shaft_diameter) ** 2


def edge_drag(chord: float, thickness: float, friction: float) -> float:
    """Drag of a vane's two edges on height × thickness: square-cut front, and base behind.

    The base's 0.135/CfB^⅓, CfB the friction coefficient of both sides on that area (Hoerner,
    *Fluid-Dynamic Drag*, ch. 3, from memory). ``friction`` of one side on its own area.
    """
    return FRONT_EDGE_DRAG + 0.135 / math.cbrt(2.0 * friction * chord / thickness)


def mean_speed_laminar(thickness_over_height: float) -> float:
    """Mean speed over a vane ÷ speed outside, layer of profile 2η − η² (Pohlhausen's simplest)."""
    if thickness_over_height <= 1.0:
        return 1.0 - thickness_over_height / 3.0
    inside = 1.0 / thickness_over_height
    return inside - inside * inside / 3.0


def mean_speed_turbulent(thickness_over_height: float) -> float:
    """The same for a 1/7-power profile."""
    if thickness_over_height <= 1.0:
        return 1.0 - thickness_over_height / 8.0
    return float(0.875 * thickness_over_height ** (-1.0 / 7.0))


def mean_square_laminar(thickness_over_height: float) -> float:
    """Mean square of that speed, which friction and edges feel, in the same laminar profile."""
    if thickness_over_height <= 1.0:
        return 1.0 - 7.0 / 15.0 * thickness_over_height
    inside = 1.0 / thickness_over_height
    return inside * inside * (4.0 / 3.0 - inside + 0.2 * inside * inside)


def mean_square_turbulent(thickness_over_height: float) -> float:
    """The same for the 1/7-power profile."""
    if thickness_over_height <= 1.0:
        return 1.0 - 2.0 / 9.0 * thickness_over_height
    return float(7.0 / 9.0 * thickness_over_height ** (-2.0 / 7.0))


def pack(
    arrow: Arrow,
    air: Air,
    speed: float,
    coefficients: Coefficients | None = None,
    drag_coefficient: float | None = None,
) -> Parameters:
    """The kernel's record for this arrow in this air, still and level.

    Args:
        arrow: assembled; with vanes or without; with a point or a broadhead.
        air: its density, viscosity and speed of sound are used.
        speed: m/s, > 0: launch speed, at which the thickness of the boundary layer is taken (it
            changes by a few per cent over a flight; the friction itself follows the speed).
        coefficients: factors on the uncertain terms.
        drag_coefficient: measured, on the shaft's cross-section: replaces the drag model along
            the shaft; lift and crossflow stay, and blades add their own.
    """
    factors = coefficients or Coefficients()
    parts = arrow.parts
    shaft = parts.shaft
    radius = 0.5 * shaft.outside_diameter
    section = math.pi * radius * radius
    wetted_length = arrow.total_length - parts.nock.throat_to_shaft
    reynolds = speed * wetted_length / air.kinematic_viscosity
    plate_layer = turbulent_plate_layer(wetted_length, reynolds)

    body = Parameters(
        mass=arrow.mass,
        inertia_axial=arrow.axial_inertia,
        inertia_across=arrow.transverse_inertia,
        inertia_across_other=arrow.transverse_inertia,
        gravity_up=-STANDARD_GRAVITY,
        density=air.density,
        kinematic_viscosity=air.kinematic_viscosity,
        diameter=shaft.outside_diameter,
        cross_section=section,
        rear=-arrow.balance,
        front=arrow.total_length - arrow.balance,
        crossflow_factor=factors.crossflow_drag,
        crossflow_growth=CROSSFLOW_GROWTH * radius * factors.crossflow_growth,
        point_position=parts.length + 0.5 * parts.point.length - arrow.balance,
        tail_position=-arrow.balance,
        point_slope=SLENDER_SLOPE * factors.point_lift,
        point_drag=point_drag(parts.point, shaft.outside_diameter),
        wetted_area=2.0 * math.pi * radius * wetted_length,
        wetted_length=wetted_length,
        transition_reynolds=_transition(parts.point) * factors.transition,
        transition_sine_squared=math.sin(TRANSITION_ANGLE) ** 2,
        curvature_laminar=CURVATURE_LAMINAR,
        curvature_turbulent=turbulent_curvature(plate_layer / radius),
        friction_factor=factors.friction,
        friction_across=factors.friction * factors.friction_across,
        base_factor=1.0,
    )
    beta = math.sqrt(1.0 - (speed / air.speed_of_sound) ** 2)
    if parts.vanes is not None:
        body = _with_vanes(body, arrow, parts.vanes, reynolds, beta, factors)
    if drag_coefficient is not None:
        body = body._replace(
            # along the axis, where the modeled drag acts: along the airspeed it would steer
            friction_factor=0.0,
            point_drag=drag_coefficient,
            base_factor=0.0,
            vane_edge_area=0.0,
        )
    if parts.point.blades is not None:
        body = with_blades(body, arrow, parts.point.blades, reynolds, beta, factors)
    return body


def _transition(point: Point) -> float:
    return TRANSITION_REYNOLDS["blunt" if point.blades is not None else point.shape]


def _with_vanes(
    body: Parameters,
    arrow: Arrow,
    vanes: Vanes,
    reynolds: float,
    beta: float,
    factors: Coefficients,
) -> Parameters:
    radius = 0.5 * body.diameter
    shape = vane_shape(vanes, radius)
    chord = shape.area / vanes.height
    cosine = sweep_cosine(shape.area, vanes.height, vanes.length)
    front_end = vanes.rear_from_throat + vanes.length
    lift_at = front_end - shape.lift_center
    arm = radius + shape.centroid_height

    # a square-cut edge trips the vane's own layer: 0.074/Re^0.2 (Prandtl; any text), at launch
    friction = 0.074 / math.pow(reynolds * chord / body.wetted_length, 0.2)
    plate_friction = 0.455 / math.log10(reynolds) ** 2.58  # Prandtl and Schlichting, on the shaft
    edges = edge_drag(chord, vanes.thickness, friction)
    upwash = 1.0 + radius / (radius + vanes.height)
    sign = 1.0 if vanes.turn == "right" else -1.0
    return body._replace(
        vane_count=float(vanes.count),
        vane_area=shape.area,
        vane_slope=fin_slope(shape.area, vanes.height, cosine, beta) * factors.vane_lift,
        vane_position=lift_at - arrow.balance,
        # the reference vector points right at launch, its partner across points down
        vane_cosine=math.sin(vanes.angle),
        vane_sine=-math.cos(vanes.angle),
        vane_vortex=vortex_lift(shape.area, vanes.height, vanes.length)
        * factors.vane_lift
        * factors.vortex_lift,
        # slender bodies: of (1 + τ)² one half is the vanes' own, Barrowman's K_T(B), and the other
        # what they leave on the shaft between and behind them, which does not roll it (Pitts,
        # Nielsen and Kaattari 1957, NACA Report 1307, from memory): 0.02 in at 60 yd after 1/16 in
        # of rest
        vane_upwash=upwash,
        vane_carry=upwash,
        vane_arm=arm,
        vane_spin_radius=shape.second_moment
        / (shape.area * arm)
        * roll_damping_factor(shape.area, vanes.height, vanes.length, radius),
        vane_offset_sine=sign * math.sin(vanes.offset),
        vane_offset_cosine=math.cos(vanes.offset),
        vane_stall_sine_squared=math.sin(STALL_ANGLE) ** 2,
        vane_friction_area=2.0 * vanes.count * shape.area * friction / plate_friction,
        vane_edge_area=edges * vanes.count * vanes.thickness * vanes.height,
        **_slow_air(body, arrow, vanes, reynolds, factors.boundary_layer),
    )


def _slow_air(
    body: Parameters, arrow: Arrow, vanes: Vanes, reynolds: float, loss: float
) -> dict[str, float]:
    """How fast the air over the vanes is ÷ outside, by the shaft's layer at their middle.

    ``reynolds`` on the wetted length; ``loss``: factor on what the layer takes.
    """
    radius = 0.5 * body.diameter
    run = arrow.total_length - (vanes.rear_from_throat + 0.5 * vanes.length)
    share_of_length = run / body.wetted_length
    reynolds_run = reynolds * share_of_length
    laminar_share = 5.0 * run / math.sqrt(reynolds_run) / vanes.height  # Blasius, 99 %
    plate_layer = turbulent_plate_layer(run, reynolds_run)
    turbulent_share = radius * cylinder_layer(plate_layer / radius) / vanes.height
    return {
        "vane_speed_laminar": 1.0 - loss * (1.0 - mean_speed_laminar(laminar_share)),
        "vane_speed_turbulent": 1.0 - loss * (1.0 - mean_speed_turbulent(turbulent_share)),
        "vane_pressure_laminar": 1.0 - loss * (1.0 - mean_square_laminar(laminar_share)),
        "vane_pressure_turbulent": 1.0 - loss * (1.0 - mean_square_turbulent(turbulent_share)),
    }
