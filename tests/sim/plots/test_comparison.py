"""Arrows side by side in a picture: every arrow, every panel, legible."""

import numpy as np
import pytest

from vireton.plots.comparison import ComparisonPanel, comparison_figure
from vireton.plots.style import PAPER
from vireton.units.problems import InputProblem

LABELS = ["vanes.count 3", "vanes.count 4, vanes.offset 2 deg", "a third arrow"]


def panel(name="speed at 60 yd", value=(250.0, 245.0, 249.0), clear=(False, True, False)):
    """Invented values with a band of ±3 and a difference of ±1."""
    values = np.array(value)
    return ComparisonPanel(
        name, "fps", values, values - 3.0, values + 3.0, values - 1.0, values + 1.0, clear
    )


def figure(panels=None, labels=LABELS):
    return comparison_figure(
        panels or [panel(f"figure {i}") for i in range(15)],
        labels=labels,
        title="Mill bow, Maple 340",
        band="nine of ten",
    )


def test_it_is_legible(assert_legible):
    assert_legible(figure())


def test_eight_arrows_with_long_names_are_legible(assert_legible, words):
    names = [f"vanes.length {i} in, vanes.height 0.4 in, vanes.offset 2 deg" for i in range(8)]
    many = panel(value=tuple(240.0 + i for i in range(8)), clear=(True,) * 8)
    drawn = figure([many] * 15, labels=names)
    assert_legible(drawn)
    assert f"H   {names[7]}" in words(drawn)


def test_titles_labels_and_band_are_there(words):
    said = " ".join(words(figure()).split())
    for text in ("figure 0 (fps)", "figure 14 (fps)", "vanes.count 3", "nine of ten", "hollow"):
        assert text in said


def test_the_first_value_is_the_line_that_others_are_seen_against():
    (axes,) = figure([panel()]).axes
    assert list(axes.lines[0].get_xdata()) == [250.0, 250.0]
    bars = axes.patches
    assert len(bars) == 2
    assert bars[0].get_x() == pytest.approx(244.0)
    assert bars[0].get_width() == pytest.approx(2.0)


def test_a_difference_that_is_not_clear_is_hollow():
    (axes,) = figure([panel()]).axes
    clear, hollow = axes.patches
    assert clear.get_facecolor()[3] == 1.0
    assert hollow.get_facecolor()[3] == 0.0
    spots = [line for line in axes.lines if line.get_marker() not in {"None", "", None}]
    first, second, third = (line.get_markerfacecolor() for line in spots)
    assert first == third == PAPER
    assert second != PAPER


def test_the_first_arrow_stands_on_top():
    (axes,) = figure([panel()]).axes
    bottom, top = axes.get_ylim()
    assert bottom > top


def test_an_arrow_without_a_value_leaves_its_line_empty():
    nothing = panel(value=(np.nan, 245.0, np.nan))
    empty = panel(value=(np.nan, np.nan, np.nan))
    one, other = figure([nothing, empty]).axes
    assert len(one.patches) == 1
    assert other.get_xlim() == (0.0, 1.0)


def test_equal_values_do_not_blow_up_the_scale():
    same = np.array([400.0, 400.0, 400.0])
    (axes,) = figure(
        [ComparisonPanel("mass", "gr", same, same, same, same, same, (False,) * 3)]
    ).axes
    low, high = axes.get_xlim()
    assert high - low > 5.0


def test_more_arrows_than_markers_are_refused():
    with pytest.raises(InputProblem, match="at most 8"):
        figure([panel()], labels=[str(i) for i in range(9)])
