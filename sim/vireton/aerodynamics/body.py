"""Drag along the shaft, and the lift of its point."""

from vireton.kernel.compiled import inlined
from vireton.kernel.derivable import quotient, square_root
from vireton.kernel.parameters import Parameters
from vireton.kernel.vectors import Vector

#: Below this the friction formulas mean nothing; no arrow in flight comes near it.
_LOWEST_REYNOLDS = 100.0


@inlined
def laminar_friction(reynolds: float) -> float:
    """Mean laminar friction coefficient of a flat plate, one side: 1.328/√Re (Blasius)."""
    return 1.328 / square_root(reynolds)


@inlined
def turbulent_friction(reynolds: float) -> float:
    """Mean turbulent friction coefficient of a flat plate: 0.455/(log₁₀ Re)^2.58.

    Prandtl and Schlichting; Schlichting, *Boundary-Layer Theory*, flat plate at zero incidence
    (from memory; table derived from it in the tests). Valid for 1e5 < Re < 1e9. Written as a ratio
    of polynomials in 10·Re^-1/4, because two logarithms and an exponential were a tenth of the
    right-hand side: within 4e-8 of the formula for 1e5 < Re < 5e7, which no arrow leaves.
    """
    r = 10.0 / square_root(square_root(reynolds))
    above = 0.385074135181 + r * (0.595008348627 + r * 0.0524365203106)
    above = 0.000544681083613 + r * (0.0423023118407 + r * above)
    below = 1.0 + r * (26.2832591925 + r * (72.1411190222 - r * 14.9426182261))
    return quotient(above, below)


@inlined
def turbulent_share(p: Parameters, reynolds: float, sine_squared: float) -> float:
    """Share of the friction that is turbulent, 0 to 1.

    Args:
        p: the body; its ``transition_reynolds`` depends on the point's shape.
        reynolds: on the wetted length.
        sine_squared: of the angle between the shaft and the air.

    A smooth switch in r = Re/Re_transition on the length: r⁶/(1 + r⁶), its power chosen so that a
    streamlined point is laminar at 1.65e6 and transitional near 2.3e6. What is known: a streamlined
    point keeps the layer laminar for 0.78e6 < Re < 1.65e6 where bullet and bluff points are
    turbulent (Mukaiyama, Suzuki, Miyazaki, Sawada 2011, Procedia Engineering 13:265–270, abstract);
    in flight the change comes near Re 1.8e4 on the diameter (Ortiz et al. 2020, Proceedings 49:56);
    an angle of attack brings it earlier (threshold of 0.75°, Miyazaki et al. 2013, Sports
    Engineering 16:43–54, from memory).
    """
    ratio = reynolds / p.transition_reynolds * (1.0 + sine_squared / p.transition_sine_squared)
    if ratio.real > 100.0:
        ratio = 100.0 + 0.0 * ratio
    cubed = ratio * ratio * ratio
    return quotient(cubed * cubed, 1.0 + cubed * cubed)


@inlined
def axial_drag_areas(
    p: Parameters, speed: float, sine_squared: float
) -> tuple[float, float, float, float, float, Vector]:
    """Drag areas (m²) at this airspeed: friction, point, base, vanes; the turbulent share; and the
    area (m²) of the friction that also pushes across, with its first and second moments about the
    leading end, per length and per length².

    * Friction: wetted area × plate friction, laminar with the first-order curvature term of a
      thin cylinder, 2 f₁″(0)·ν/(U a) with f₁″(0) = 0.694 (Seban and Bond 1951, J. Aeronaut. Sci.
      18:671–675, as corrected by Kelly 1954; re-derived in the tests), turbulent with the factor
      of :func:`vireton.flight.packing.turbulent_curvature`.
    * Point: pressure drag by shape.
    * Base: 0.029/√CDf on the cross-section (Hoerner, *Fluid-Dynamic Drag*, ch. 3), CDf the
      friction coefficient on the same area. The nock has no term of its own: some 0.06 on the
      cross-section would be a guess, and with it two measured values in turbulent air are missed
      that are met without.
    * Vanes: plate friction on both sides over their own short run, turbulent whatever the shaft's
      layer is, for their square-cut front edges trip it; and these edges themselves; in the slowed
      air of the shaft's layer.
    * Across: friction acts along the flow, not along the axis, so of its force the share w/V points
      across (Taylor 1952, Proc. R. Soc. A 214:158–183, for rough cylinders; Païdoussis 1966, J.
      Fluid Mech. 26:717–736; both from memory). For a thin laminar layer at a small angle it is
      exact: crosswise the layer obeys the same linear equation as along (derived here). The layer's
      growing thickness pushes too, by up to 1.3 times as much in a turbulent one (the slender-body
      force on the growing displaced section, derived here), less in one as thick as the shaft: left
      to the range of the factor. Bare minus fletched for 1/16 in of rest up, 20, 40, 60 yd: 0.78,
      3.9, 6.5 in with it, 0.69, 3.5, 5.9 without. Where it acts follows from the local friction,
      ∝ x^-1/2 in a laminar layer, its curvature's part even, ∝ x^-1/5 in a turbulent one.
    """
    reynolds = speed * p.wetted_length / p.kinematic_viscosity
    if reynolds.real < _LOWEST_REYNOLDS:
        reynolds = _LOWEST_REYNOLDS + 0.0 * reynolds
    share = turbulent_share(p, reynolds, sine_squared)
    plate_laminar = laminar_friction(reynolds)
    plate_turbulent = turbulent_friction(reynolds)
    reynolds_diameter = reynolds * p.diameter / p.wetted_length
    curvature = p.curvature_laminar / reynolds_diameter
    laminar = plate_laminar + curvature
    turbulent = plate_turbulent * p.curvature_turbulent
    friction = p.friction_factor * p.wetted_area * (laminar + share * (turbulent - laminar))
    base = 0.0 * friction
    if p.base_factor.real > 0.0:
        base = p.base_factor * 0.029 * p.cross_section * square_root(p.cross_section / friction)
    slowed = p.vane_pressure_laminar + share * (p.vane_pressure_turbulent - p.vane_pressure_laminar)
    vanes = slowed * (p.friction_factor * plate_turbulent * p.vane_friction_area + p.vane_edge_area)
    # of ∫u^n du to 1 over that without the u: 1/3, 1/5 laminar, 4/9, 2/7 turbulent, 1/2, 1/3 even
    unit = p.friction_across * p.wetted_area
    smooth = 1.0 - share
    rough = share * turbulent
    across = (
        unit * (smooth * laminar + rough),
        unit * (smooth * (plate_laminar / 3.0 + 0.5 * curvature) + rough * (4.0 / 9.0)),
        unit * (smooth * (0.2 * plate_laminar + curvature / 3.0) + rough * (2.0 / 7.0)),
    )
    return friction, p.point_drag * p.cross_section, base, vanes, share, across
