import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.text import Text

from vireton.plots import MOST_CURVES, FlightCurve, flight_figure
from vireton.plots.style import STROKES
from vireton.units.problems import InputProblem

YARD, INCH = 0.9144, 0.0254
UP, SIDEWAYS, YAW, PITCH = range(4)


def drawn(curves, **changed):
    settings = {"system": "us", "title": "Mill bow", "reference": "sight", **changed}
    return flight_figure(curves, **settings)


def straight(label="fletched", right=0.0, up=0.0, yaw=0.0, pitch=0.0, x=(0.0, 50.0, 100.0)):
    """Grows in proportion to distance, to the values given at its end; invented."""
    distance = np.array(x) * YARD
    share = np.array(x) / 100.0
    return FlightCurve(label, distance, right * share, up * share, yaw * share, pitch * share)


def in_panel(axes):
    """What is drawn in the units of the panel; the samples beside the names are not."""
    return [line for line in axes.get_lines() if line.get_transform() == axes.transData]


def lines(axes, stroke=0):
    """Data of the curves in a stroke's color."""
    ours = [line for line in in_panel(axes) if line.get_color() == STROKES[stroke].color]
    return [np.asarray(line.get_xydata()) for line in ours if line.get_linestyle() != "None"]


def markers(axes, stroke=0):
    """Places of the markers of a stroke."""
    ours = [line for line in in_panel(axes) if line.get_marker() == STROKES[stroke].marker]
    points = np.concatenate([line.get_xydata() for line in ours])
    return points[np.isfinite(points[:, 1])]


def test_us_shows_yards_inches_and_degrees():
    figure = drawn([straight(right=2 * INCH, up=-3 * INCH, yaw=np.pi / 90, pitch=-np.pi / 180)])
    ends = [lines(axes)[0][-1] for axes in figure.axes]
    assert np.array(ends) == pytest.approx(np.array([[100, -3], [100, 2], [100, 2], [100, -1]]))


def test_metric_shows_meters_and_centimeters():
    figure = drawn([straight(right=0.02, up=-0.03)], system="metric")
    assert lines(figure.axes[UP])[0][-1] == pytest.approx([91.44, -3.0])
    assert lines(figure.axes[SIDEWAYS])[0][-1] == pytest.approx([91.44, 2.0])


@pytest.mark.parametrize(
    ("system", "units"),
    [("us", ["in", "in", "deg", "deg"]), ("metric", ["cm", "cm", "deg", "deg"])],
)
def test_every_axis_has_its_unit(flight, system, units):
    figure = drawn([flight()], system=system)
    names = [axes.get_ylabel() for axes in figure.axes]
    assert names == [
        f"{name} ({unit})"
        for name, unit in zip(("up", "sideways", "yaw", "pitch"), units, strict=True)
    ]
    far = "yd" if system == "us" else "m"
    assert figure.axes[-1].get_xlabel() == f"distance from the bow ({far})"


@pytest.mark.parametrize(
    ("panel", "name", "less", "more"),
    [
        (UP, "up", "below", "above"),
        (SIDEWAYS, "right", "left", "right"),
        (YAW, "yaw", "nose left", "nose right"),
        (PITCH, "pitch", "nose down", "nose up"),
    ],
)
def test_a_positive_value_is_drawn_at_the_end_that_is_named_so(panel, name, less, more):
    far = {"up": 0.1, "right": 0.1, "yaw": 0.1, "pitch": 0.1}  # so that every panel is drawn
    curves = [straight(**{**far, name: 0.1}), straight("bare", **{**far, name: -0.1})]
    axes = drawn(curves).axes[panel]
    named = {text.get_text(): text for text in axes.texts}
    towards_more = axes.transAxes.transform(named[f"{more} →"].xy)[1]
    towards_less = axes.transAxes.transform(named[f"← {less}"].xy)[1]

    def pixels(stroke):
        return axes.transData.transform(lines(axes, stroke)[0][-1])[1]

    zero = axes.transData.transform((0.0, 0.0))[1]
    assert towards_less < pixels(1) < zero < pixels(0) < towards_more


def test_the_sideways_panel_says_where_the_right_is(flight):
    title = drawn([flight()]).axes[SIDEWAYS].get_title(loc="left")
    assert "the archer's right is toward the top" in title


@pytest.mark.parametrize(("reference", "line"), [("sight", "line of sight"), ("bore", "bore line")])
def test_what_zero_means_is_named(flight, words, reference, line):
    figure = drawn([flight()], reference=reference)
    for panel in (UP, SIDEWAYS):
        assert f"0 = {line}" in figure.axes[panel].get_title(loc="left")
    other = {"sight": "bore line", "bore": "line of sight"}[reference]
    assert line in words(figure) and other not in words(figure)


def test_the_panels_share_their_distances(flight):
    figure = drawn([flight(), straight(x=(0.0, 60.0, 120.0))])
    for axes in figure.axes:
        assert axes.get_xlim() == pytest.approx((0.0, 120.0))


def test_markers_lie_on_the_curve_at_the_marks():
    figure = drawn([straight(up=1.0)], marks=[20 * YARD, 75 * YARD, 100 * YARD])
    expected = np.array([[20, 0.2], [75, 0.75], [100, 1.0]]) / [1.0, INCH]
    assert markers(figure.axes[UP]) == pytest.approx(expected)


def test_marks_beyond_the_curve_or_in_a_gap_are_left_out():
    x = np.arange(0.0, 6.0) * 10.0 * YARD
    values = np.array([0.0, 1.0, np.nan, 3.0, 4.0, np.nan])
    figure = drawn(
        [FlightCurve("bare", x, values, values, values, values)],
        marks=[5 * YARD, 15 * YARD, 20 * YARD, 25 * YARD, 35 * YARD, 45 * YARD, 60 * YARD],
    )
    assert markers(figure.axes[UP])[:, 0] == pytest.approx([5.0, 35.0])


def test_marks_before_and_after_a_whole_curve_are_left_out():
    figure = drawn([straight(up=1.0, x=(20.0, 60.0))], marks=[10 * YARD, 30 * YARD, 70 * YARD])
    assert markers(figure.axes[UP])[:, 0] == pytest.approx([30.0])


@pytest.mark.parametrize("nudge", [0.0, 1e-13, -1e-13])
def test_a_mark_at_the_last_point_reached_is_drawn(nudge):
    x = np.array([10.0, 20.0, 30.0])
    values = np.array([0.1, 0.2, np.nan])
    curve = FlightCurve("bare", x, values, values, values, values)
    figure = drawn([curve], system="metric", marks=[20.0 + nudge])
    assert markers(figure.axes[UP]) == pytest.approx(np.array([[20.0, 20.0]]))


def test_curves_differ_by_dash_and_marker_in_every_panel(flight):
    curves = [flight(f"arrow {i}", i - 3.0) for i in range(MOST_CURVES)]
    for axes in drawn(curves, marks=[20.0]).axes:
        dashes = {
            str(line._dash_pattern)
            for i in range(MOST_CURVES)
            for line in in_panel(axes)
            if line.get_color() == STROKES[i].color and line.get_linestyle() != "None"
        }
        assert len(dashes) == MOST_CURVES
        assert all(len(markers(axes, i)) for i in range(MOST_CURVES))


def test_each_curve_is_named_in_each_panel(flight):
    figure = drawn([flight("fletched"), flight("bare", -1.0)])
    for axes in figure.axes:
        texts = [text.get_text() for text in axes.texts]
        assert texts.count("fletched") == texts.count("bare") == 1


def test_an_early_end_is_crossed_and_told(flight, words):
    figure = drawn([flight("fletched"), flight("bare", end=45.0)], system="metric")
    for axes in figure.axes:
        (cross,) = [line for line in axes.get_lines() if line.get_marker() == "x"]
        assert cross.get_xdata()[0] == pytest.approx(44.71, abs=0.01)  # of the invented grid
        last = lines(axes, 1)[0]
        assert cross.get_ydata()[0] == last[np.isfinite(last[:, 1])][-1, 1]
        leaders = [text.xy for text in axes.texts if getattr(text, "arrow_patch", None)]
        assert [x for x, _y in leaders] == pytest.approx([91.44])  # the whole flight's alone
    # non-breaking spaces keep the number with its unit
    assert words(figure).replace("\u00a0", " ").count("(to 44.7 m)") == 4
    assert "× the flight ends here" in words(figure)


def test_a_whole_flight_has_no_cross(flight, words):
    figure = drawn([flight("fletched")])
    assert not [one for axes in figure.axes for one in axes.get_lines() if one.get_marker() == "x"]
    assert "×" not in words(figure)


def test_no_curve_says_so(words, assert_legible):
    figure = drawn([])
    assert "No flight was given" in words(figure)
    assert_legible(figure)


@pytest.mark.parametrize("fill", [np.zeros(0), np.full(3, np.nan)])
def test_a_curve_with_nothing_to_draw_is_named(flight, words, fill):
    x = np.arange(len(fill)) + 1.0
    figure = drawn([flight("fletched"), FlightCurve("bare", x, fill, fill, fill, fill)])
    assert "Nothing to draw of: bare." in words(figure)


def test_a_single_point_is_seen_without_any_mark():
    figure = drawn([straight(up=0.1, x=(20.0,))])
    assert markers(figure.axes[UP]) == pytest.approx(np.array([[20.0, 0.02 / INCH]]))


def names_of(figure):
    return [axes.get_ylabel().split(" (")[0] for axes in figure.axes]


def test_a_panel_that_would_show_only_zeros_is_left_out_and_named(words, assert_legible):
    figure = drawn([straight(up=-1.0, right=1e-5, yaw=1e-6, pitch=0.02)])
    assert names_of(figure) == ["up", "pitch"]
    assert "nothing leaves 0 at its scale: sideways, yaw." in words(figure).replace("\n", " ")
    assert figure.axes[-1].get_xlabel() == "distance from the bow (yd)"
    assert_legible(figure)
    whole = drawn([straight(up=-1.0, right=0.02, yaw=0.02, pitch=0.02)])
    assert names_of(whole) == ["up", "sideways", "yaw", "pitch"]
    assert "nothing leaves 0" not in words(whole)


def test_what_is_left_fills_the_page():
    few, many = (
        drawn([straight(up=-1.0, right=right, yaw=right, pitch=0.02)]) for right in (0.0, 0.02)
    )
    taller = [figure.axes[0].get_position().height for figure in (few, many)]
    assert taller[0] > 1.7 * taller[1]
    ends = [figure.axes[-1].get_position().y0 for figure in (few, many)]
    assert ends[0] == pytest.approx(ends[1], abs=0.03)


def test_flights_without_anything_to_see_keep_one_panel():
    assert names_of(drawn([straight()])) == ["up"]


def test_small_values_are_not_magnified():
    figure = drawn([straight(up=-1.0, right=0.1 * INCH, yaw=0.1 * np.pi / 180)])
    for panel in (SIDEWAYS, YAW):
        low, high = figure.axes[panel].get_ylim()
        assert low < 0.0 < high and high - low >= 1.0


def test_names_that_do_not_fit_become_letters_that_are_spelt_out(flight, words, assert_legible):
    curves = [flight(f"arrow {i} with a name of some length", i - 3.0) for i in range(MOST_CURVES)]
    figure = drawn(curves)
    assert "A: arrow 0 with a name of some length; B: arrow 1" in words(figure).replace("\n", " ")
    assert_legible(figure)


LETTERS = st.text("abc defgh$_^-é", min_size=1, max_size=40)


@given(
    st.lists(st.tuples(LETTERS, st.floats(-5, 5), st.floats(5, 120)), min_size=1, max_size=8),
    st.text("Maple 340 $x_{2}^", max_size=150),
)
@settings(deadline=None, max_examples=10)  # each draws a whole page
def test_whatever_is_drawn_is_legible(flight, assert_legible, given_curves, title):
    curves = [flight(label, side, end) for label, side, end in given_curves]
    assert_legible(drawn(curves, title=title, marks=[20.0, 40.0]))


def test_names_and_titles_are_taken_as_they_are(flight):
    figure = drawn([flight("$5 point_x^2$")], title="Costs $5, not $6_a")
    texts = [text for text in figure.findobj(Text) if "$" in text.get_text()]
    assert {text.get_text() for text in texts} == {"$5 point_x^2$", "Costs $5, not $6_a"}
    assert not any(text.get_parse_math() for text in texts)


def test_too_many_flights_are_refused_with_the_number_that_works(flight):
    with pytest.raises(InputProblem, match=r"9 flights.*at most 8"):
        drawn([flight() for _ in range(9)])


def test_unknown_words_are_refused_with_those_that_there_are(flight):
    with pytest.raises(ValueError, match="'eye' is not known; it is 'sight' or 'bore'"):
        drawn([flight()], reference="eye")
    with pytest.raises(ValueError, match="'us' or 'metric'"):
        drawn([flight()], system="imperial")


def test_the_curves_given_are_left_as_they_were(flight):
    curve = flight("a name that is much too long for the margin " * 4)
    before = replace(curve, up=curve.up.copy())
    drawn([curve] * 4, marks=[20.0])
    assert np.array_equal(curve.up, before.up) and curve.label == before.label


def test_pyplot_is_never_imported():
    code = "import sys, vireton.plots; assert 'matplotlib.pyplot' not in sys.modules"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_a_side_that_nobody_knows_is_called_open_where_it_is_drawn(flight, words, assert_legible):
    curves = [flight("fletched"), flight("bare", 3.0)]
    settings = {"system": "us", "title": "Mill bow", "reference": "sight"}
    known = words(flight_figure(curves, **settings))
    assert "OPEN" not in known
    picture = flight_figure(curves, **settings, sideways_open=True)
    headings = [axes.get_title(loc="left") for axes in picture.axes]
    assert ["OPEN" in one for one in headings] == [False, True, True, False]
    assert "until this bow has shown it" in words(picture).replace("\n", " ")
    assert_legible(picture)
