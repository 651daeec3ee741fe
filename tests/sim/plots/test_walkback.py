"""Walk-back points as the target shows them."""

import numpy as np
import pytest

from vireton.plots.walkback import Walked, walkback_figure

INCH, YARD = 0.0254, 0.9144
FAR = np.array([20.0, 40.0, 60.0]) * YARD
SEEN = Walked(
    FAR,
    np.array([0.1, -0.5, -1.2]) * INCH,
    np.array([0.0, -16.0, -52.0]) * INCH,
    np.array([0.5, 1.0, 1.5]) * INCH,
)
LINE = Walked(FAR, np.array([-0.3, -0.6, -0.9]) * INCH, SEEN.up, np.array([0.4, 0.8, 1.2]) * INCH)


def figure(system="us", seen=SEEN):
    return walkback_figure(seen, LINE, "cant, 81 %", system=system, title="Walk-back (invented)")


def test_left_is_left_and_far_is_low():
    axes = figure().axes[0]
    shown = next(box for box in axes.containers if box.lines[0].get_marker() == "o").lines[0]
    assert list(shown.get_xdata()) == pytest.approx([0.1, -0.5, -1.2])
    assert list(shown.get_ydata()) == pytest.approx([0.0, -16.0, -52.0])
    left, right = axes.get_xlim()
    low, high = axes.get_ylim()
    assert left < -2.7  # the far point's error is inside of the panel
    assert right == -left  # the plumb line hangs in the middle
    assert low < -52.0
    assert high > 0.0
    assert "← left" in axes.get_xlabel()
    assert axes.get_xlabel().endswith("right →")
    assert axes.get_ylabel().startswith("← low") and axes.get_ylabel().endswith("high →")
    assert axes.transData.transform((1.0, 0.0))[0] > axes.transData.transform((0.0, 0.0))[0]
    assert axes.transData.transform((0.0, 1.0))[1] > axes.transData.transform((0.0, 0.0))[1]


def test_every_distance_has_its_name_and_the_line_its_own(words, assert_legible):
    picture = figure()
    said = words(picture).replace("\n", " ")
    for name in ("from 20 yd", "from 40 yd", "from 60 yd", "cant, 81 %", "plumb line"):
        assert name in said
    assert_legible(picture)


def test_the_fitted_line_lies_in_its_band_and_both_are_in_the_key():
    axes = figure().axes[0]
    (band,) = [one for one in axes.collections if one.get_hatch()]
    corners = band.get_paths()[0].vertices
    for side, sign in (("low", -1.0), ("high", 1.0)):
        ends = corners[np.isclose(corners[:, 1], -52.0)][:, 0]
        edge = ends.min() if side == "low" else ends.max()
        assert edge == pytest.approx(-0.9 + sign * 1.2)
    dashed = [line for line in axes.get_lines() if line.is_dashed()]
    assert any(list(one.get_xdata()) == pytest.approx([-0.3, -0.6, -0.9]) for one in dashed)
    names = [text.get_text() for text in axes.get_legend().get_texts()]
    assert "cant, 81 %, and its 95 % band" in names and "aim point" in names


def test_points_of_one_distance_are_named_once(words):
    twice = Walked(*(np.repeat(getattr(SEEN, k), 2) for k in ("distance", "right", "up", "error")))
    assert words(figure(seen=twice)).count("from") == 3


def test_metric(words):
    picture = figure("metric")
    assert "(cm)" in picture.axes[0].get_xlabel()
    assert "from 18.3 m" in words(picture)
