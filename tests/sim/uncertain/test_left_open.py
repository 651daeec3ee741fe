"""What a setup file may leave open: every row does something, and nothing that cannot be."""

from dataclasses import replace

import pytest

from demo import AIR, CONDITIONS, INCH, MAPLE, MILL, SIGHT
from vireton.flight.packing import pack
from vireton.rig import assemble_rig, vary
from vireton.uncertain import latin_hypercube
from vireton.uncertain.inputs import INPUTS, changed, plausible_ranges, words_of
from vireton.uncertain.left_open import LEFT_OPEN
from vireton.uncertain.row import Pieces

BOW = replace(MILL, rest=replace(MILL.rest, offset_up=1e-3))
PIECES = Pieces(BOW, MAPLE)
OPEN = [one.own for one in LEFT_OPEN]


def shot(values):
    """How the arrow leaves the string, what it flies by, and where the sight sits."""
    rig = vary(assemble_rig(BOW, MAPLE, CONDITIONS, SIGHT), values)
    leaves = rig.launch(rig.fletched)
    air = rig.conditions.air
    return leaves, pack(rig.fletched, air, leaves.speed, rig.conditions.coefficients), rig.aim


@pytest.mark.parametrize("key", [one.key for one in LEFT_OPEN])
def test_every_row_is_felt_by_a_shot(key):
    low, high = plausible_ranges(PIECES, left_open=OPEN)[key]
    assert low < high
    assert shot({key: low}) != shot({key: high})


def test_every_row_is_whole():
    keys = [one.key for one in (*INPUTS, *LEFT_OPEN)]
    assert len(set(keys)) == len(keys)
    for one in LEFT_OPEN:
        assert one.kind is None
        assert one.own
        assert words_of(one.key) == one.words
        assert one.words.startswith(("the ", "how ", "where "))


def test_only_what_is_open_is_drawn():
    assert [one for one in plausible_ranges(PIECES) if one not in {row.key for row in INPUTS}] == []
    ranges = plausible_ranges(PIECES, left_open=["bow.let_off"])
    assert set(ranges) - set(plausible_ranges(PIECES)) == {"let_off"}


def test_ranges_hold_the_usual_value():
    ranges = plausible_ranges(PIECES, left_open=OPEN)
    nominal = {
        "let_off": MILL.let_off,
        "brace_height": MILL.brace_height,
        "rest_ahead": MILL.rest.ahead_of_string - MILL.brace_height,
        "nock_mass": MAPLE.nock.mass,
        "nock_length": MAPLE.nock.throat_to_shaft,
        "shaft_diameter": MAPLE.shaft.outside_diameter,
        "point_mass": MAPLE.point.mass,
        "insert_mass": MAPLE.insert.mass,
        "vanes_mass": MAPLE.vanes.mass,
        "vanes_rear_from_throat": MAPLE.vanes.rear_from_throat,
        "vanes_offset": MAPLE.vanes.offset,
        "air_density": 1.0,
        "sight_height": 0.0,
    }
    for key, value in nominal.items():
        low, high = ranges[key]
        assert low < value < high, key


def test_an_open_rest_may_let_go_late():
    own = "bow.rest.lets_go"
    assert plausible_ranges(PIECES, left_open=[own])["rest_lets_go"] == (0.2, 0.9)
    launcher = replace(BOW, rest=replace(BOW.rest, type="launcher", lets_go=0.95))
    ranges = plausible_ranges(Pieces(launcher, MAPLE), left_open=[own])
    assert ranges["rest_lets_go"] == (0.8, 1.0)
    given = {"rest_lets_go": (0.4, 0.5)}
    assert plausible_ranges(PIECES, given, left_open=[own])["rest_lets_go"] == (0.4, 0.5)


def test_the_shaft_never_falls_off_the_rest():
    # 27.6 in: at full draw 27.25 in to the rest over the grip
    short = Pieces(BOW, replace(MAPLE, length=27.6 * INCH))
    for values in latin_hypercube(plausible_ranges(short, left_open=OPEN), 64, 1):
        bow = changed(short, values).bow
        assert bow.power_stroke + bow.rest.ahead_of_string < 27.6 * INCH


def test_a_rest_whose_place_is_told_keeps_it():
    values = {"brace_height": 6.0 * INCH}
    bow = changed(PIECES, values).bow
    assert bow.rest.ahead_of_string == MILL.rest.ahead_of_string
    both = changed(PIECES, values | {"rest_ahead": 0.5 * INCH}).bow
    assert both.rest.ahead_of_string == pytest.approx(6.5 * INCH)


def test_a_longer_nock_is_a_shorter_shaft():
    parts = changed(PIECES, {"nock_length": 0.5 * INCH}).parts
    assert parts.shaft.length + parts.nock.throat_to_shaft == pytest.approx(MAPLE.length)


def test_what_an_arrow_has_not_cannot_change():
    plain = Pieces(BOW, replace(MAPLE, vanes=None, insert=None))
    keys = [one.key for one in LEFT_OPEN if one.key.startswith(("vane", "insert"))]
    assert changed(plain, dict.fromkeys(keys, 0.3)) == plain
    assert not set(keys) & set(plausible_ranges(plain, left_open=OPEN))


def test_air_and_sight_follow():
    rig = assemble_rig(BOW, MAPLE, CONDITIONS, SIGHT)
    thin = vary(rig, {"air_density": 0.9, "sight_height": 0.01})
    assert thin.conditions.air.density == pytest.approx(0.9 * AIR.density)
    assert thin.conditions.air.viscosity == AIR.viscosity
    assert thin.sight.height_above_arrow == pytest.approx(SIGHT.height_above_arrow + 0.01)
    assert vary(rig, {}).conditions == rig.conditions


def test_a_shorter_arrow_stays_on_the_rest_too():
    # ranges of one arrow, put into another: a study of shafts does so
    ranges = plausible_ranges(PIECES, left_open=OPEN)
    shorter = Pieces(BOW, replace(MAPLE, length=27.6 * INCH))
    for values in latin_hypercube(ranges, 64, 1):
        bow = changed(shorter, values).bow
        assert bow.power_stroke + bow.rest.ahead_of_string < 27.6 * INCH
        told = {key: value for key, value in values.items() if key != "rest_ahead"}
        bow = changed(shorter, told).bow
        assert bow.power_stroke + bow.rest.ahead_of_string < 27.6 * INCH
