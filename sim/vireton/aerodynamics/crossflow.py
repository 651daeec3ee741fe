"""The shaft in crossflow: drag of a circular cylinder, station by station."""

import numpy as np

from vireton.kernel.compiled import inlined_sums
from vireton.kernel.derivable import quotient, square_root
from vireton.kernel.parameters import Parameters

#: Below this Reynolds number the drag is made smooth through zero (a crossflow of ~3 mm/s).
_SMOOTHING = 1.0

_NODES, _WEIGHTS = (tuple(float(v) for v in a) for a in np.polynomial.legendre.leggauss(16))


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
    root = square_root(reynolds)
    rise = 5.30824702 + root * (6.62657606 + root * 0.89507309)
    rise_below = root * (0.04275356 + root * (1.0 + root * 0.42317631))
    dip = 4e-4 * reynolds
    dip_below = 1.0 + 3.64e-7 * reynolds * reynolds
    return 1.18 + quotient(rise * dip_below - dip * rise_below, rise_below * dip_below)


@inlined_sums
def crossflow_integrals(
    p: Parameters, across_squared: float, across_dot_rate: float, rate_squared: float
) -> tuple[float, float, float]:
    """Integrals ∫ ½ρ d CD |w| xᵏ dx along the shaft, k = 0, 1, 2 (kg/s, kg·m/s, kg·m²/s).

    The crossflow at station x is w = W + x·Ω, with W the cross-velocity at the center of gravity
    and Ω the rate at which the axis turns; only W², W·Ω and Ω² are needed. The force across is
    then −(I₀W + I₁Ω) and its moment −n × (I₁W + I₂Ω). Sixteen Gauss–Legendre stations: eight
    would do, but the compiler unrolls eight and only vectorizes sixteen (51 against 23 ns).
    """
    middle = 0.5 * (p.front + p.rear)
    half = 0.5 * (p.front - p.rear)
    per_speed = p.diameter / p.kinematic_viscosity
    zeroth = 0.0 * middle
    first = zeroth
    second = zeroth
    for i in range(16):
        x = middle + half * _NODES[i]
        w_squared = across_squared + x * (2.0 * across_dot_rate + x * rate_squared)
        if w_squared.real < 0.0:
            w_squared = 0.0 * w_squared
        reynolds = square_root(w_squared * per_speed * per_speed + _SMOOTHING * _SMOOTHING)
        term = _WEIGHTS[i] * reynolds * cylinder_drag_coefficient(reynolds)
        zeroth += term
        first += term * x
        second += term * x * x
    unit = 0.5 * p.density * p.kinematic_viscosity * half * p.crossflow_factor
    return unit * zeroth, unit * first, unit * second
