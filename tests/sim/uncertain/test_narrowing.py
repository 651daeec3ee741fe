"""What measurements leave of the plausible ranges."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from demo import INCH, MAPLE, MILL, POUND
from vireton.bow.bow import DrawCurve
from vireton.launch.draw_force import brace_stiffness
from vireton.uncertain.inputs import changed, plausible_ranges
from vireton.uncertain.narrowing import narrow
from vireton.uncertain.row import Pieces
from vireton.units.reading import Reading

PIECES = Pieces(MILL, MAPLE)
RANGES = plausible_ranges(PIECES)
GRAM = 1e-3


def push(nock, cams, weight=5.0 * POUND):
    return {"weight": Reading(weight), "nock": Reading(nock), "cams": Reading(cams)}


def widths(ranges, key):
    low, high = ranges[key]
    return high - low


def test_nothing_measured_changes_nothing():
    found = narrow(PIECES, RANGES, {})
    assert found.pieces == PIECES
    assert found.ranges == found.before == RANGES
    assert found.notes == ()


def test_a_reading_without_any_say_leaves_the_range():
    taken = {"string_mass": {"string_mass": Reading(0.011, 1.0)}}
    assert narrow(PIECES, RANGES, taken).ranges["string_mass"] == pytest.approx(
        RANGES["string_mass"], rel=1e-3
    )


def test_a_good_reading_is_the_range_itself():
    # well inside an even range only the reading's own errors are left: ± √3 standard deviations
    taken = {"string_mass": {"string_mass": Reading(9 * GRAM, 0.2 * GRAM)}}
    found = narrow(PIECES, RANGES, taken)
    half = math.sqrt(3.0) * 0.1 * GRAM
    assert found.ranges["string_mass"] == pytest.approx(
        (9 * GRAM - half, 9 * GRAM + half), rel=1e-3
    )
    assert found.pieces.bow.string_mass == pytest.approx(9 * GRAM, rel=1e-4)
    assert found.notes == ()
    # the others stay as they were
    rest = {key: pair for key, pair in RANGES.items() if key != "string_mass"}
    assert {key: found.ranges[key] for key in rest} == rest


@given(st.floats(6.2, 15.8), st.floats(0.1, 8.0))
def test_what_is_left_lies_within_the_range_and_is_no_wider(mass, error):
    taken = {"string_mass": {"string_mass": Reading(mass * GRAM, error * GRAM)}}
    low, high = narrow(PIECES, RANGES, taken).ranges["string_mass"]
    least, most = RANGES["string_mass"]
    assert least <= low < high <= most
    assert high - low <= (most - least) * (1.0 + 1e-9)


def test_the_push_test_tells_the_cams_spring_and_something_of_the_rise():
    cams = 5.0 * POUND / 3e4
    found = narrow(PIECES, RANGES, {"push": push(cams + 5.0 * POUND / brace_stiffness(MILL), cams)})
    low, high = found.ranges["cam_stiffness"]
    assert low < 3e4 < high
    assert high / low < 2.0
    assert 0.4 < widths(found.ranges, "draw_force_rise") / widths(RANGES, "draw_force_rise") < 0.9
    # the tension in the shot is another matter
    assert found.ranges["brace_tension"] == RANGES["brace_tension"]


def test_cams_that_do_not_move_are_stiff_as_far_as_the_dial_tells():
    found = narrow(PIECES, RANGES, {"push": push(7e-3, 0.2e-3)})
    low, high = found.ranges["cam_stiffness"]
    assert low > 4e4
    assert high == pytest.approx(RANGES["cam_stiffness"][1])
    assert found.notes == ()


def test_the_own_spine_moves_the_shaft_and_its_factor_counts_from_there():
    taken = {
        "own_spine": {
            "deflection": Reading(0.350 * INCH),
            "span": Reading(28.0 * INCH),
            "weight": Reading(1.94 * POUND),
        }
    }
    found = narrow(PIECES, RANGES, taken)
    assert found.pieces.parts.shaft.spine_deflection == pytest.approx(0.350 * INCH, rel=0.002)
    low, high = found.ranges["shaft_stiffness"]
    assert (low + high) / 2.0 == pytest.approx(1.0, abs=1e-3)
    assert high - low < 0.06
    # the same shafts are plausible before it as ever
    ends = [
        changed(one, {"shaft_stiffness": end}).parts.shaft.spine_deflection
        for one, pair in ((PIECES, RANGES), (found.pieces, found.before))
        for end in pair["shaft_stiffness"]
    ]
    assert ends[:2] == pytest.approx(ends[2:])


def test_a_reading_outside_of_the_range_counts_and_is_told():
    taken = {"string_mass": {"string_mass": Reading(25 * GRAM, 0.5 * GRAM)}}
    found = narrow(PIECES, RANGES, taken)
    low, high = found.ranges["string_mass"]
    assert low < 25 * GRAM < high
    assert high - low < 1 * GRAM
    assert len(found.notes) == 1
    for said in ("measured.string_mass", "6 g to 16 g", "bow.string.mass", "measurement counts"):
        assert said in found.notes[0]


def test_what_only_follows_from_the_model_does_not_count_outside_of_its_range():
    found = narrow(PIECES, RANGES, {"note": note_of(MILL, times=0.4)})
    assert found.ranges == RANGES
    (note,) = found.notes
    for said in ("measured.note", "15 % to 40 %", "It does not count: take it anew"):
        assert said in note


def test_a_spine_that_is_not_the_shafts_own_is_told_by_its_key():
    taken = {
        "own_spine": {
            "deflection": Reading(0.5 * INCH),
            "span": Reading(28 * INCH),
            "weight": Reading(1.94 * POUND),
        }
    }
    found = narrow(PIECES, RANGES, taken)
    assert found.pieces.parts.shaft.spine_deflection == pytest.approx(0.5 * INCH, rel=0.01)
    assert "arrow.shaft.spine" in found.notes[0]
    assert "93 % to 107 %" in found.notes[0]


def note_of(bow, mass=0.0125, length=0.8, times=1.0):
    from vireton.launch.draw_force import plucked_note

    return {
        "frequency": Reading(times * plucked_note(bow, length, mass)),
        "free_length": Reading(length),
        "mass_per_length": Reading(mass),
    }


def test_two_readings_of_one_thing_tell_more_than_one():
    both = {"push": push(9.2e-3, 2.2e-3), "note": note_of(MILL)}
    alone = [narrow(PIECES, RANGES, {key: both[key]}) for key in both]
    found = narrow(PIECES, RANGES, both)
    assert found.notes == ()
    assert widths(found.ranges, "draw_force_rise") < min(
        widths(one.ranges, "draw_force_rise") for one in alone
    )


def test_readings_that_contradict_each_other_do_not_count_and_are_told():
    soft = push(2.2e-3 + 5.0 * POUND / (0.5 * brace_stiffness(MILL)), 2.2e-3)
    found = narrow(PIECES, RANGES, {"push": soft, "note": note_of(MILL, times=1.6)})
    assert found.ranges["draw_force_rise"] == RANGES["draw_force_rise"]
    assert found.ranges["cam_stiffness"] != RANGES["cam_stiffness"]
    said = " ".join(found.notes)
    assert "measured.push and measured.note contradict each other" in said


def test_a_reading_that_the_bow_scale_contradicts_is_told():
    steps = [INCH * (i + 1) for i in range(20)]
    soft = tuple((at, min(60.0, 3.0 * (i + 1)) * POUND) for i, at in enumerate(steps))
    bow = replace(MILL, draw_curve=DrawCurve(points=(*soft, (MILL.power_stroke, 12 * POUND))))
    pieces = Pieces(bow, MAPLE)
    ranges = plausible_ranges(pieces)
    fits = narrow(pieces, ranges, {"note": note_of(bow)})
    assert fits.notes == ()
    assert fits.ranges == ranges
    far = narrow(pieces, ranges, {"note": note_of(bow, times=1.5)})
    assert far.ranges == ranges
    assert "the bow scale read" in far.notes[0]


def test_what_this_arrow_has_not_is_not_narrowed():
    rigid = Pieces(MILL, replace(MAPLE, shaft=replace(MAPLE.shaft, spine_deflection=None)))
    taken = {
        "own_spine": {
            "deflection": Reading(0.35 * INCH),
            "span": Reading(28 * INCH),
            "weight": Reading(1.94 * POUND),
        }
    }
    assert narrow(rigid, plausible_ranges(rigid), taken).pieces == rigid
