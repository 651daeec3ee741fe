import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.collections import PolyCollection
from matplotlib.colors import to_rgba
from matplotlib.text import Text

from vireton.plots import MOST_CURVES, RestCurve, ShiftBand, rest_figure
from vireton.plots.style import STROKES
from vireton.units.problems import InputProblem

YARD, INCH = 0.9144, 0.0254
BAND = "5th to 95th percentile of 64 plausible bows"
ROWS = ("fletched", "bare", "separation")


def drawn(moves, **changed):
    settings = {"system": "us", "title": "Mill bow", "band": BAND, **changed}
    return rest_figure(moves, **settings)


def panels(figure):
    """Axes by (row, axis)."""
    assert len(figure.axes) == 6
    places = [(row, axis) for row in ROWS for axis in ("right", "up")]
    return dict(zip(places, figure.axes, strict=True))


def nominal(axes, stroke=0):
    """The thick line of a move, not the thin edges of its band."""
    color = STROKES[stroke].color
    (line,) = [
        one
        for one in axes.get_lines()
        if one.get_color() == color and one.get_linewidth() > 1.0 and one.get_linestyle() != "None"
    ]
    return np.asarray(line.get_xydata())


def edge_lines(axes, stroke=0):
    return [
        one
        for one in axes.get_lines()
        if one.get_color() == STROKES[stroke].color and one.get_linewidth() < 1.0
    ]


def edges(axes, stroke=0):
    return [np.asarray(one.get_xydata()) for one in edge_lines(axes, stroke)]


def bands(axes):
    return [one for one in axes.collections if isinstance(one, PolyCollection)]


def test_each_shift_stands_in_its_own_panel_in_its_own_unit(move):
    one = move(right=-0.01, up=0.004)
    for system, far, small in (("us", YARD, INCH), ("metric", 1.0, 0.01)):
        for (row, axis), axes in panels(drawn([one], system=system)).items():
            expected = np.column_stack(
                [one.distance / far, getattr(getattr(one, row), axis) / small]
            )
            assert nominal(axes) == pytest.approx(expected)


def test_the_band_reaches_from_low_to_high(move):
    one = move()
    for (row, axis), axes in panels(drawn([one])).items():
        shift = getattr(one, row)
        low, high = edges(axes)
        assert low[:, 1] * INCH == pytest.approx(getattr(shift, f"{axis}_low"))
        assert high[:, 1] * INCH == pytest.approx(getattr(shift, f"{axis}_high"))
        (band,) = bands(axes)
        outline = band.get_paths()[0].vertices
        assert outline[:, 1].min() == pytest.approx(low[:, 1].min())
        assert outline[:, 1].max() == pytest.approx(high[:, 1].max())


@pytest.mark.parametrize(("system", "far", "small"), [("us", "yd", "in"), ("metric", "m", "cm")])
def test_every_axis_has_its_unit(move, system, far, small):
    figure = panels(drawn([move()], system=system))
    names = {"fletched": "fletched shift", "bare": "bare shift", "separation": "separation"}
    for (row, _axis), axes in figure.items():
        assert axes.get_ylabel() == f"{names[row]} ({small})"
    for axis in ("right", "up"):
        assert figure["separation", axis].get_xlabel() == f"distance from the bow ({far})"


@pytest.mark.parametrize(
    ("row", "axis", "less", "more"),
    [
        ("fletched", "right", "left", "right"),
        ("fletched", "up", "down", "up"),
        ("bare", "right", "left", "right"),
        ("bare", "up", "down", "up"),
        ("separation", "right", "bare left", "bare right"),
        ("separation", "up", "bare low", "bare high"),
    ],
)
def test_a_positive_shift_is_drawn_at_the_end_that_is_named_so(move, row, axis, less, more):
    figure = drawn([move("A", 0.01, 0.01), move("B", -0.01, -0.01)])
    axes = panels(figure)[row, axis]
    named = {text.get_text(): text for text in axes.texts}
    towards_more = axes.transAxes.transform(named[f"{more} →"].xy)[1]
    towards_less = axes.transAxes.transform(named[f"← {less}"].xy)[1]
    plus, minus = (axes.transData.transform(nominal(axes, i)[-1])[1] for i in (0, 1))
    zero = axes.transData.transform((0.0, 0.0))[1]
    assert towards_less < minus < zero < plus < towards_more


def test_the_columns_say_which_way_they_go(move):
    figure = panels(drawn([move()]))
    assert "SIDEWAYS (right is to the top)" in figure["fletched", "right"].get_title(loc="left")
    assert figure["fletched", "up"].get_title(loc="left") == "UP AND DOWN"


def test_the_panels_of_a_row_share_their_scale_and_all_show_zero(move):
    figure = panels(drawn([move(right=0.01, up=0.0004)]))
    for row in ROWS:
        assert figure[row, "right"].get_ylim() == figure[row, "up"].get_ylim()
        low, high = figure[row, "up"].get_ylim()
        assert low < 0.0 < high


def test_an_open_side_is_said_at_each_sideways_panel_and_only_there(move, words):
    figure = drawn([move()])
    for (_row, axis), axes in panels(figure).items():
        assert ("SIDE OPEN" in axes.get_title(loc="left")) == (axis == "right")
    assert "is open until this bow has shown it" in words(figure).replace("\n", " ")


def test_a_known_side_is_not_called_open(move, words):
    text = words(drawn([move(sideways_open=False)]))
    assert "OPEN" not in text and "↔" not in text


def test_of_several_moves_only_the_open_ones_are_marked(move):
    figure = panels(drawn([move("up"), move("right", sideways_open=False)]))
    for (_row, axis), axes in figure.items():
        tags = {text.get_text() for text in axes.texts}
        assert ({"A↔", "B"} if axis == "right" else {"A", "B"}) <= tags


def test_one_move_needs_no_letter(move, words):
    lines = words(drawn([move("rest up 1/32 in")])).split("\n")
    assert "rest up 1/32 in" in lines
    assert not {"A", "A↔"} & set(lines)


def test_letters_are_spelt_out_in_the_key(move):
    (key,) = drawn([move("rest up 1/32 in"), move("rest left 1/64 in")]).legends
    names = [text.get_text() for text in key.get_texts()]
    assert names == ["A  rest up 1/32 in", "B  rest left 1/64 in"]
    assert [line.get_marker() for line in key.get_lines()] == [s.marker for s in STROKES[:2]]


def test_names_titles_and_bands_are_taken_as_they_are(move):
    figure = drawn([move("$5 rest_x^2$")], title="Costs $6", band="$7_a$")
    texts = [text for text in figure.findobj(Text) if "$" in text.get_text()]
    assert len(texts) == 3
    assert not any(text.get_parse_math() for text in texts)


@pytest.mark.parametrize("count", [1, 4])
def test_bands_differ_by_hatch(move, count):
    moves = [move(f"move {i}", 0.004 * (i - 2)) for i in range(count)]
    for axes in drawn(moves).axes:
        assert [band.get_hatch() for band in bands(axes)] == [s.hatch for s in STROKES[:count]]


def test_many_bands_are_not_hatched_over_each_other(move):
    moves = [move(f"move {i}", 0.004 * (i - 2)) for i in range(5)]
    for axes in drawn(moves).axes:
        assert [band.get_hatch() for band in bands(axes)] == [None] * 5


def test_bands_let_the_lines_under_them_through(move):
    for axes in drawn([move("up"), move("down", -0.01)]).axes:
        for band in bands(axes):
            assert band.get_facecolor()[0][3] < 0.3
            assert tuple(band.get_edgecolor()[0]) in {to_rgba(s.color) for s in STROKES}


def test_what_the_band_is_stands_below(move, words):
    assert f"Shaded: {BAND}." in words(drawn([move()]))


def test_a_bare_shaft_that_falls_short_ends_its_line_and_is_told(move, words):
    figure = drawn([move(end=50.0)])
    line = nominal(panels(figure)["bare", "up"])
    assert np.isfinite(line[:, 1]).sum() == 5  # invented distances: 10, 20, … yd; 50 m is 54.7 yd
    assert np.isfinite(nominal(panels(figure)["fletched", "up"])[:, 1]).all()
    assert "Where a line stops" in words(figure)
    assert "Where a line stops" not in words(drawn([move()]))


def test_a_line_without_a_band_is_drawn_and_told(words):
    x, none = np.array([10.0, 20.0]), np.full(2, np.nan)
    shift = ShiftBand(x / 1e3, x / 1e3, none, none, none, none)
    figure = drawn([RestCurve("rest up 1/32 in", x, shift, shift, shift)])
    assert nominal(panels(figure)["bare", "up"])[-1, 1] == pytest.approx(0.02 / INCH)
    assert "loses its band" in words(figure)


def test_no_move_says_so(words, assert_legible):
    figure = drawn([])
    assert "No rest move was given" in words(figure)
    assert_legible(figure)


@pytest.mark.parametrize("points", [0, 1])
def test_a_move_with_no_point_or_one_can_be_drawn(points, assert_legible):
    x, some = np.arange(points) + 20.0, np.full(points, 0.01)
    shift = ShiftBand(some, some, some, some, some, some)
    figure = drawn([RestCurve("rest up 1/32 in", x, shift, shift, shift)])
    spots = [one for one in figure.axes[0].get_lines() if one.get_marker() == STROKES[0].marker]
    assert len(spots) == points
    assert_legible(figure)


LETTERS = st.text("abc defgh$_^-é/32", min_size=1, max_size=100)
SHIFTS = st.floats(-0.02, 0.02)


@given(
    st.lists(st.tuples(LETTERS, SHIFTS, SHIFTS, st.floats(5, 120)), min_size=1, max_size=8),
    st.text("Maple 340 $x_{2}^", max_size=150),
    st.sampled_from(["us", "metric"]),
)
@settings(deadline=None, max_examples=10)  # each draws a whole page
def test_whatever_is_drawn_is_legible(move, assert_legible, given_moves, title, system):
    moves = [move(label, right, up, end=end) for label, right, up, end in given_moves]
    assert_legible(drawn(moves, title=title, system=system))


def test_too_many_moves_are_refused_with_the_number_that_works(move):
    with pytest.raises(InputProblem, match=f"9 rest moves.*at most {MOST_CURVES}"):
        drawn([move() for _ in range(9)])


def test_an_unknown_system_is_refused(move):
    with pytest.raises(ValueError, match="'us' or 'metric'"):
        drawn([move()], system="imperial")


def gone(figure):
    (note,) = [t.get_text() for t in figure.texts if "nothing leaves 0" in t.get_text()]
    return note.replace("\n", " ").split("scale: ")[1]


def test_a_move_up_alone_draws_one_column_over_the_whole_width(move, assert_legible):
    one = move(right=0.0, sideways_open=False)
    flat = np.zeros_like(one.distance)
    bare = {
        row: ShiftBand(flat, s.up, flat, flat, s.up_low, s.up_high)
        for row in ROWS
        for s in [getattr(one, row)]
    }
    figure = drawn([RestCurve("rest up 1/32 in", one.distance, **bare, sideways_open=False)])
    assert len(figure.axes) == 3
    assert all(axes.get_position().width > 0.8 for axes in figure.axes)
    assert gone(figure).startswith("fletched shift sideways, bare shift sideways, separation")
    assert {axes.get_title(loc="left") for axes in figure.axes} == {"UP AND DOWN"}
    assert_legible(figure)


def test_the_other_panel_of_a_row_fills_it(move, assert_legible):
    one = move()
    flat = np.zeros_like(one.distance)
    s = one.fletched
    fletched = ShiftBand(s.right, flat, s.right_low, s.right_high, flat, flat)
    figure = drawn([RestCurve(one.label, one.distance, fletched, one.bare, one.separation)])
    widths = [axes.get_position().width for axes in figure.axes]
    assert len(widths) == 5 and widths[0] > 2.0 * max(widths[1:])
    assert gone(figure).startswith("fletched shift up and down.")
    assert_legible(figure)


def test_the_edges_of_two_bands_differ_without_color(move):
    for axes in drawn([move("up"), move("down", -0.01)]).axes:
        dashes = [{str(edge._dash_pattern) for edge in edge_lines(axes, i)} for i in (0, 1)]
        assert all(len(one) == 1 for one in dashes) and dashes[0] != dashes[1]


def test_a_panel_that_is_flat_on_its_rows_scale_is_left_out(move):
    # 0.4 mm at 20 m, of 4 cm: an inch or so of a yard-high panel
    one = move(right=0.0, up=0.04, sideways_open=False)
    share = one.distance / 20.0
    s = one.fletched
    hair = ShiftBand(4e-4 * share, s.up, 3e-4 * share, 5e-4 * share, s.up_low, s.up_high)
    figure = drawn([RestCurve(one.label, one.distance, hair, one.bare, one.separation, False)])
    assert gone(figure).split(",")[0].startswith("fletched shift sideways")
    assert figure.axes[0].get_title(loc="left") == "UP AND DOWN"
