"""Sight marks, as an answer."""

import inspect
from itertools import pairwise

import numpy as np
import pytest

import vireton
from vireton.answers.marks import Bar
from vireton.answers.table import Span
from vireton.units.display import METRIC, US

INCH = 0.0254
ONE, TWO = "20yd=1.20in", "60yd=1.97in"


def find(*shots, **more):
    return vireton.find_marks(vireton.load(), "33in", shots=shots, draws=8, **more)


def said(marks, display=US):
    return " ".join(marks.words(display))


@pytest.fixture(scope="module")
def marks():
    return find(ONE, TWO, distances="20:60:10 yd", checks=["40yd=1.55in", "50yd=1.95in"])


def test_json(marks):
    found = marks.to_dict()
    rows = found["marks"]
    assert [row["mark_in"] for row in (rows[0], rows[-1])] == pytest.approx([1.20, 1.97], abs=0.02)
    assert "gap_in" not in rows[0]
    for before, row in pairwise(rows):
        assert row["gap_in"] == pytest.approx(row["mark_in"] - before["mark_in"])
        low, high = row["mark_in_interval_95"]
        assert low < row["mark_in"] < high
    low, high = found["speed_fps_interval_95"]
    assert low < 280 < high
    assert high - low < 2 * 1.96 * found["speed_fps_sd_of_the_setup"]
    assert found["drag_percent_of_model"] == pytest.approx(100, abs=10)
    assert found["bands_widened_by"] == 1.0
    assert [one["distance_yd"] for one in found["shots"]] == [20, 60]
    assert [one["fits"] for one in found["checks"]] == [True, False]
    assert marks.rows()[0]["distance_yd"] == pytest.approx(20)


def test_a_falling_bar_is_the_mirrored_one(marks):
    falling = find("20yd=5.00in", "60yd=4.23in", falling=True, distances="20:60:10 yd").to_dict()
    assert not falling["number_rises_as_the_pin_goes_down"]
    for one, other in zip(marks.to_dict()["marks"], falling["marks"], strict=True):
        assert one["mark_in"] - 1.2 == pytest.approx(5.0 - other["mark_in"], abs=1e-6)
        low, high = other["mark_in_interval_95"]
        assert low < other["mark_in"] < high
    with pytest.raises(vireton.InputProblem, match="--falling"):
        find("20yd=2in", "60yd=1in")


def test_clicks_are_a_unit_of_the_bar_and_pairs_a_spelling(marks):
    clicks = find(
        "20yd=60 clicks", ("60 yd", "98.5"), click="0.02in", distances="20:60:10 yd"
    )  # fmt: skip
    lengths = find(("20 yd", 1.2 * INCH), ("60 yd", "1.97 in"), distances="20:60:10 yd")
    for other in (clicks, lengths):
        assert other.marks.mark == pytest.approx(marks.marks.mark, abs=1e-9)
    assert clicks.tables(US)[0].heads[1] == "mark, clicks"


def test_the_words_say_which_way_and_what_is_not_known(marks):
    alone = said(find(ONE))
    for words in (
        "rises as the pin goes down",
        "cannot tell speed from drag",
        "say little of speed and drag",
        "backstop",
    ):
        assert words in alone
    # the fit goes through 20 and 60 yd; between them it hangs on the drag of the setup
    assert "check at 50 yd: 1.95 in, expected 1.76" in said(marks)
    assert said(marks).count("DOES NOT FIT") == 1


def test_marks_that_cannot_be_this_arrow_are_told():
    words = said(find(ONE, "60yd=2.40in"))
    assert "DO NOT FIT" in words
    assert "drag coefficient" not in words


def test_no_check_fits_marks_that_do_not_fit_each_other():
    bad = find(ONE, "40yd=1.95in", "60yd=1.57in", checks="30yd=1.35in")
    assert bad.checks[0].fits  # in bands that are some fifty times as wide
    words = said(bad)
    assert words.startswith("THESE MARKS DO NOT FIT TOGETHER")
    assert "check at 30 yd: 1.35 in, expected 1.4" in words
    assert "tells nothing while the marks do not fit together" in words
    assert "times as wide" not in words


def test_without_a_shot_gaps_come_from_the_setup():
    marks = find(distances="20,40 yd")
    near, far = marks.to_dict()["marks"]
    assert near["mark_in"] == pytest.approx(0.0, abs=1e-5)
    low, high = near["mark_in_interval_95"]
    assert high - low < 0.001
    assert 0.3 < far["mark_in"] < 0.4
    assert "no mark is shot in" in said(marks)
    assert marks.to_dict()["shots"] == []


def test_metric_and_the_picture(marks):
    assert marks.tables(METRIC)[0].heads[1] == "mark, mm"
    assert "m/s" in said(marks, METRIC)
    assert marks.figure("metric").axes
    assert repr(marks) == "<SightMarks of Mill bow: 5 from 2 shot in>"


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"shots": "20yd 1.2in"}, "^shots: .*20yd=1.20in"),
        ({"shots": "20=1.2in"}, "^shots: .*has no unit"),
        ({"checks": "20yd=1.2"}, '^checks: "1.2" has no unit; write it like "1.2 in"'),
        ({"shots": "20yd=12 clicks"}, "say how long one is with click"),
        ({"shots": "20yd=90in"}, "outside -20 in to 40 in"),
        ({"shots": [(20, "1.2 in")]}, "write '20 yd' or '20 m'"),
        ({"click": "1 in"}, "^click: "),
        ({"reading_error": "0 in"}, "^reading_error: "),
    ],
)
def test_what_cannot_be_read(given, words):
    with pytest.raises(vireton.InputProblem, match=words):
        vireton.find_marks(vireton.load(), "33in", **given)


def test_the_radius_must_be_given():
    assert inspect.signature(vireton.find_marks).parameters["radius"].default is inspect._empty
    with pytest.raises(TypeError, match="radius"):
        vireton.find_marks(vireton.load())


@pytest.mark.parametrize(
    ("numbers", "shown"),
    [
        ((1.2, 1.1742, 1.2258), "1.20 (1.17 to 1.23)"),
        ((0.0, -1e-5, 1e-5), "0.000"),
        ((2.0, -1.0, 6.0), "2 (-1 to 6)"),
    ],
)
def test_a_mark_has_no_more_digits_than_its_interval_and_no_signed_nothing(numbers, shown):
    assert Bar(None, False).shown(Span(*np.multiply(numbers, INCH)), US) == shown
