import matplotlib as mpl
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.colors import to_rgb

from vireton.plots import MOST_CURVES
from vireton.plots.style import (
    PAGE_HEIGHT,
    PAGE_WIDTH,
    STROKES,
    foot,
    head,
    limits,
    our_look,
    prepare,
    prepare_face,
    signed,
)


def luminance(color):
    """Relative luminance, WCAG 2.1 (W3C 2018), definition of "relative luminance"."""
    linear = [
        c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4  # its own printed threshold
        for c in to_rgb(color)
    ]
    return float(np.dot([0.2126, 0.7152, 0.0722], linear))


def test_there_is_a_stroke_for_each_curve_that_may_be_drawn():
    assert len(STROKES) == MOST_CURVES


@pytest.mark.parametrize("part", ["dash", "marker", "hatch", "color"])
def test_no_two_strokes_share(part):
    assert len({getattr(stroke, part) for stroke in STROKES}) == len(STROKES)


@pytest.mark.parametrize("stroke", STROKES, ids=lambda stroke: stroke.color)
def test_every_color_is_dark_enough_to_read_as_text(stroke):
    # contrast (1 + 0.05)/(L + 0.05) of at least 4.5 on white: WCAG 2.1 (W3C 2018), 1.4.3
    assert 1.05 / (luminance(stroke.color) + 0.05) >= 4.5


def test_the_page_fits_letter_paper_with_margins():
    # 8.5 in by 11 in: ANSI/ASME Y14.1, size A (from memory)
    assert PAGE_WIDTH <= 8.5 - 2 * 0.5
    assert PAGE_HEIGHT <= 11.0 - 2 * 0.5


def test_the_look_ends_when_it_is_done_and_after_an_error():
    with mpl.rc_context({"axes.facecolor": "black", "font.size": 31.0}):
        before = dict(mpl.rcParams)
        with our_look():
            assert mpl.rcParams["axes.facecolor"] == "white"
            assert mpl.rcParams["font.size"] == 9.0
        assert dict(mpl.rcParams) == before
        with pytest.raises(KeyError), our_look():
            raise KeyError
        assert dict(mpl.rcParams) == before


@pytest.mark.parametrize(
    ("value", "shown"),
    [(0.0, "0"), (-0.0, "0"), (1e-17, "0"), (2.0, "+2"), (-0.5, "−0.5"), (1250.0, "+1250")],
)
def test_ticks_carry_their_sign(value, shown):
    assert signed(value) == shown


def test_limits_of_nothing_are_the_least_span_about_zero():
    low, high = limits([], 2.0)
    assert low == pytest.approx(-high)
    assert high - low == pytest.approx(2.0 * 1.14)


def test_rounding_noise_is_not_blown_up():
    low, high = limits([np.array([1e-15, -3e-16])], 1.0)
    assert high - low > 1.0


floats = st.floats(-1e4, 1e4)


@given(st.lists(st.lists(floats | st.just(float("nan")), max_size=8), max_size=4), floats)
@settings(deadline=None)
def test_limits_hold_zero_and_every_number_with_room_to_spare(rows, span):
    span = abs(span) + 0.1
    low, high = limits([np.array(row) for row in rows], span)
    values = [0.0, *(v for row in rows for v in row if not np.isnan(v))]
    assert low < min(values) and max(values) < high
    assert high - low >= span


@pytest.mark.parametrize("wide", [7.5, 9.6, 11.0])
def test_headings_and_names_fit_any_width_of_page(wide, assert_legible):
    from matplotlib.figure import Figure

    with our_look():
        figure = Figure((wide, 6.0))
        head(
            figure, "Mill bow and Maple 340, an invented pair " * 4, "Measured from the line. " * 20
        )
        foot(figure, ["A note that goes on and on, over more than one line of the page. " * 4])
        axes = figure.add_axes((0.15, 0.3, 0.6, 0.3))
        prepare(axes, "up", "in", "below", "above")
    assert_legible(figure)


def test_a_face_is_the_archers_view(words):
    from matplotlib.figure import Figure

    figure = Figure()
    axes = figure.add_subplot()
    prepare_face(axes, "bare minus fletched", "in")
    for label, less, more in (
        (axes.get_xlabel(), "left", "right"),
        (axes.get_ylabel(), "low", "high"),
    ):
        assert label.index(less) < label.index("(in)") < label.index(more)
    assert not axes.xaxis_inverted() and not axes.yaxis_inverted()
