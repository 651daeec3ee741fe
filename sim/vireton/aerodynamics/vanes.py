"""A ring of vanes: lift, restoring moment, damping, roll drive and roll damping in one formula."""

from typing import NamedTuple

from vireton.kernel.compiled import inlined
from vireton.kernel.derivable import quotient, square_root
from vireton.kernel.vectors import Vector, cross, dot, plus_scaled, scale

# sin of 22.5° and 67.5°: with eight places round the ring, only two sizes of sine occur
_SINE_LOW = 0.3826834323650898
_SINE_HIGH = 0.9238795325112867

#: Sine squared of the angle, 1°, about which the vortices form (our choice): a kink at 0 would cost
#: a third more steps of the flight.
_VORTEX_FORMS = 3.046e-4


class Ring(NamedTuple):
    """Identical vanes, or blades, round the shaft: what ``vane_…`` says in the parameters."""

    number: float
    area: float
    slope: float
    vortex: float
    upwash: float
    carry: float
    arm: float
    spin_radius: float
    offset_sine: float
    offset_cosine: float
    stall_sine_squared: float
    plate_normal: float


@inlined
def normal_force_area(ring: Ring, normal: float, chordwise: float) -> float:
    """CN·V²·A of one vane (m⁴/s²), with the sign of the ``normal`` air speed.

    Args:
        ring: whose vane it is.
        normal: speed of the vane through the air square to its face, m/s.
        chordwise: speed along its chord, m/s; negative in flight tail first.

    Below the stall CN = slope·sin α·|cos α| + vortex·sin²α: Barrowman's slope, and the lift of the
    vortices along side edges and swept fronts (see :func:`vireton.bow.plan_form.vortex_lift`),
    whose sin²α is |sin³α|/√(sin²α + sin²1°) here; beyond it the vane is a plate, CN = 1.17·sin α
    (square plate broadside, Hoerner, *Fluid-Dynamic Drag*, ch. 3, from memory). The two are blended
    by x⁴/(1 + x⁴), x = sin²α/sin²α_stall. Low-aspect-ratio surfaces stall late, at 25–35° (Hoerner
    and Borst, *Fluid-Dynamic Lift*, ch. 17, from memory). The vortices add some 4 % to a vane's
    lift at 1°, three tenths at 6°; under 0.02 in to an impact at 60 yd after 1/16 in of rest.
    """
    normal_squared = normal * normal
    speed_squared = normal_squared + chordwise * chordwise + 1e-12
    linear = ring.slope * (chordwise if chordwise.real >= 0.0 else -chordwise)
    formed = square_root(normal_squared + _VORTEX_FORMS * speed_squared)
    plate = ring.plate_normal * square_root(speed_squared)
    # one division for the vortices' and the blend's: stalled = beyond/(beyond + below)
    below = speed_squared * ring.stall_sine_squared
    below *= below
    below *= below
    beyond = normal_squared * normal_squared
    beyond *= beyond
    above = below * (linear * formed + ring.vortex * normal_squared) + beyond * plate * formed
    return ring.area * normal * quotient(above, formed * (below + beyond))


@inlined
def _offset_force_area(ring: Ring, axial: float, tangential: float) -> float:
    """CN·V²·A of a vane that moves along the axis and the way a positive spin turns it, m/s."""
    normal = tangential * ring.offset_cosine - axial * ring.offset_sine
    chordwise = axial * ring.offset_cosine + tangential * ring.offset_sine
    return normal_force_area(ring, normal, chordwise)


@inlined
def ring_forces(
    ring: Ring, density: float, axial: float, across: float, spin: float, speed_ratio: float
) -> tuple[float, float, float, float]:
    """Forces of the whole ring, averaged over roll.

    Args:
        ring: the vanes.
        density: of the air, kg/m³.
        axial: speed through the air along the axis at the vanes, m/s, nose first positive.
        across: speed across the axis at the vanes, m/s, ≥ 0.
        spin: rad/s, positive clockwise for the archer.
        speed_ratio: mean speed over the vane ÷ speed outside the boundary layer.

    Returns:
        (axial force N, force along the crossflow N, roll moment N·m, and the moment N·m about the
        crossflow direction that offset vanes add).

    A vane at angle θ from the crossflow, with unit vectors τ (the way it moves in a positive spin)
    and n (the axis), has the normal N̂ = τ cos δ − n sin δ, so its normal speed is
    (r·spin − K·across·sin θ)·cos δ − axial·sin δ. Its force is −N·N̂. The ring is averaged over
    eight places measured from the crossflow, so the result cannot depend on how the arrow is
    nocked; it is exact for three or more vanes while the force is linear in the angle, and the spin
    averages the rest (two vanes: :func:`pair_forces`). Against ever more places its lift differs by
    0.5 % of the vortices' part, which is 0.1 % of the whole at 8° of yaw and moves an impact by
    under 0.2 mm at 100 yd. The speed that a yaw rate adds at
    the vanes' radius is left out (0.002 mm at 60 yd).
    """
    # the layer slows the air along the shaft only: lift is lost once, the drive of the spin twice
    axial *= speed_ratio
    moved_by_spin = ring.spin_radius * spin
    low = ring.upwash * across * _SINE_LOW
    high = ring.upwash * across * _SINE_HIGH
    sum_normal = 0.0 * axial
    sum_sine = sum_normal
    for sine, sideways in (
        (_SINE_LOW, low),
        (-_SINE_LOW, -low),
        (_SINE_HIGH, high),
        (-_SINE_HIGH, -high),
    ):
        area = _offset_force_area(ring, axial, moved_by_spin - sideways)
        sum_normal += area
        sum_sine += area * sine
    unit = 0.5 * density * ring.number * 0.25
    axial_force = unit * ring.offset_sine * sum_normal
    across_force = unit * ring.carry * ring.offset_cosine * sum_sine
    roll_moment = -unit * ring.arm * ring.offset_cosine * sum_normal
    offset_moment = unit * ring.arm * ring.offset_sine * sum_sine
    return axial_force, across_force, roll_moment, offset_moment


@inlined
def pair_forces(
    ring: Ring,
    density: float,
    axial: float,
    at_vanes: Vector,
    axis: Vector,
    first: Vector,
    spin: float,
    speed_ratio: float,
) -> tuple[float, Vector, float, Vector]:
    """Forces of two vanes or blades, which stand where they stand: the roll angle counts.

    Args:
        ring: their numbers; ``number`` is not looked at.
        density: of the air, kg/m³.
        axial: speed through the air along the axis, m/s, nose first positive.
        at_vanes: velocity across the axis there, m/s.
        axis: unit vector toward the point.
        first: unit vector from the axis along the first of the two.
        spin: rad/s, positive clockwise for the archer.
        speed_ratio: as in :func:`ring_forces`.

    Returns:
        (axial force N, force across N, roll moment N·m, moment N·m across the axis that offset
        adds), each as :func:`ring_forces` has it for one vane. Straight ones lift square to their
        plane only.
    """
    axial *= speed_ratio
    onward = cross(axis, first)  # the way the first one moves in a positive spin
    sideways = ring.upwash * dot(at_vanes, onward)
    moved_by_spin = ring.spin_radius * spin
    sum_normal = 0.0 * axial
    apart = sum_normal
    for sign in (1.0, -1.0):
        area = _offset_force_area(ring, axial, moved_by_spin + sign * sideways)
        sum_normal += area
        apart += sign * area
    unit = 0.5 * density
    return (
        unit * ring.offset_sine * sum_normal,
        scale(-unit * ring.carry * ring.offset_cosine * apart, onward),
        -unit * ring.arm * ring.offset_cosine * sum_normal,
        scale(-unit * ring.arm * ring.offset_sine * apart, onward),
    )


@inlined
def first_of_pair(axis: Vector, reference: Vector, cosine: float, sine: float) -> Vector:
    """Where the first of two stands: turned from ``reference`` the way a positive spin turns."""
    return plus_scaled(scale(cosine, reference), sine, cross(axis, reference))
