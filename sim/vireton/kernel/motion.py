"""The single right-hand side: state in, rate of change out.

State (16 floats): position of the center of gravity (x downrange, y up, z right) m · velocity over
ground m/s · axis, unit vector toward the point · angular velocity across the axis rad/s · spin
about it rad/s, clockwise for the archer positive · a reference vector across the axis and fixed in
the body, carried only where the roll angle matters.

Left out, with their size for a 27 g arrow at 85 m/s over 90 m (orders of magnitude): Earth's
rotation (Coriolis, 2·7.3e-5 s⁻¹·85 m/s ≈ 0.012 m/s²: ≈ 7 mm), the Magnus force of the spinning
shaft (at most ρ·Γ·v·L·sin α with Γ = 2π a² p; with a yaw of 2° that dies within 20 m while the spin
has only begun to grow, a few mm at the very most), the air that the shaft carries along sideways
(ρ_air/ρ_arrow ≈ 0.1 % of its mass).
"""

import numpy as np

from vireton.aerodynamics.blades import blade_forces, blades_wake
from vireton.aerodynamics.body import axial_drag_areas
from vireton.aerodynamics.crossflow import crossflow_integrals
from vireton.aerodynamics.vanes import Ring, first_of_pair, pair_forces, ring_forces
from vireton.kernel.compiled import compiled, inlined
from vireton.kernel.derivable import quotient, square_root
from vireton.kernel.parameters import Parameters
from vireton.kernel.rigid import angular_rates
from vireton.kernel.vectors import Vector, add, cross, dot, plus_scaled, scale, subtract

STATE_SIZE = 16
SYMMETRIC_SIZE = 13  # what a roll-symmetric body needs of it


@inlined
def wind_at(p: Parameters, up: float) -> Vector:
    """Velocity of the air over ground at height ``up`` above the frame's origin, m/s.

    Power-law profile (common engineering practice for the lowest tens of meters); still air at
    and below the ground.
    """
    factor = 1.0
    if p.wind_exponent.real > 0.0:
        height = p.launch_height + up
        if height.real > 0.0:
            factor = (height / p.wind_reference_height) ** p.wind_exponent
        else:
            factor = 0.0 * height
    return (p.wind_x * factor, 0.0, p.wind_right * factor)


@inlined
def arrow_loads(
    p: Parameters,
    air_velocity: Vector,
    axis: Vector,
    across_rate: Vector,
    spin: float,
    reference: Vector,
) -> tuple[Vector, Vector]:
    """Force N and moment N·m (about the center of gravity) of point, blades, shaft and vanes.

    Args:
        p: the body in its air.
        air_velocity: of the center of gravity through the air, m/s.
        axis: unit vector toward the point.
        across_rate: angular velocity across the axis, rad/s.
        spin: angular velocity about it, rad/s, clockwise for the archer positive.
        reference: unit vector across the axis and fixed in the body; for two vanes or blades only.

    Each term has its source beside it, most in :mod:`vireton.aerodynamics`.
    """
    axial = dot(air_velocity, axis)
    across = plus_scaled(air_velocity, -axial, axis)
    turning = cross(across_rate, axis)  # the axis's own velocity, per meter of arm
    across_squared = dot(across, across)
    across_dot_rate = dot(across, turning)
    rate_squared = dot(turning, turning)
    speed_squared = axial * axial + across_squared
    speed = square_root(speed_squared)

    friction, point, base, vane_drag, share, rubbed = axial_drag_areas(
        p, speed, quotient(across_squared, speed_squared + 1e-12)
    )
    along = -0.5 * p.density * axial * speed * (friction + point + base + vane_drag)

    zeroth, first, second = crossflow_integrals(
        p, axial, across_squared, across_dot_rate, rate_squared
    )
    # friction acts along the flow; its moments are about the leading end, and backward from it
    lead = p.front if axial.real >= 0.0 else p.rear
    back = p.rear - p.front if axial.real >= 0.0 else p.front - p.rear
    along_flow = 0.5 * p.density * speed
    zeroth += along_flow * rubbed[0]
    first += along_flow * (lead * rubbed[0] + back * rubbed[1])
    second += along_flow * (
        lead * (lead * rubbed[0] + 2.0 * back * rubbed[1]) + back * back * rubbed[2]
    )
    # force across the axis, and its first moment along it: both in the plane across the axis
    force = (
        -zeroth * across[0] - first * turning[0],
        -zeroth * across[1] - first * turning[1],
        -zeroth * across[2] - first * turning[2],
    )
    arm = (
        -first * across[0] - second * turning[0],
        -first * across[1] - second * turning[1],
        -first * across[2] - second * turning[2],
    )

    # slender-body lift of whichever end meets the air first (Munk; slope 2 on the cross-section)
    end = p.point_position if axial.real >= 0.0 else p.tail_position
    forward = axial if axial.real >= 0.0 else -axial
    lift = -0.5 * p.density * p.cross_section * p.point_slope * forward
    at_end = plus_scaled(across, end, turning)
    force = plus_scaled(force, lift, at_end)
    arm = plus_scaled(arm, lift * end, at_end)

    moment = (0.0, 0.0, 0.0)
    wake = (0.0, 0.0, 0.0)
    if p.blade_count.real > 0.0:
        at_blades = plus_scaled(across, p.blade_position, turning)
        lifted, roll = blade_forces(p, axial, at_blades, axis, reference, spin)
        force = add(force, lifted)
        arm = plus_scaled(arm, p.blade_position, lifted)
        moment = scale(roll, axis)
        # the wake that the vanes meet was left a little earlier, when the nose pointed elsewhere
        station = 2.0 * p.blade_position - p.vane_position
        earlier = plus_scaled(across, station, turning)
        wake = blades_wake(p, axial, at_blades, axis, reference, earlier)
    if p.vane_count.real > 0.0:
        at_vanes = subtract(plus_scaled(across, p.vane_position, turning), wake)
        # never nothing: a direction, and the derivative of a length, need some
        across_vanes = square_root(dot(at_vanes, at_vanes) + 1e-18)
        slowed = p.vane_speed_laminar + share * (p.vane_speed_turbulent - p.vane_speed_laminar)
        ring = Ring(
            p.vane_count,
            p.vane_area,
            p.vane_slope,
            p.vane_vortex,
            p.vane_upwash,
            p.vane_carry,
            p.vane_arm,
            p.vane_spin_radius,
            p.vane_offset_sine,
            p.vane_offset_cosine,
            p.vane_stall_sine_squared,
            p.vane_plate_normal,
        )
        if p.vane_count == 2.0:
            one = first_of_pair(axis, reference, p.vane_cosine, p.vane_sine)
            vane_axial, steering, roll, twisting = pair_forces(
                ring, p.density, axial, at_vanes, axis, one, spin, slowed
            )
        else:
            vane_axial, vane_across, roll, offset_moment = ring_forces(
                ring, p.density, axial, across_vanes, spin, slowed
            )
            steering = scale(vane_across / across_vanes, at_vanes)
            twisting = scale(offset_moment / across_vanes, at_vanes)
        along += vane_axial
        force = add(force, steering)
        arm = plus_scaled(arm, p.vane_position, steering)
        moment = add(plus_scaled(moment, roll, axis), twisting)

    return plus_scaled(force, along, axis), add(moment, cross(axis, arm))


@inlined
def constant_loads(
    p: Parameters, air_velocity: Vector, axis: Vector, across_rate: Vector
) -> tuple[Vector, Vector]:
    """Force and moment of a body of constant drag, lift-slope, moment-slope and damping.

    The linear aerodynamics of McCoy, *Modern Exterior Ballistics*, ch. 9 (finned bodies, no
    Magnus): drag −½ρVS·CD·v, lift ½ρS·CLα·(V²n − (v·n)v), moment ½ρVSd·CMα·(v × n), damping
    ½ρVSd²·(CMq + CMα̇)·ω.
    """
    speed_squared = dot(air_velocity, air_velocity)
    speed = square_root(speed_squared)
    unit = 0.5 * p.density * p.constant_area
    along = dot(air_velocity, axis)
    force = scale(-unit * (speed * p.constant_drag + p.constant_lift_slope * along), air_velocity)
    force = plus_scaled(force, unit * p.constant_lift_slope * speed_squared, axis)
    unit *= speed * p.constant_length
    moment = scale(unit * p.constant_moment_slope, cross(air_velocity, axis))
    return force, plus_scaled(moment, unit * p.constant_length * p.constant_damping, across_rate)


@compiled
def derivatives(state: np.ndarray, p: Parameters, out: np.ndarray) -> None:
    """Fill ``out`` with d(state)/dt. Both are float arrays of :data:`STATE_SIZE`."""
    velocity = (state[3], state[4], state[5])
    axis = (state[6], state[7], state[8])
    across_rate = (state[9], state[10], state[11])
    spin = state[12]
    reference = (state[13], state[14], state[15])

    air_velocity = subtract(velocity, wind_at(p, state[1]))
    force = (0.0, 0.0, 0.0)
    moment = (0.0, 0.0, 0.0)
    if p.cross_section.real > 0.0:
        force, moment = arrow_loads(p, air_velocity, axis, across_rate, spin, reference)
    if p.constant_area.real > 0.0:
        more_force, more_moment = constant_loads(p, air_velocity, axis, across_rate)
        force = add(force, more_force)
        moment = add(moment, more_moment)

    axis_rate, swing, spin_rate, reference_rate = angular_rates(
        axis,
        across_rate,
        spin,
        reference,
        moment,
        (p.inertia_axial, p.inertia_across, p.inertia_across_other),
    )
    out[0] = velocity[0]
    out[1] = velocity[1]
    out[2] = velocity[2]
    per_mass = 1.0 / p.mass
    out[3] = force[0] * per_mass + p.gravity_x
    out[4] = force[1] * per_mass + p.gravity_up
    out[5] = force[2] * per_mass + p.gravity_right
    out[6] = axis_rate[0]
    out[7] = axis_rate[1]
    out[8] = axis_rate[2]
    out[9] = swing[0]
    out[10] = swing[1]
    out[11] = swing[2]
    out[12] = spin_rate
    out[13] = reference_rate[0]
    out[14] = reference_rate[1]
    out[15] = reference_rate[2]
