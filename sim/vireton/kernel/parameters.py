"""All that a flight needs to know, as one flat record of floats.

A NamedTuple of floats compiles fast and once; :func:`vireton.flight.packing.pack` is the only door
that fills it. Positions are along the shaft's axis, forward of the center of gravity, in m.
"""

from typing import NamedTuple

from vireton.kernel.compiled import inlined


class Parameters(NamedTuple):
    """Numbers of one body in one air. SI units; zero switches a term off."""

    # rigid body: kg, kg·m² about the center of gravity (axial, then the two across it)
    mass: float = 1.0
    inertia_axial: float = 1.0
    inertia_across: float = 1.0
    inertia_across_other: float = 1.0

    # surroundings: m/s² (x, up, right), kg/m³, m²/s, m/s; the wind is that of the air over ground
    gravity_x: float = 0.0
    gravity_up: float = -9.80665
    gravity_right: float = 0.0
    density: float = 1.225
    kinematic_viscosity: float = 1.4607e-5
    wind_x: float = 0.0
    wind_right: float = 0.0
    wind_exponent: float = 0.0  # power-law profile; 0 is uniform
    wind_reference_height: float = 1.0  # m above ground, where wind_x and wind_right hold
    launch_height: float = 1.0  # m above ground of the frame's origin

    # shaft
    diameter: float = 0.0
    cross_section: float = 0.0  # π d²/4
    rear: float = 0.0  # ends of what stands in the crossflow
    front: float = 0.0
    crossflow_factor: float = 1.0
    crossflow_growth: float = 0.0  # m of sideways way after which half of its drag has grown

    # point
    point_position: float = 0.0  # where its normal force acts
    tail_position: float = 0.0  # the same for flight tail first
    point_slope: float = 0.0  # normal-force slope per rad on the cross-section
    point_drag: float = 0.0  # pressure drag coefficient on the cross-section

    # skin friction and base
    wetted_area: float = 0.0
    wetted_length: float = 0.0
    transition_reynolds: float = 1.0  # on the wetted length, at zero angle
    transition_sine_squared: float = 1.0  # sin² of the angle that halves it
    curvature_laminar: float = 0.0  # added friction: this ÷ (Reynolds number on the diameter)
    curvature_turbulent: float = 1.0  # factor
    friction_factor: float = 1.0
    friction_across: float = 0.0  # the same for the friction's component across the axis
    base_factor: float = 0.0

    # vanes
    vane_count: float = 0.0
    vane_area: float = 0.0  # one side of one vane
    vane_slope: float = 0.0  # per rad on vane_area
    vane_position: float = 0.0
    vane_vortex: float = 0.0  # vortex-lift coefficient on vane_area, per sin²
    vane_upwash: float = 1.0  # body interference on the crossflow angle
    vane_carry: float = 1.0  # lift of vanes and body between them ÷ lift of the vanes
    vane_arm: float = 0.0  # radius where the normal force acts
    vane_spin_radius: float = 0.0  # radius that gives the right damping in spin
    vane_offset_sine: float = 0.0  # positive spins the arrow clockwise for the archer
    vane_offset_cosine: float = 1.0
    vane_stall_sine_squared: float = 0.25
    vane_plate_normal: float = 1.17  # normal-force coefficient broadside
    vane_speed_laminar: float = 1.0  # mean speed ratio over the vane in the boundary layer
    vane_speed_turbulent: float = 1.0
    vane_pressure_laminar: float = 1.0  # mean of its square, for friction and edges
    vane_pressure_turbulent: float = 1.0
    vane_friction_area: float = 0.0  # both sides of all vanes × vane ÷ shaft turbulent friction
    vane_edge_area: float = 0.0  # drag area of all blunt edges
    vane_cosine: float = 1.0  # two vanes only: the first one's direction from the reference vector,
    vane_sine: float = 0.0  # positive the way a positive spin turns

    # blades of a broadhead: the same numbers as of the vanes, without offset or a slow layer
    blade_count: float = 0.0
    blade_area: float = 0.0
    blade_slope: float = 0.0
    blade_position: float = 0.0
    blade_vortex: float = 0.0
    blade_upwash: float = 1.0
    blade_carry: float = 1.0
    blade_arm: float = 0.0
    blade_spin_radius: float = 0.0
    blade_cosine: float = 1.0  # two blades only, as for two vanes
    blade_sine: float = 0.0
    blade_wake: float = 0.0  # share of the blades' crossflow that their wake takes off the vanes'
    blade_wake_spread: float = 0.0  # how fast that goes with the square of the crossflow angle

    # a body of constant coefficients: measured drag, and the standard bodies of the literature
    constant_area: float = 0.0
    constant_length: float = 0.0
    constant_drag: float = 0.0
    constant_lift_slope: float = 0.0
    constant_moment_slope: float = 0.0
    constant_damping: float = 0.0  # CMq + CMα̇, per (angular rate × length ÷ speed)


@inlined
def roll_matters(p: Parameters) -> bool:
    """Whether the body's motion depends on its roll angle, so that it must be carried along."""
    if p.vane_count == 2.0 or p.blade_count == 2.0:
        return True
    return p.inertia_across != p.inertia_across_other
