"""The shaft in crossflow: drag of a circular cylinder, station by station.

Air that the point has just met has not yet been crossed: the drag grows with the way that the shaft
goes sideways through it.
"""

import numpy as np

from vireton.kernel.compiled import inlined_sums
from vireton.kernel.derivable import quotient, square_root
from vireton.kernel.parameters import Parameters

#: Below this Reynolds number the drag is made smooth through zero (a crossflow of ~3 mm/s).
_SMOOTHING = 1.0

# Gauss and Legendre's in u, the root of the share of the length behind the leading end: close
# together where the drag grows
_U, _U_WEIGHTS = (np.polynomial.legendre.leggauss(16) + np.array([[1.0], [0.0]])) * 0.5
_NODES = tuple(float(u * u) for u in _U)
_NODES_SQUARED = tuple(float(u**4) for u in _U)  # ready made, or the loop is not vectorized
_WEIGHTS = tuple(float(2.0 * u * weight) for u, weight in zip(_U, _U_WEIGHTS, strict=True))


@inlined_sums
def _drag_ratio(reynolds: float) -> tuple[float, float]:
    """What stands above and below the line in :func:`cylinder_drag_coefficient`."""
    root = square_root(reynolds)
    rise = 5.30824702 + root * (6.62657606 + root * 0.89507309)
    rise_below = root * (0.04275356 + root * (1.0 + root * 0.42317631))
    dip = 4e-4 * reynolds
    dip_below = 1.0 + 3.64e-7 * reynolds * reynolds
    below = rise_below * dip_below
    return 1.18 * below + rise * dip_below - dip * rise_below, below


@inlined_sums
def cylinder_drag_coefficient(reynolds: float) -> float:
    """Drag coefficient of a long circular cylinder across the stream, on its diameter.

    Args:
        reynolds: crossflow Reynolds number on the diameter, 0.05 to 2e5.

    Source: Sucker and Brauer 1975, "Fluiddynamik bei quer angeströmten Zylindern", Wärme- und
    Stoffübertragung 8:149–158 (from memory):
    6.8 Re^-0.89 + 1.96 Re^-0.5 + 1.18 − 4e-4 Re/(1 + 3.64e-7 Re²).
    The two powers are replaced by a ratio of polynomials in √Re, within 0.3 % of them over the
    range, because a power costs as much as all the rest.

    An inclined cylinder follows from the component of the stream across it (independence
    principle; Taylor 1952, Proc. R. Soc. A 214:158–183). Taylor's own laminar normal term,
    4 Re^-1/2 sin^3/2 α, is 4/√Re on the crossflow Reynolds number: the same low-Reynolds rise that
    is contained here (1.1 + 4/√Re is within 12 % of it for Re 10 to 300), so it is not added a
    second time.
    """
    above, below = _drag_ratio(reynolds)
    return quotient(above, below)


@inlined_sums
def crossflow_integrals(
    p: Parameters,
    axial: float,
    across_squared: float,
    across_dot_rate: float,
    rate_squared: float,
) -> tuple[float, float, float]:
    """Integrals ∫ ½ρ d CD |w| xᵏ dx along the shaft, k = 0, 1, 2 (kg/s, kg·m/s, kg·m²/s).

    The crossflow at station x is w = W + x·Ω, with W the cross-velocity at the center of gravity
    and Ω the rate at which the axis turns; only W², W·Ω and Ω² are needed. ``axial`` m/s is the
    speed along the axis, nose first positive. The force across is then −(I₀W + I₁Ω) and its moment
    −n × (I₁W + I₂Ω).

    CD is the steady cylinder's times σ²/(σ² + σ₀²). A slice of air that the leading end has
    pierced a run ξ ago was since crossed by ξ·|w|/axial: σ is that way in radii, some 4 at the tail
    at 1°. A cylinder started from rest drags little before it has gone some radii (the impulsive
    analogy for slender bodies: Allen and Perkins 1951, NACA Report 1048; Kelly 1954, J. Aeronaut.
    Sci. 21:549–555; from memory), for its wake must first roll up. Measured and computed starts do
    not agree on how many: half of the drag near 4 radii (Schwabe 1935, in both of these, from
    memory), near 1 to 2 at Reynolds numbers of some 1000 (Koumoutsakos and Leonard 1995, J. Fluid
    Mech. 296:1–38, from memory). This form, and σ₀ (see packing), are our choice between them. What
    it drags before that, by its friction, is the part of the friction along the flow that points
    across. The crossflow that a slice met earlier is taken as the present one: the arrow runs
    through it in 9 ms, a twentieth of a swing. Effect on bare minus fletched for 1/16 in of rest
    up at 20, 40, 60 yd: 0.75, 3.8, 6.5 in with it, 0.97, 6.1, 12.0 without: drag that begins behind
    the nose turns the nose back. Whether a shaft that swings and vibrates has it at all is not
    measured, so the band reaches down to next to none.

    Sixteen Gauss–Legendre stations: eight would do, but the compiler unrolls eight and only
    vectorizes sixteen (51 against 23 ns).
    """
    length = p.front - p.rear
    lead = p.front if axial.real >= 0.0 else p.rear
    back = -length if axial.real >= 0.0 else length
    per_speed = p.diameter / p.kinematic_viscosity
    grown = p.crossflow_growth / length * axial * per_speed
    grown *= grown
    per_speed *= per_speed
    zeroth = 0.0 * axial
    first = zeroth
    second = zeroth
    for i in range(16):
        x = lead + back * _NODES[i]
        w_squared = across_squared + x * (2.0 * across_dot_rate + x * rate_squared)
        if w_squared.real < 0.0:
            w_squared = 0.0 * w_squared
        reynolds_squared = w_squared * per_speed + _SMOOTHING * _SMOOTHING
        reynolds = square_root(reynolds_squared)
        above, below = _drag_ratio(reynolds)
        crossed = _NODES_SQUARED[i] * reynolds_squared
        term = _WEIGHTS[i] * reynolds * quotient(crossed * above, (crossed + grown) * below)
        zeroth += term
        first += term * x
        second += term * x * x
    unit = 0.5 * p.density * p.kinematic_viscosity * length * p.crossflow_factor
    return unit * zeroth, unit * first, unit * second
