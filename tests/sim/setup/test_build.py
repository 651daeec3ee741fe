"""From checked tables to the library's own dataclasses."""

import tomllib
from functools import reduce
from typing import Any

import pytest

from demo import MILL
from vireton.bow.bow import DrawCurve
from vireton.bow.parts import Blades, Wrap
from vireton.flight.air import from_measured, standard
from vireton.setup.build import build_air
from vireton.setup.errors import SetupError
from vireton.setup.load import Setup, parse_setup
from vireton.setup.models_around import AirTable, SetupFile
from vireton.setup.template import template_text
from vireton.uncertain.experience import Experience
from vireton.uncertain.inputs import INPUTS
from vireton.units.text import parse

HEAD, MARK, BODY = template_text().partition("schema = 1")
FPS = 0.3048


def setup(*pairs: tuple[str, str]) -> Setup:
    body = MARK + BODY
    for old, new in pairs:
        assert old in body, old
        body = body.replace(old, new, 1)
    return parse_setup(HEAD + body)


def without_uncertainty(*pairs: tuple[str, str]) -> Setup:
    body = MARK + BODY[: BODY.index("\n[uncertainty]")]
    for old, new in pairs:
        assert old in body, old
        body = body.replace(old, new, 1)
    return parse_setup(body)


def test_every_part_arrives_where_it_belongs() -> None:
    parts = setup(
        ("# [arrow.wrap]\n# mass", "[arrow.wrap]\nmass"),
        ('# length = "4 in"', 'length = "4 in"'),
        ('# mass = "415 gr"', 'mass = "416 gr"'),
        ('# balance = "17.5 in"', 'balance = "17.6 in"'),
        ("# drag_coefficient = 2.0", "drag_coefficient = 2.1"),
    )
    grain = 6.479891e-5
    arrow = parts.parts
    assert arrow.name == "Maple 340"
    assert arrow.nock.mass == pytest.approx(9.0 * grain, rel=1e-14)
    assert arrow.shaft.spine_deflection == pytest.approx(0.34 * 0.0254, rel=1e-14)
    assert arrow.shaft.mass_per_length == pytest.approx(9.6 * grain / 0.0254, rel=1e-14)
    assert arrow.insert is not None
    assert arrow.insert.length == pytest.approx(0.9 * 0.0254, rel=1e-14)
    assert arrow.point.shape == "field"
    assert arrow.point.mass == pytest.approx(100.0 * grain, rel=1e-14)
    vanes = arrow.vanes
    assert vanes is not None
    assert (vanes.count, vanes.turn, vanes.outline) == (3, "right", "parabola")
    assert vanes.thickness == pytest.approx(0.0008, rel=1e-14)
    assert vanes.height == pytest.approx(0.0127, rel=1e-14)
    assert vanes.rear_from_throat == pytest.approx(1.1 * 0.0254, rel=1e-14)
    assert vanes.offset == pytest.approx(0.02617993878, rel=1e-9)
    assert arrow.wrap == Wrap(parse("6 gr", "mass"), parse("4 in", "length"))
    assert arrow.measured_mass == pytest.approx(416.0 * grain, rel=1e-14)
    assert arrow.measured_balance == pytest.approx(17.6 * 0.0254, rel=1e-14)
    assert parts.drag_coefficient == 2.1


def test_the_bow() -> None:
    bow = setup(
        ('# nock_travel_up = ["0 in", "1/32 in", "0 in"]', 'nock_travel_up = ["0 in", "1/32 in"]'),
        ('offset_right = "0 in"', 'offset_right = "-1/16 in"'),
    ).bow
    assert bow.nock_travel_right == ()
    assert bow.nock_travel_up == pytest.approx((0.0, 0.0254 / 32.0))
    assert bow.rest.offset_right == pytest.approx(-0.0254 / 16.0, rel=1e-15)
    assert bow.rest.offset_up == 0.0
    assert bow.let_off == 0.8
    assert bow.string_mass == pytest.approx(0.010)
    # 29 in AMO less 1.75 in less 6.5 in of brace height
    assert bow.power_stroke == pytest.approx(20.75 * 0.0254, rel=1e-14)
    assert bow.minimum_mass_per_draw_weight == pytest.approx(7.28368723555663e-05, rel=1e-12)


def test_a_string_table_may_be_left_out() -> None:
    start, _, rest = BODY.partition("[bow.string]")
    text = MARK + start + rest[rest.index("[bow.rest]") :]
    bow = parse_setup(text).bow
    assert (bow.string_mass, bow.cam_mass, bow.brace_tension) == (0.010, 0.2, 1.5)


def test_a_bare_shaft_has_no_vanes() -> None:
    start, _, rest = BODY.partition("[arrow.vanes]")
    text = MARK + start + rest[rest.index("[air]") :]
    assert parse_setup(text).parts.vanes is None


def test_wind_and_sight() -> None:
    blown = setup(
        ("# [wind]", "[wind]"),
        ('# speed = "10 mph"', 'speed = "10 mph"'),
        ("# from_clock = 3", "from_clock = 3"),
        ('sight_in = "20 yd"', ""),
    )
    assert blown.wind == pytest.approx((4.4704, 3.0))
    assert blown.wind_profile == (0.0, 2.0)
    assert blown.sight.sight_in is None
    assert blown.sight.height_above_arrow == pytest.approx(0.0889)


def test_a_wind_that_grows_with_height() -> None:
    blown = setup(
        ("# [wind]", "[wind]"),
        ('# speed = "10 mph"', 'speed = "10 mph"'),
        ("# from_clock = 3", "from_clock = 3"),
        ("# profile_exponent = 0.14", "profile_exponent = 0.14"),
        ('# reference_height = "2 m"', 'reference_height = "10 m"'),
    )
    assert blown.wind_profile == (0.14, 10.0)
    assert setup().wind_profile == (0.0, 2.0)


def test_air_by_altitude_by_measurement_or_at_sea_level() -> None:
    assert build_air(AirTable()) == standard(0.0)
    assert build_air(AirTable.model_validate({"altitude": "1000 m"})) == standard(1000.0)
    measured = {"temperature": "20 degC", "pressure": "1000 hPa", "humidity": "50 %"}
    assert build_air(AirTable.model_validate(measured)) == from_measured(293.15, 1e5, 0.5)


@pytest.mark.parametrize(
    "measured",
    [
        {"altitude": "-1500 ft"},
        {"altitude": "30000 ft"},
        {"temperature": "-40 degF", "pressure": "9 inHg", "humidity": "0 %"},
        {"temperature": "130 degF", "pressure": "35 inHg", "humidity": "100 %"},
    ],
)
def test_air_takes_the_ends_of_the_ranges(measured: dict[str, str]) -> None:
    assert build_air(AirTable.model_validate(measured)).density > 0.3


def test_bands_that_are_given() -> None:
    ranges = setup(
        ('# rest_lets_go = ["30 %", "60 %"]', 'rest_lets_go = ["40 %", "55 %"]'),
        ('# string_mass = ["6 g", "16 g"]', 'string_mass = ["9 g", "11 g"]'),
        ('# cam_stiffness = ["1 N/mm", "100 N/mm"]', 'cam_stiffness = ["5 N/mm", "20 N/mm"]'),
        ('# arrow_speed = ["278 fps", "282 fps"]', 'arrow_speed = ["279 fps", "284 fps"]'),
        ('# rest_stiffness = ["2 N/mm", "12 N/mm"]', 'rest_stiffness = ["4 N/mm", "6 N/mm"]'),
    ).uncertainty
    assert ranges["rest_lets_go"] == pytest.approx((0.4, 0.55))
    assert ranges["string_mass"] == pytest.approx((0.009, 0.011))
    assert ranges["cam_stiffness"] == pytest.approx((5000.0, 20_000.0))
    assert ranges["arrow_speed"] == pytest.approx((279.0 * FPS, 284.0 * FPS))
    assert ranges["rest_stiffness"] == pytest.approx((4000.0, 6000.0))
    assert ranges["point_lift"] == (0.7, 1.3)
    assert ranges["transition"] == (0.6, 1.6)


def test_bands_that_follow_from_the_values() -> None:
    ranges = without_uncertainty(
        ('cam_stiffness = "10 N/mm"', 'cam_stiffness = "20 N/mm"')
    ).uncertainty
    assert ranges["rest_lets_go"] == pytest.approx((0.30, 0.60))
    assert ranges["string_mass"] == pytest.approx((0.006, 0.016))
    assert ranges["cam_stiffness"] == pytest.approx((2e3, 2e5))
    assert ranges["rest_stiffness"] == pytest.approx((2000.0, 12_500.0))
    assert ranges["shaft_damping"] == pytest.approx((0.005, 0.03))
    assert ranges["shaft_stiffness"] == (0.93, 1.07)
    assert ranges["arrow_speed"] == pytest.approx((278.0 * FPS, 282.0 * FPS))
    assert ranges["crossflow_drag"] == (0.75, 1.25)


@pytest.mark.parametrize(
    ("lets_go", "low", "high"), [("95 %", 0.80, 1.0), ("100 %", 0.85, 1.0), ("10 %", 0.05, 0.25)]
)
def test_the_band_of_the_let_go_stays_within_the_stroke(
    lets_go: str, low: float, high: float
) -> None:
    ranges = without_uncertainty(('lets_go = "45 %"', f'lets_go = "{lets_go}"')).uncertainty
    assert ranges["rest_lets_go"] == pytest.approx((low, high))


def test_every_band_holds_its_own_value() -> None:
    bands = without_uncertainty().uncertainty
    file = SetupFile.model_validate(tomllib.loads(template_text()))
    for key, own in [(one.key, one.own) for one in INPUTS if one.own and one.key in bands]:
        value: Any = reduce(getattr, own.split("."), file)
        assert bands[key][0] <= value <= bands[key][1]
    for one in INPUTS:
        if one.is_factor and one.key in bands:
            assert bands[one.key][0] <= 1.0 <= bands[one.key][1]
    assert bands["shaft_damping"][0] <= MILL.shaft_damping <= bands["shaft_damping"][1]


@pytest.mark.parametrize(
    ("kind", "stiffness"), [("drop-away", 5000.0), ("launcher", 2000.0), ("containment", 2500.0)]
)
def test_without_a_stiffness_the_rest_has_that_of_its_kind(kind: str, stiffness: float) -> None:
    bow = without_uncertainty(
        ('type = "drop-away"', f'type = "{kind}"'), ('stiffness = "5 N/mm"', "")
    ).bow
    assert bow.rest.stiffness == stiffness


def test_what_the_bending_launch_needs() -> None:
    bow = setup(
        ('launch = "flexible"', 'launch = "rigid"'),
        ('cams = "tied"', 'cams = "idler"'),
        ('axle_to_axle = "33 in"', 'axle_to_axle = "40 in"'),
        ('# nock_stiffness = "0.1 N·m/rad"', 'nock_stiffness = "0.2 N·m/rad"'),
        ("# [bow.release]", "[bow.release]"),
        ('# kick_right = "0.1 m/s"', 'kick_right = "-0.1 m/s"'),
        ('# kick_up = "0 m/s"', 'kick_up = "0.3 m/s"'),
    ).bow
    assert bow.launch_model == "rigid"
    assert bow.cams == "idler"
    assert bow.axle_to_axle == pytest.approx(40 * 0.0254)
    assert (bow.nock_stiffness, bow.kick_right, bow.kick_up) == (0.2, -0.1, 0.3)


BROADHEAD = """
[arrow.broadhead]
mass = "125 gr"
length = "1.2 in"
blades = 2
cutting_diameter = "1 1/8 in"
blade_length = "1 in"
blade_thickness = "0.8 mm"
ferrule_diameter = "1/4 in"
"""


def with_broadhead(more: str = "") -> Setup:
    return without_uncertainty(("[arrow.vanes]", f"{BROADHEAD}{more}\n[arrow.vanes]"))


def test_a_broadhead() -> None:
    head = with_broadhead('blades_ahead = "0.1 in"\ncut_out = "25 %"\n').parts.broadhead
    assert head is not None
    assert head.mass == pytest.approx(parse("125 gr", "mass"))
    assert head.length == pytest.approx(1.2 * 0.0254)
    triangle = 0.5 * 0.0254 * 0.5 * (1.125 - 0.25) * 0.0254
    blades = head.blades
    assert blades is not None
    assert blades.area == pytest.approx(0.75 * triangle, rel=1e-5)
    expected = Blades(2, 1.125 * 0.0254, 0.0254, 0.8e-3, 0.25 * 0.0254, 0.1 * 0.0254, blades.area)
    assert (blades.count, blades.angle) == (2, 0.0)
    for name in ("cutting_diameter", "length", "thickness", "ferrule_diameter", "rear_from_shaft"):
        assert getattr(blades, name) == pytest.approx(getattr(expected, name), rel=1e-12)


def test_bands_of_a_broadhead_only_where_there_is_one() -> None:
    added = set(with_broadhead().uncertainty) - set(without_uncertainty().uncertainty)
    assert added == {"blade_lift", "blade_wake", "blade_angle"}
    assert with_broadhead().uncertainty["blade_lift"] == pytest.approx((0.7, 1.3))


def test_a_given_blade_angle_is_no_band() -> None:
    given = with_broadhead('blade_angle = "90 deg"\n')
    assert "blade_angle" not in given.uncertainty
    head = given.parts.broadhead
    assert head is not None
    assert head.blades is not None
    assert head.blades.angle == pytest.approx(1.5707963267948966)


def test_draw_force_by_shape_or_by_readings() -> None:
    shaped = setup(
        ("# [bow.draw_curve]", "[bow.draw_curve]"),
        ('# rise = "25 %"', 'rise = "20 %"\nvalley = "5 %"'),
        ('# fall = "28 %"', 'fall = "30 %"'),
    ).bow
    assert shaped.draw_curve == DrawCurve(0.20, 0.30, 0.05)
    read = ", ".join(f'"{min(10 * (i + 1), 60)} lbf"' for i in range(20)) + ', "12 lbf"'
    bow = setup(
        ("# [bow.draw_curve]", "[bow.draw_curve]"),
        ('# readings = ["12 lbf", "23 lbf", "33 lbf"]', f"readings = [{read}]"),
    ).bow
    draw, force = zip(*bow.draw_curve.points, strict=True)
    assert draw[:2] == pytest.approx((0.0254, 0.0508))
    assert draw[-1] == pytest.approx(bow.power_stroke)
    assert force[-1] == pytest.approx(12 * 4.4482216152605)


def test_experience_is_three_in_four_unless_the_file_says_otherwise() -> None:
    assert setup().experience == Experience(0.75, 0.98)
    own = setup(
        ("# [experience]", "[experience]"),
        ('# sideways_rule = "75 %"', 'sideways_rule = "60 %"'),
        ('# up_rule = "98 %"', 'up_rule = "none"'),
    )
    assert own.experience == Experience(0.60, None)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("[bow.rest]", "sideways_softness = 0.4\n[bow.rest]", "under [bow.string], cam_mass"),
        (
            "\n[uncertainty]\n",
            "\n[uncertainty]\nsideways_softness = [0.0, 1.5]\n",
            "cam_stiffness = [",
        ),
    ],
)
def test_a_softness_of_earlier_versions_is_told_what_took_its_place(old, new, said) -> None:
    with pytest.raises(SetupError) as refused:
        setup((old, new))
    text = str(refused.value)
    assert "sideways_softness" in text
    assert ("0.4" if "0.4" in new else "[0, 1.5]") in text
    assert said in text
    assert "Delete the line" in " ".join(text.split())
