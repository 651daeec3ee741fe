"""A broadhead's numbers for the kernel, against hand sums."""

import math
from dataclasses import replace

import numpy as np
import pytest

from demo import AIR, GRAIN, INCH, MAPLE
from vireton.bow.arrow import assemble, with_broadhead
from vireton.bow.parts import Blades, Point, Vanes
from vireton.flight.coefficients import Coefficients
from vireton.flight.packing import pack
from vireton.flight.packing_blades import BLADE_EDGE_DRAG, wake_at_vanes

SPEED = 85.0
BLADES = Blades(3, 1.0625 * INCH, 0.9 * INCH, 0.7e-3, 0.25 * INCH, 0.1 * INCH)
HEAD = Point(100 * GRAIN, 1.2 * INCH, blades=BLADES)


def packed(blades=BLADES, coefficients=None, **changes):
    arrow = with_broadhead(assemble(replace(MAPLE, broadhead=replace(HEAD, blades=blades))))
    return arrow, pack(arrow, AIR, SPEED, coefficients, **changes)


def test_lift_and_its_place_are_barrowmans():
    """Triangle: area c·s/2, mid-chord sweep tan Γ = c/2s, center at half the root chord (1967)."""
    arrow, body = packed()
    height, chord = 0.5 * (1.0625 - 0.25) * INCH, 0.9 * INCH
    area = 0.5 * chord * height
    aspect = height**2 / area
    cosine = height / math.hypot(height, 0.5 * chord)
    beta = math.sqrt(1.0 - (SPEED / AIR.speed_of_sound) ** 2)
    slope = 2 * math.pi * aspect / (1 + math.sqrt(1 + (beta * aspect / cosine) ** 2))
    assert body.blade_area == pytest.approx(area, rel=1e-5)
    assert body.blade_slope == pytest.approx(slope, rel=1e-5)
    assert body.blade_upwash == pytest.approx(1 + 0.25 / 1.0625, rel=1e-12)
    front = MAPLE.length + (0.1 + 0.9) * INCH - arrow.balance
    # x_cp = m(c_r + 2c_t)/3(c_r + c_t) + (c_r + c_t − c_r c_t/(c_r + c_t))/6 = c/3 + c/6
    assert body.blade_position == pytest.approx(front - 0.5 * chord, rel=1e-5)
    assert body.blade_count == 3.0
    assert body.blade_carry == body.blade_upwash
    # a front swept by 66° keeps most of its vortex
    assert body.blade_vortex == pytest.approx(2.8, abs=0.01)


def test_cut_outs_lessen_the_lift_but_less_than_the_area():
    _, whole = packed()
    area = whole.blade_area
    _, open_ = packed(replace(BLADES, area=0.6 * area))
    lift = (open_.blade_area * open_.blade_slope) / (area * whole.blade_slope)
    assert 0.6 < lift < 0.95
    assert open_.blade_position == pytest.approx(whole.blade_position, abs=1e-4)
    assert open_.blade_spin_radius == pytest.approx(whole.blade_spin_radius, rel=1e-9)


def test_drag_by_hand():
    """Two faces of laminar plates of the mean chord, and the edges, on top of the point's own."""
    _, body = packed()
    height, mean_chord = 0.5 * (1.0625 - 0.25) * INCH, 0.45 * INCH
    friction = 1.328 / math.sqrt(SPEED * mean_chord / AIR.kinematic_viscosity)
    area = 3 * 2 * body.blade_area * friction + BLADE_EDGE_DRAG * 3 * 0.7e-3 * height
    assert body.point_drag == pytest.approx(0.10 + area / body.cross_section, rel=1e-4)


def test_a_measured_drag_is_of_the_arrow_with_its_point():
    _, body = packed(drag_coefficient=2.0)
    _, modeled = packed()
    assert body.point_drag == pytest.approx(2.0 + modeled.point_drag - 0.10, rel=1e-9)
    assert body.blade_slope == modeled.blade_slope


def test_factors():
    _, plain = packed()
    _, lifted = packed(coefficients=Coefficients(blade_lift=1.2))
    assert lifted.blade_slope == pytest.approx(1.2 * plain.blade_slope)
    assert lifted.blade_wake == pytest.approx(1.2 * plain.blade_wake)  # less lift, less wake
    _, waked = packed(coefficients=Coefficients(blade_wake=0.5))
    assert waked == plain._replace(blade_wake=0.5 * plain.blade_wake)


def test_a_field_point_has_no_blades():
    body = pack(assemble(MAPLE), AIR, SPEED)
    assert (body.blade_count, body.blade_area, body.blade_wake) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize("degrees", [0.0, 90.0, -30.0])
def test_the_blade_angle_is_from_upright_clockwise(degrees):
    """With the reference vector to the right, as at launch: the blade as (up, right)."""
    _, body = packed(replace(BLADES, count=2, angle=math.radians(degrees)))
    reference, partner = np.array([0.0, 1.0]), np.array([-1.0, 0.0])  # axis × right is down
    blade = body.blade_cosine * reference + body.blade_sine * partner
    expected = [math.cos(math.radians(degrees)), math.sin(math.radians(degrees))]
    np.testing.assert_allclose(blade, expected, atol=1e-15)


def _vortex_pair(spacing, places):
    """Velocity of two line vortices at ±spacing, strength 2π and −2π, at (n, 2) places."""
    total = np.zeros_like(places)
    for at, strength in ((spacing, 1.0), (-spacing, -1.0)):
        x, y = places[:, 0] - at, places[:, 1]
        total += strength * np.column_stack([-y, x]) / (x * x + y * y)[:, None]
    return total


@pytest.mark.parametrize(("radius", "share"), [(0.3, 1.0), (0.9, 1.0), (1.5, -1 / 1.5**2)])
def test_what_a_ring_feels_of_two_vortices(radius, share):
    """The mean over places of the push along a vane's way, times that way, doubled.

    In units of the velocity half way between the two; a uniform stream gives itself.
    """
    angle = np.linspace(0.0, 2 * np.pi, 720, endpoint=False)
    radial = np.column_stack([np.cos(angle), np.sin(angle)])
    onward = np.column_stack([-np.sin(angle), np.cos(angle)])
    flow = _vortex_pair(1.0, radius * radial)
    felt = 2.0 * np.mean(np.sum(flow * onward, axis=1)[:, None] * onward, axis=0)
    middle = _vortex_pair(1.0, np.zeros((1, 2)))[0]
    assert felt[0] == pytest.approx(0.0, abs=1e-12)
    assert felt[1] / middle[1] == pytest.approx(share, rel=1e-9)


def test_the_wake_by_hand():
    """Low vanes well inside the pair: lift_area/(4π a²), a = π/8 of the span."""
    low = Vanes(3, 0.05, 1e-3, 1e-3, 0.0, 0.03)
    span = 0.05
    expected = 4e-4 / (4 * math.pi * (math.pi / 8 * span) ** 2)
    assert wake_at_vanes(4e-4, span, low, 3e-3) == pytest.approx(expected, rel=1e-12)
    high = replace(low, height=0.04)
    assert wake_at_vanes(4e-4, span, high, 3e-3) < 0.6 * expected
