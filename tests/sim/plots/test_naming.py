from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.figure import Figure

from vireton.plots.naming import End, name_ends, sample, spread
from vireton.plots.style import STROKES


def test_labels_with_room_stay_where_they_are():
    assert spread([20.0, 50.0, 90.0], [10.0, 10.0, 10.0], 100.0) == [20.0, 50.0, 90.0]


def test_labels_at_one_place_stand_on_each_other():
    assert spread([50.0, 50.0, 50.0], [10.0, 10.0, 10.0], 100.0) == [50.0, 60.0, 70.0]


def test_labels_at_the_top_move_down():
    assert spread([100.0, 100.0], [10.0, 20.0], 100.0) == [75.0, 90.0]


def test_labels_at_the_bottom_move_up():
    assert spread([0.0, 0.0], [10.0, 20.0], 100.0) == [5.0, 20.0]


@given(
    st.lists(st.tuples(st.floats(-50, 150), st.floats(5, 30)), max_size=8), st.floats(100, 200)
)  # fmt: skip
@settings(deadline=None)
def test_labels_keep_their_order_and_never_overlap(labels, height):
    wanted = sorted(at for at, _size in labels)
    sizes = [size for _at, size in labels]
    placed = spread(wanted, sizes, height)
    ends = [
        (center - size / 2.0, center + size / 2.0)
        for center, size in zip(placed, sizes, strict=True)
    ]
    for (_, upper), (lower, _) in pairwise(ends):
        assert lower >= upper - 1e-9
    if ends:
        assert ends[0][0] >= -1e-9
    if ends and sum(sizes) <= height:
        assert ends[-1][1] <= height + 1e-9


def named(*ends, samples=True):
    figure = Figure(figsize=(4.0, 4.0))
    axes = figure.add_subplot()
    axes.set_xlim(0.0, 10.0)
    axes.set_ylim(-1.0, 1.0)
    name_ends(axes, list(ends), 12, samples=samples)
    return axes


def shown(axes):
    return [text for text in axes.texts if text.get_text()]


def test_the_higher_end_has_the_higher_name():
    axes = named(End(10.0, 0.5, "high", STROKES[0]), End(10.0, -0.5, "low", STROKES[1]))
    heights = {text.get_text(): text.get_position()[1] for text in shown(axes)}
    assert heights == pytest.approx({"high": 0.75, "low": 0.25})


def test_a_name_is_taken_as_it_is():
    (text,) = shown(named(End(10.0, 0.0, "$5 a_b^c$", STROKES[0])))
    assert text.get_text() == "$5 a_b^c$"
    assert not text.get_parse_math()


def test_a_sample_has_the_dash_and_the_marker_of_its_curve():
    axes = named(End(10.0, 0.0, "bare", STROKES[1]))
    pieces = [one for one in axes.get_children() if hasattr(one, "get_marker")]
    assert {one.get_marker() for one in pieces} == {"None", STROKES[1].marker}
    assert [one for one in pieces if one.is_dashed()]


def test_an_early_end_has_no_leader_that_would_look_like_more_of_the_curve():
    def leaders(early):
        axes = named(End(4.0, 0.0, "bare", STROKES[0], early=early))
        return [text for text in axes.texts if getattr(text, "arrow_patch", None) is not None]

    assert len(leaders(early=False)) == 1
    assert leaders(early=True) == []


def test_the_sample_of_a_key_has_dash_and_marker():
    line = sample(STROKES[2])
    assert line.get_marker() == STROKES[2].marker
    assert line.is_dashed()
