"""The table of uncertain inputs: every row is whole, and every row does something."""

import math
import tomllib
from dataclasses import asdict, fields, replace

import pytest

from demo import AIR, CONDITIONS, FPS, INCH, MAPLE, MILL, SIGHT
from vireton.bow.bow import DrawCurve
from vireton.bow.parts import Blades, Point
from vireton.flight.coefficients import Coefficients
from vireton.flight.packing import pack
from vireton.rig import assemble_rig, vary
from vireton.uncertain.inputs import INPUTS, changed, plausible_ranges, words_of
from vireton.uncertain.row import Pieces

HEAD = Point(0.008, 1.2 * INCH, blades=Blades(2, 1.125 * INCH, INCH, 0.8e-3, 0.25 * INCH))
#: A rest off its line, two vanes and two blades: nothing that is uncertain goes unfelt.
BOW = replace(MILL, rest=replace(MILL.rest, offset_right=1e-3, offset_up=1e-3))
PARTS = replace(MAPLE, broadhead=HEAD, vanes=replace(MAPLE.vanes, count=2))
PIECES = Pieces(BOW, PARTS)
KEYS = [one.key for one in INPUTS]


def shots(values):
    """How each arrow leaves the string, and the record that it flies by."""
    rig = vary(assemble_rig(BOW, PARTS, CONDITIONS, SIGHT), values)
    leaves = [rig.launch(one) for one in rig.arrows]
    factors = rig.conditions.coefficients
    return leaves, [
        pack(one, AIR, leave.speed, factors) for one, leave in zip(rig.arrows, leaves, strict=True)
    ]


@pytest.mark.parametrize("key", KEYS)
def test_every_row_is_felt_by_a_shot(key):
    low, high = plausible_ranges(PIECES)[key]
    assert low < high
    assert shots({key: low}) != shots({key: high})


def test_every_row_is_whole():
    assert len(set(KEYS)) == len(KEYS)
    assert list(plausible_ranges(PIECES)) == KEYS
    for one in INPUTS:
        assert one.words
        assert one.words != one.key
        if one.kind is None:  # drawn only: so long as the file does not give it
            assert one.own
            assert one.usual is not None
        else:
            assert one.says
            example = tomllib.loads(f"band = {one.kind.example}")["band"]
            assert one.written in (None, example)
            low, high = one.kind.read(example)
            assert low < high


def test_rows_and_coefficients_name_the_same_factors():
    by_rows = {one.key for one in INPUTS if one.change(PIECES, 1.5).factors != PIECES.factors}
    assert by_rows == {one.name for one in fields(Coefficients)}
    for key in by_rows:
        assert asdict(changed(PIECES, {key: 1.5}).factors) == asdict(Coefficients()) | {key: 1.5}


def test_a_factor_is_around_the_best_estimate():
    for one in INPUTS:
        if one.is_factor:
            low, high = one.usual_range(PIECES)
            assert low < 1.0 < high


def test_values_are_put_into_the_pieces_together():
    both = changed(PIECES, {"rest_lets_go": 0.55, "string_mass": 0.012, "vane_angle": 0.2})
    assert both.bow == replace(BOW, rest=replace(BOW.rest, lets_go=0.55), string_mass=0.012)
    assert both.parts == replace(PARTS, vanes=replace(PARTS.vanes, angle=0.2))
    stiff = changed(PIECES, {"shaft_stiffness": 1.07}).parts.shaft.spine_deflection
    assert stiff == pytest.approx(0.34 * INCH / 1.07)
    assert changed(PIECES, {}) == PIECES


def test_what_an_arrow_has_not_cannot_change():
    plain = Pieces(
        MILL, replace(MAPLE, vanes=None, shaft=replace(MAPLE.shaft, spine_deflection=None))
    )
    assert changed(plain, {"vane_angle": 0.2, "blade_angle": 0.2, "shaft_stiffness": 1.1}) == plain


def test_a_key_that_no_row_has_is_an_error():
    with pytest.raises(KeyError, match="string_mas"):
        changed(PIECES, {"string_mas": 0.01})
    with pytest.raises(KeyError, match="string_mas"):
        words_of("string_mas")


def test_usual_ranges_follow_the_bow():
    ranges = plausible_ranges(Pieces(replace(MILL, cam_stiffness=2e4, brace_tension=2.5), MAPLE))
    assert ranges["arrow_speed"] == pytest.approx((278.0 * FPS, 282.0 * FPS))
    assert ranges["cam_stiffness"] == pytest.approx((2e3, 2e5))
    assert ranges["cam_mass"] == pytest.approx((0.1, 0.4))
    assert ranges["draw_force_rise"] == pytest.approx((0.15, 0.40))
    assert ranges["brace_tension"] == (1.0, 2.5)
    assert ranges["rest_stiffness"] == pytest.approx((2000.0, 12_500.0))
    assert ranges["shaft_damping"] == pytest.approx((0.005, 0.03))


def test_a_range_that_is_given_takes_the_place_of_the_usual_one():
    given = {"string_mass": (0.009, 0.011), "friction": (0.9, 1.1)}
    assert plausible_ranges(PIECES, given) == plausible_ranges(PIECES) | given


def test_a_measured_draw_force_has_no_rise_to_draw():
    read = replace(MILL, draw_curve=DrawCurve(points=((0.1, 200.0), (0.5, 60.0))))
    assert "draw_force_rise" not in plausible_ranges(Pieces(read, MAPLE))
    assert changed(PIECES, {"draw_force_rise": 0.2}).bow.draw_curve.rise == 0.2


def test_only_what_the_arrow_has_is_drawn():
    assert set(KEYS) - set(plausible_ranges(Pieces(MILL, MAPLE))) == {
        "vane_angle",
        "blade_lift",
        "blade_wake",
        "blade_angle",
    }


@pytest.mark.parametrize(
    ("known", "key"),
    [("arrow.vanes.angle", "vane_angle"), ("arrow.broadhead.blade_angle", "blade_angle")],
)
def test_an_angle_is_drawn_only_where_nobody_knows_it(known, key):
    half_a_turn = (-0.5 * math.pi, 0.5 * math.pi)
    assert plausible_ranges(PIECES)[key] == half_a_turn
    assert set(KEYS) - set(plausible_ranges(PIECES, None, lambda own: own == known)) == {key}


def test_a_known_number_still_has_its_band():
    assert "string_mass" in plausible_ranges(PIECES, None, lambda own: own == "bow.string.mass")


def test_drawn_angles_have_words_too():
    assert words_of("vane_angle") == "how the two vanes stand"
    assert words_of("rest_lets_go") == "where the rest lets go"
