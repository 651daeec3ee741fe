"""Bow, arrows, air and sight together."""

import math
from dataclasses import replace

import pytest

from demo import CONDITIONS, FPS, INCH, MAPLE, MILL, SIGHT, YARD, mill_rig
from vireton.bow.bow import Sight
from vireton.bow.parts import Blades, Point
from vireton.flight.coefficients import Coefficients
from vireton.flight.flight import Wind
from vireton.rig import LaunchOverride, assemble_rig, vary


def test_the_fletched_arrow_is_on_the_aim_point_and_the_bare_shaft_is_near():
    rig = mill_rig()
    fletched = rig.shoot(rig.fletched, [20 * YARD])
    bare = rig.shoot(rig.bare, [20 * YARD])
    assert abs(fletched.up[0]) < 1e-6
    assert abs(fletched.right[0]) < 1e-6
    assert 0.0 < bare.up[0] < 2 * INCH  # lighter, so faster, so a little high


def test_a_rest_move_does_not_touch_the_sight():
    rig = mill_rig()
    assert rig.shoot(rig.fletched, [20 * YARD], up=INCH / 32).up[0] > 0.3 * INCH


def test_without_a_sight_in_the_aim_is_along_the_bore_line():
    rig = mill_rig(sight=Sight(None, 0.09))
    assert (rig.aim.elevation, rig.aim.windage, rig.aim.height) == (0.0, 0.0, 0.0)
    assert rig.shoot(rig.fletched, [20 * YARD]).up[0] < -5 * INCH


def test_wind_slope_and_cant_act_after_the_sight_in():
    windy = replace(CONDITIONS, wind=Wind.from_clock(5.0, 3.0), slope=0.3)
    rig = assemble_rig(MILL, MAPLE, windy, SIGHT, cant=math.radians(5.0))
    calm = mill_rig()
    assert rig.aim.elevation == calm.aim.elevation
    assert rig.shoot(rig.fletched, [60 * YARD]).right[0] != pytest.approx(
        calm.shoot(calm.fletched, [60 * YARD]).right[0], abs=1e-3
    )


def test_an_override_replaces_only_what_it_names():
    rig = assemble_rig(MILL, MAPLE, CONDITIONS, SIGHT, override=LaunchOverride(yaw_rate=0.5))
    plain = mill_rig()
    assert rig.launch(rig.bare) == replace(plain.launch(plain.bare), yaw_rate=0.5)


def test_vary_changes_what_it_is_told_and_sights_in_anew():
    rig = mill_rig()
    other = vary(rig, {"rest_lets_go": 0.55, "arrow_speed": 270 * FPS, "vane_lift": 1.2})
    assert other.bow.rest.lets_go == 0.55
    assert other.conditions.coefficients == Coefficients(vane_lift=1.2)
    assert other.aim.elevation > rig.aim.elevation
    assert abs(other.shoot(other.fletched, [20 * YARD]).up[0]) < 1e-6
    assert vary(rig, {}) == rig


def test_an_arrow_without_vanes_is_its_own_bare_shaft():
    rig = assemble_rig(MILL, replace(MAPLE, vanes=None), CONDITIONS, SIGHT)
    assert rig.bare == rig.fletched


def test_notes_of_parts_and_bow_are_collected():
    heavy = replace(MAPLE, measured_mass=0.030)
    rig = assemble_rig(replace(MILL, arrow_speed=300 * FPS), heavy, CONDITIONS, SIGHT)
    assert ["arrow.mass" in note for note in rig.notes] == [True, False]
    assert "what a typical draw-force curve" in rig.notes[1]


def test_a_broadhead_is_another_head_on_the_same_arrow():
    blades = Blades(2, 1.125 * INCH, INCH, 0.8e-3, 0.25 * INCH)
    headed = replace(MAPLE, broadhead=Point(0.008, 1.2 * INCH, blades=blades))
    rig = assemble_rig(MILL, headed, CONDITIONS, SIGHT)
    assert rig.arrows == (rig.fletched, rig.bare, rig.broadhead)
    assert rig.broadhead.mass == pytest.approx(rig.fletched.mass - MAPLE.point.mass + 0.008)
    plain = mill_rig()
    assert rig.aim == plain.aim  # the sight is set with the field point
    assert plain.broadhead is None
    assert plain.arrows == (plain.fletched, plain.bare)
    turned = vary(rig, {"blade_angle": 0.3})
    assert turned.broadhead.parts.point.blades == replace(blades, angle=0.3)
    assert vary(plain, {"blade_angle": 0.3}).fletched == plain.fletched
