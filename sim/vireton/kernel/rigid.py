"""Rotation of a rigid body whose axis is a unit vector: no angles, so no pole."""

from vireton.kernel.compiled import inlined
from vireton.kernel.vectors import Vector, cross, dot, plus_scaled, scale


@inlined
def angular_rates(
    axis: Vector,
    across_rate: Vector,
    spin: float,
    reference: Vector,
    moment: Vector,
    inertia: Vector,
) -> tuple[Vector, Vector, float, Vector]:
    """Rates of the axis, the angular velocity across it, the spin, and the reference vector.

    Args:
        axis: unit vector along body axis 1 (for an arrow: toward the point).
        across_rate: angular velocity across the axis, rad/s, square to it.
        spin: angular velocity about the axis, rad/s.
        reference: unit vector along body axis 2, fixed in the body; looked at only where the two
            inertias across the axis differ.
        moment: about the center of gravity, N·m.
        inertia: about body axes 1, 2, 3, kg·m².

    Euler's equations (any text on rigid bodies, e.g. Goldstein, *Classical Mechanics*, ch. 5),
    written for inertial vectors: the derivative of the angular velocity is the same in the body
    and outside it, so ω̇ = ṗ·e₁ + q̇·e₂ + ṙ·e₃ with the body-axis rates on the right. For a
    symmetric body this becomes I_t ω̇_t = M_t − I_a p (ω_t × n): the gyroscopic term.
    """
    axis_rate = cross(across_rate, axis)
    reference_rate = cross(plus_scaled(across_rate, spin, axis), reference)
    if inertia[1] == inertia[2]:
        about = dot(moment, axis)
        gyroscopic = inertia[0] * spin
        across = plus_scaled(moment, -about, axis)
        swing = scale(1.0 / inertia[1], plus_scaled(across, -gyroscopic, axis_rate))
        return axis_rate, swing, about / inertia[0], reference_rate
    third = cross(axis, reference)
    q = dot(across_rate, reference)
    r = dot(across_rate, third)
    p_rate = (dot(moment, axis) - (inertia[2] - inertia[1]) * q * r) / inertia[0]
    q_rate = (dot(moment, reference) - (inertia[0] - inertia[2]) * r * spin) / inertia[1]
    r_rate = (dot(moment, third) - (inertia[1] - inertia[0]) * spin * q) / inertia[2]
    along = q_rate - spin * r
    other = r_rate + spin * q
    swing = (
        along * reference[0] + other * third[0],
        along * reference[1] + other * third[1],
        along * reference[2] + other * third[2],
    )
    return axis_rate, swing, p_rate, reference_rate
