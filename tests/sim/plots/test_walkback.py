"""Walk-back points and the lines of their causes."""

import numpy as np
import pytest

from vireton.plots.walkback import walkback_figure

INCH, YARD = 0.0254, 0.9144
FAR = np.array([40.0, 20.0, 60.0]) * YARD  # as they were shot, not in order
SEEN = np.array([0.5, 0.1, 1.2]) * INCH
CURVES = {"sight windage, 60 %": SEEN, "cant of the bow or sight, 40 %": 0.5 * SEEN}


def figure(system="us"):
    return walkback_figure(
        FAR, SEEN, 0.01 * FAR * INCH, CURVES, system=system, title="Walk-back (invented)"
    )


def test_points_and_lines_in_order_of_distance_and_right_up():
    axes = figure().axes[0]
    lines = [line for line in axes.lines if len(line.get_xdata()) == 3]
    for line in lines:
        assert list(line.get_xdata()) == pytest.approx([20.0, 40.0, 60.0])
    assert lines[0].get_ydata() == pytest.approx([0.1, 0.5, 1.2])
    assert "(yd)" in axes.get_xlabel()
    assert "(in)" in axes.get_ylabel()
    words = [text.get_text() for text in axes.texts]
    assert any("right" in word for word in words)


def test_every_cause_has_its_name_and_probability_at_its_line(words, assert_legible):
    picture = figure()
    said = words(picture).replace("\n", " ").replace("\u00a0", " ")
    for name in CURVES:
        assert name in said
    assert_legible(picture)


def test_metric():
    axes = figure("metric").axes[0]
    assert "(m)" in axes.get_xlabel()
    assert "(cm)" in axes.get_ylabel()
