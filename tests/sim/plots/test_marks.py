"""The picture of sight marks."""

import numpy as np
import pytest

from vireton.plots.marks import MarkCurve, marks_figure

YARD, INCH = 0.9144, 0.0254
FAR = np.arange(10.0, 101.0, 10.0) * YARD
MARK = (1.0 + 0.002 * FAR**1.5) * INCH  # invented


def figure(system="us", stretch=1.0, downwards=True):
    sign = 1.0 if downwards else -1.0
    mark = sign * stretch * MARK
    curve = MarkCurve(FAR, mark, mark - 1e-3, mark + 1e-3)
    return marks_figure(
        FAR, mark, curve, shots=[(FAR[1], mark[1])], downwards=downwards, system=system,
        title="Mill bow, Maple 340: sight marks",
    )  # fmt: skip


def test_the_strip_is_in_true_size_and_farther_is_lower():
    page = figure()
    strip = page.axes[0]
    high = strip.get_position().height * page.get_size_inches()[1]
    top, bottom = sorted(strip.get_ylim())
    assert high == pytest.approx(bottom - top)  # its axis is in inches
    lines = [line.get_ydata()[0] for line in strip.lines if line.get_xdata()[0] == 0.0]
    assert np.ptp(lines) == pytest.approx(np.ptp(MARK) / INCH)
    places = {t.get_text(): t.get_position()[1] for t in strip.texts}
    low, up = strip.get_ylim()
    assert low > up  # the axis runs down the page
    assert places["100 yd"] > places["20 yd"]
    ruler = next(axes for axes in page.axes if not axes.axison)
    wide = ruler.get_position().width * page.get_size_inches()[0]
    assert wide == pytest.approx(1.0)


@pytest.mark.parametrize("count", [10, 46, 91])
def test_names_stand_inside_the_strip_and_none_is_cut(count, assert_legible):
    far = np.linspace(10.0, 100.0, count) * YARD
    mark = (1.0 + 0.002 * far**1.5) * INCH
    page = marks_figure(
        far, mark, MarkCurve(far, mark, mark - 1e-3, mark + 1e-3), shots=[], downwards=True,
        system="us", title="Mill bow, Maple 340: sight marks",
    )  # fmt: skip
    assert_legible(page)
    strip = page.axes[0]
    assert len(strip.texts) >= min(count, 5)
    for text in strip.texts:
        box = text.get_window_extent()
        assert strip.bbox.x0 < box.x0 and box.x1 < strip.bbox.x1, text.get_text()
        assert strip.bbox.y0 <= box.y0 and box.y1 <= strip.bbox.y1, text.get_text()
    # every line has its place, named or not
    assert sum(line.get_xdata()[0] == 0.0 for line in strip.lines) == count


def test_a_bar_whose_number_falls_has_farther_lower_too():
    strip = figure(downwards=False).axes[0]
    places = {t.get_text(): t.get_position()[1] for t in strip.texts}
    assert places["100 yd"] > places["20 yd"]


def test_a_strip_that_does_not_fit_says_so(words):
    assert "NOT true size" in words(figure(stretch=6.0))


@pytest.mark.parametrize("system", ["us", "metric"])
def test_legible(system, assert_legible):
    assert_legible(figure(system))
