"""The numbers that the kernel gets, against their formulas."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from demo import AIR, MAPLE
from vireton.bow.arrow import assemble, bare
from vireton.bow.parts import Point
from vireton.bow.plan_form import fin_slope, roll_damping_factor, vortex_lift
from vireton.flight.coefficients import Coefficients
from vireton.flight.packing import (
    POINT_DRAG,
    cylinder_layer,
    edge_drag,
    mean_speed_laminar,
    mean_speed_turbulent,
    mean_square_laminar,
    mean_square_turbulent,
    pack,
    point_drag,
    turbulent_curvature,
)

FLETCHED = assemble(MAPLE)


def test_fin_slope_limits():
    # infinite height at Mach 0: 2π per rad (thin aerofoil); a low one: π/2 of its aspect ratio
    # h²/A doubled by the reflecting shaft (slender wing, π/2 · 2h²/A)
    assert fin_slope(1e-6, 1.0, 1.0, 1.0) == pytest.approx(2 * math.pi, rel=1e-5)
    assert fin_slope(1.0, 1e-3, 1.0, 1.0) == pytest.approx(math.pi * 1e-6, rel=1e-5)


def test_fin_slope_is_barrowmans():
    # Barrowman 1967: 2π(s²/A)/(1 + √(1 + (β s²/(A cos Γ))²)); worked by hand for s² = A, Γ = 60°
    assert fin_slope(1.0, 1.0, 0.5, 1.0) == pytest.approx(2 * math.pi / (1 + math.sqrt(5)))


def test_vortex_lift_limits():
    # a slender vane of any outline: π; a side edge on a straight front falls to half of it at
    # A = 2h²/area = 1; a swept front keeps it
    assert vortex_lift(1.0, 1e-3, 1e3) == pytest.approx(math.pi, rel=1e-5)
    assert vortex_lift(2.0, 1.0, 2.0) == pytest.approx(0.5 * math.pi)
    assert vortex_lift(1.0, 1.0, 2.0) == pytest.approx(math.pi * (4 / 5 + 1 / 5 / 3))  # a triangle


def test_the_edge_suction_of_a_slender_vane_is_pi():
    """πρC² of the flow w·y/√(s² − y²) round the edge, per length, on ½ρV²·s."""
    height, w, density = 0.01, 2.0, 1.2
    near = 1e-9 * height  # from the edge, where the speed is C/√distance
    speed = w * (height - near) / math.sqrt(height**2 - (height - near) ** 2)
    suction = math.pi * density * speed**2 * near
    assert suction / (0.5 * density * w**2 * height) == pytest.approx(math.pi, rel=1e-6)


def test_roll_damping_factor_is_barrowmans():
    # a rectangle: 1 + 2/(τ(τ + 1)); the Basic Finner's τ = 3 (published case); nothing without body
    assert roll_damping_factor(1.0, 1.0, 1.0, 0.5) == pytest.approx(7 / 6)
    assert roll_damping_factor(1.0, 1.0, 1.0, 1e-6) == pytest.approx(1.0, abs=1e-5)
    vanes = MAPLE.vanes
    area = 2 / 3 * vanes.length * vanes.height
    factor = roll_damping_factor(area, vanes.height, vanes.length, 0.123 * 0.0254)
    assert factor == pytest.approx(1.09, abs=0.005)


@pytest.mark.parametrize(("rounded", "drag"), [(0.0, 0.8), (0.05, 0.5), (0.1, 0.2), (0.3, 0.2)])
def test_a_rounded_edge_takes_a_blunt_points_drag_away(rounded, drag):
    wide = 0.010
    point = Point(6e-3, 0.02, "blunt", edge_radius=rounded * wide, head_diameter=wide)
    assert point_drag(point, 0.005) == pytest.approx(4.0 * drag)  # on the shaft's cross-section
    assert point_drag(Point(6e-3, 0.02, "field"), 0.005) == POINT_DRAG["field"]


def test_edge_drag_by_hand():
    # both faces' friction of 0.008 over 40 mm, on an edge of 0.5 mm: 1.28
    assert edge_drag(0.04, 5e-4, 0.008) == pytest.approx(0.6 + 0.135 / 1.28 ** (1 / 3))


def test_vane_friction_is_turbulent_on_its_own_run():
    """0.074/Re^0.2 on the mean chord, both sides of three, whatever the shaft's layer is."""
    body, vanes, speed = pack(FLETCHED, AIR, 85.0), MAPLE.vanes, 85.0
    chord = body.vane_area / vanes.height
    own = 0.074 / (speed * chord / AIR.kinematic_viscosity) ** 0.2
    shaft = 0.455 / math.log10(speed * body.wetted_length / AIR.kinematic_viscosity) ** 2.58
    assert body.vane_friction_area * shaft == pytest.approx(6 * body.vane_area * own, rel=1e-9)


def test_vanes_stand_in_the_layer_that_has_grown_to_their_middle():
    """Blasius' and Prandtl's layers by hand, run from the tip to half way along the vanes."""
    body, vanes, speed = pack(FLETCHED, AIR, 85.0), MAPLE.vanes, 85.0
    run = FLETCHED.total_length - vanes.rear_from_throat - 0.5 * vanes.length
    reynolds = speed * run / AIR.kinematic_viscosity
    laminar, plate = 5.0 * run / reynolds**0.5, 0.37 * run / reynolds**0.2
    radius = 0.5 * MAPLE.shaft.outside_diameter
    turbulent = radius * cylinder_layer(plate / radius)
    for value, mean, layer in (
        (body.vane_speed_laminar, mean_speed_laminar, laminar),
        (body.vane_pressure_laminar, mean_square_laminar, laminar),
        (body.vane_speed_turbulent, mean_speed_turbulent, turbulent),
        (body.vane_pressure_turbulent, mean_square_turbulent, turbulent),
    ):
        assert value == pytest.approx(mean(layer / vanes.height), rel=1e-9)


@pytest.mark.parametrize("ratio", [0.2, 0.7, 1.0, 1.8, 4.0])
def test_mean_speeds_are_the_profiles_means(ratio):
    def mean(profile):
        inside, _ = quad(lambda y: profile(min(y / ratio, 1.0)), 0.0, 1.0, points=[min(ratio, 1.0)])
        return inside

    assert mean_square_laminar(ratio) == pytest.approx(
        mean(lambda e: (2 * e - e * e) ** 2), rel=1e-6
    )
    assert mean_square_turbulent(ratio) == pytest.approx(mean(lambda e: e ** (2 / 7)), rel=1e-4)
    assert mean_speed_laminar(ratio) == pytest.approx(mean(lambda e: 2 * e - e * e), rel=1e-6)
    assert mean_speed_turbulent(ratio) == pytest.approx(mean(lambda e: e ** (1 / 7)), rel=1e-4)


@pytest.mark.parametrize("plate", [0.05, 0.5, 2.0, 8.0])
def test_turbulent_layer_on_a_cylinder_solves_its_momentum_integral(plate):
    layer = brentq(lambda d: d**1.25 * (1 + d / 3) - plate**1.25, 0.0, plate)
    assert cylinder_layer(plate) == pytest.approx(layer, rel=1e-10)
    assert turbulent_curvature(plate) == pytest.approx((layer + 0.3 * layer**2) / plate)


def test_momentum_integral_of_the_cylinder_by_quadrature():
    """Rederive the two constants: profile η^(1/7), θ-area ∫ u(1−u)(1+Dη)dη·D, wall law ~ D^(-1/4).

    The momentum area over the radius is D·(7/72)·(1 + 0.3 D·…): checked numerically. Then
    d(area)/dx ∝ D^(-1/4) integrates to the exponent and the 1/3.
    """

    def area(layer):
        value, _ = quad(lambda e: e ** (1 / 7) * (1 - e ** (1 / 7)) * (1 + layer * e), 0.0, 1.0)
        return layer * value

    flat = area(1e-9) / 1e-9
    assert flat == pytest.approx(7 / 72, rel=1e-6)
    for layer in (0.5, 3.0):
        assert area(layer) / flat == pytest.approx(layer + 0.3 * layer**2, rel=1e-6)
        # x ∝ ∫ D^(1/4) d(D + 0.3 D²) = (4/5) D^(5/4) + 0.6·(4/9) D^(9/4) = 0.8 D^(5/4)(1 + D/3)
        run, _ = quad(lambda d: d**0.25 * (1 + 0.6 * d), 0.0, layer)
        assert run == pytest.approx(0.8 * layer**1.25 * (1 + layer / 3), rel=1e-6)


def test_no_curvature_without_a_layer():
    assert turbulent_curvature(0.0) == 1.0
    assert turbulent_curvature(1e-6) == pytest.approx(1.0, abs=1e-5)


def test_a_bare_shaft_has_no_vane_terms():
    body = pack(bare(FLETCHED), AIR, 85.0)
    assert (body.vane_count, body.vane_area, body.vane_edge_area) == (0.0, 0.0, 0.0)


def test_positions_are_forward_of_the_balance():
    body = pack(FLETCHED, AIR, 85.0)
    assert body.front - body.rear == pytest.approx(FLETCHED.total_length)
    assert body.vane_position < 0.0 < body.point_position < body.front


def test_factors_multiply_their_own_term_only():
    plain = pack(FLETCHED, AIR, 85.0)
    changed = pack(FLETCHED, AIR, 85.0, Coefficients(crossflow_drag=1.2))
    assert changed == plain._replace(crossflow_factor=1.2)
    lifted = pack(FLETCHED, AIR, 85.0, Coefficients(vane_lift=0.8))
    slope, vortex = 0.8 * plain.vane_slope, 0.8 * plain.vane_vortex
    assert lifted == plain._replace(vane_slope=slope, vane_vortex=vortex)
    grown = pack(FLETCHED, AIR, 85.0, Coefficients(crossflow_growth=1.5))
    assert grown == plain._replace(crossflow_growth=1.5 * plain.crossflow_growth)
    rubbed = pack(FLETCHED, AIR, 85.0, Coefficients(friction_across=0.5))
    assert rubbed == plain._replace(friction_across=0.5)
    vortices = pack(FLETCHED, AIR, 85.0, Coefficients(vortex_lift=0.5))
    assert vortices == plain._replace(vane_vortex=0.5 * plain.vane_vortex)
    slowed = pack(FLETCHED, AIR, 85.0, Coefficients(boundary_layer=0.0))
    assert slowed.vane_speed_laminar == slowed.vane_speed_turbulent == 1.0
    assert slowed.vane_pressure_laminar == slowed.vane_pressure_turbulent == 1.0


def test_a_measured_drag_coefficient_leaves_lift_alone():
    body = pack(FLETCHED, AIR, 85.0, drag_coefficient=2.0)
    assert (body.friction_factor, body.base_factor, body.vane_edge_area) == (0.0, 0.0, 0.0)
    assert body.point_drag == 2.0
    assert body.vane_slope == pack(FLETCHED, AIR, 85.0).vane_slope


@pytest.mark.parametrize(("angle", "way"), [(0.0, (0.0, -1.0)), (90.0, (1.0, 0.0))])
def test_two_vanes_stand_where_they_are_nocked(angle, way):
    """From upright, clockwise: at 90° the first one points right, along the reference vector."""
    vanes = replace(MAPLE.vanes, count=2, angle=math.radians(angle))
    body = pack(assemble(replace(MAPLE, vanes=vanes)), AIR, 85.0)
    assert body.vane_count == 2.0
    assert (body.vane_cosine, body.vane_sine) == pytest.approx(way, abs=1e-15)


def test_everything_is_a_finite_float():
    assert all(isinstance(v, float) and np.isfinite(v) for v in pack(FLETCHED, AIR, 85.0))
