"""Clear differences as bars: the largest on top, each with its band and words; none is said so."""

import pytest

from vireton.plots.comparison import ComparisonPanel, Difference, comparison_figure
from vireton.plots.style import PAGE_HEIGHT
from vireton.units.problems import InputProblem

CLEAR = [
    Difference("settles 15 yd (12 to 17) sooner", -0.2, -0.24, -0.17),
    Difference("drag coefficient 0.39 (0.37 to 0.41) higher", 0.12, 0.11, 0.13),
    Difference("6.5 gr heavier", 0.015, 0.015, 0.015),
]
ALIKE = ["steady spin", "crooked launch at 60 yd"]


def panel(label="vanes count 4", clear=CLEAR, alike=ALIKE):
    return ComparisonPanel(label, clear, alike)


def figure(*panels, **changed):
    words = {"first": "vanes count 3", "title": "Mill bow, Maple 340", **changed}
    return comparison_figure(panels or [panel()], **words)


def test_each_clear_difference_has_its_bar_in_order_and_its_words(assert_legible, words):
    picture = figure()
    (axes,) = picture.axes
    assert [one.get_width() for one in axes.patches] == pytest.approx([-0.2, 0.12, 0.015])
    levels = [one.get_y() for one in axes.patches]
    assert levels == sorted(levels) and axes.get_ylim()[0] > axes.get_ylim()[1]
    said = words(picture)
    for one in CLEAR:
        assert one.words in said
    assert "No clear difference: steady spin, crooked launch at 60 yd." in said
    assert "Against vanes count 3." in said
    assert_legible(picture)


def test_the_band_is_drawn_and_inside():
    (axes,) = figure().axes
    found = [tuple(line.get_xdata()) for line in axes.get_lines() if len(line.get_xdata()) == 2]
    for one in CLEAR:
        assert (one.low, one.high) in found
    assert axes.get_xlim()[0] < -0.24


def test_less_and_more_differ_without_color():
    (axes,) = figure().axes
    less, more, _ = axes.patches
    assert less.get_hatch() and not more.get_hatch()
    assert less.get_facecolor()[3] == 0.0 and more.get_facecolor()[3] == 1.0


def test_where_nothing_is_clear_the_picture_says_so(assert_legible, words):
    picture = figure(panel(clear=[]))
    assert not picture.axes
    assert "NO CLEAR DIFFERENCE" in words(picture)
    assert "Looked at: steady spin" in words(picture)
    assert "NO CLEAR" not in words(figure())
    assert_legible(picture)


def test_seven_arrows_share_the_page(assert_legible, words):
    many = [panel(f"vanes length {i} in, height 0.4 in, offset 2 deg", CLEAR * 5) for i in range(7)]
    picture = figure(*many)
    assert_legible(picture)
    assert picture.get_figheight() <= PAGE_HEIGHT + 1e-9
    assert len(picture.axes) == 7
    assert "smaller clear differences" in words(picture)
    drawn = [len(axes.patches) for axes in picture.axes]
    assert min(drawn) >= 1 and max(drawn) - min(drawn) <= 1


def test_the_page_is_no_longer_than_what_is_on_it():
    assert figure(panel(clear=[])).get_figheight() < 3.5
    assert figure().get_figheight() < 5.0


def test_one_scale_for_all_arrows():
    one, other = figure(panel(), panel(clear=CLEAR[2:])).axes
    assert one.get_xlim() == other.get_xlim()


def test_more_arrows_than_the_page_has_room_for_are_refused():
    with pytest.raises(InputProblem, match="at most 8"):
        figure(*[panel()] * 8)
