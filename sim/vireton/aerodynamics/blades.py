"""The blades of a broadhead: lifting surfaces ahead of the center of gravity, and their wake.

Left out, with their size for a head of three blades 27 mm across (orders of magnitude): the wake on
the shaft's crossflow (up to a third of a force that at 1° is a tenth of the vanes'); the swirl that
blades leave when they brake the spin (up to 4 mrad at the vanes, against an offset of 26: a tenth
or so of the spin); a bevel or an offset of the blades; a head that does not run true.
"""

from vireton.aerodynamics.vanes import Ring, first_of_pair, pair_forces, ring_forces
from vireton.kernel.compiled import inlined
from vireton.kernel.derivable import square_root
from vireton.kernel.parameters import Parameters
from vireton.kernel.vectors import Vector, cross, dot, scale


@inlined
def blade_forces(
    p: Parameters, axial: float, at_blades: Vector, axis: Vector, reference: Vector, spin: float
) -> tuple[Vector, float]:
    """Force across the axis N, and roll moment N·m, of all blades.

    Args:
        p: the body, ``blade_count`` 2 or more.
        axial: speed through the air along the axis, m/s, nose first positive.
        at_blades: velocity across the axis at the blades, m/s.
        axis: unit vector toward the point.
        reference: unit vector across the axis that is fixed in the body; for two blades only.
        spin: rad/s, positive clockwise for the archer.

    Three or more are a ring (:func:`vireton.aerodynamics.vanes.ring_forces`) in undisturbed air.
    Two make a wing (:func:`vireton.aerodynamics.vanes.pair_forces`).
    """
    ring = Ring(
        p.blade_count,
        p.blade_area,
        p.blade_slope,
        p.blade_vortex,
        p.blade_upwash,
        p.blade_carry,
        p.blade_arm,
        p.blade_spin_radius,
        0.0,
        1.0,
        p.vane_stall_sine_squared,
        p.vane_plate_normal,
    )
    if p.blade_count == 2.0:
        first = first_of_pair(axis, reference, p.blade_cosine, p.blade_sine)
        _, lifted, roll, _ = pair_forces(ring, p.density, axial, at_blades, axis, first, spin, 1.0)
        return lifted, roll
    across = square_root(dot(at_blades, at_blades) + 1e-24)
    _, lift, roll, _ = ring_forces(ring, p.density, axial, across, spin, 1.0)
    return scale(lift / across, at_blades), roll


@inlined
def wake_share(p: Parameters, axial: float, at_blades: Vector) -> float:
    """Share of the blades' crossflow, when they passed, by which their wake lessens the vanes'.

    Lift leaves a pair of trailing vortices, and the air between them goes the way that the blades
    pushed it. The pair stays in the air while the shaft goes sideways by run × angle, so that at
    larger angles it passes beside the vanes: share = share₀/(1 + ½(run·angle/a)²), 2a the distance
    between the two (see :func:`vireton.flight.packing_blades.wake_at_vanes`). The blades passed a
    time run/V ago. Since then the axis has turned by that time × its rate Ω, so their crossflow was
    W + (x_blades + run)·Ω: this lag adds to the damping.
    """
    if axial.real <= 0.0:
        return 0.0
    angle_squared = dot(at_blades, at_blades) / (axial * axial)
    return p.blade_wake / (1.0 + p.blade_wake_spread * angle_squared)


@inlined
def blades_wake(
    p: Parameters,
    axial: float,
    at_blades: Vector,
    axis: Vector,
    reference: Vector,
    earlier: Vector,
) -> Vector:
    """What the wake takes off the crossflow at the vanes, m/s.

    ``earlier`` m/s is the blades' crossflow when they left it. Two blades lift square to their
    plane only, and so is their wake: twice the mean share there, none along it.
    """
    share = wake_share(p, axial, at_blades)
    if p.blade_count == 2.0:
        first = first_of_pair(axis, reference, p.blade_cosine, p.blade_sine)
        onward = cross(axis, first)
        return scale(2.0 * share * dot(onward, earlier), onward)
    return scale(share, earlier)
