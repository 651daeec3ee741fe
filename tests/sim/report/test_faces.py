"""The picture of one distance."""

import re

import pytest
from formula import MEASURE

from vireton.report.faces import face, reach_of, shape, tick_text
from vireton.report.shown import Setting, spots


@pytest.mark.parametrize(
    ("extent", "reach"),
    [(0.0, 0.4), (0.4, 0.4), (0.51, 0.6), (1.0, 1.0), (1.2, 2.0), (4.9, 6.0), (81.0, 100.0)],
)
def test_frames_end_at_round_numbers(extent, reach):
    assert reach_of(extent) == pytest.approx(reach)


def test_marks_lie_where_the_numbers_say(tables):
    at = Setting(6, 3, 0.0)
    drawn = face(tables, 0, at, MEASURE, "20 yd", ())
    outermost = float(re.search(r'data-tick="1">([\d.]+)<', drawn)[1])
    for kind in ("fletched", "bare"):
        spot = spots(tables, 0, kind, at, MEASURE)[0]
        found = re.search(
            rf'<g transform="translate\(([-\d.]+) ([-\d.]+)\)" data-mark="0-{kind}"', drawn
        )
        x, y = float(found[1]), float(found[2])
        assert x / 100.0 * outermost == pytest.approx(spot.place[0], abs=0.01 * outermost)
        assert y / 100.0 * outermost == pytest.approx(-spot.place[1], abs=0.01 * outermost)


def test_everything_shown_is_inside_the_frame(tables):
    for right in range(9):
        drawn = face(tables, 1, Setting(right, 8, 0.0), MEASURE, "40 yd", (("bare", 30.0, 0.0),))
        for x, y in re.findall(r"translate\(([-\d.]+) ([-\d.]+)\)", drawn):
            assert max(abs(float(x)), abs(float(y))) <= 100.0


def test_the_other_case_is_hidden_until_the_rest_moves_aside(tables):
    assert face(tables, 0, Setting(4, 4, 0.0), MEASURE, "x", ()).count('display="none"') == 2
    assert 'display="none"' not in face(tables, 0, Setting(5, 4, 0.0), MEASURE, "x", ())


def test_no_two_marks_share_a_shape():
    drawn = {shape(kind, case) for kind in ("fletched", "bare") for case in (0, 1)}
    assert len({re.sub(r' class="[^"]*"', "", one) for one in drawn}) == 4


def test_minus_is_a_minus():
    assert tick_text(-2.5) == "−2.5"
