"""The answer by spine: signs, units, bands, names."""

import numpy as np
import pytest

from vireton.plots import ShiftBand, SpineCurve, spine_figure
from vireton.units.problems import InputProblem

INCH = 0.0254
SPINES = np.array([0.3, 0.4, 0.5]) * INCH


def shift(right, up, width):
    """Invented values (3,) with an even band."""
    right, up = np.asarray(right, dtype=float), np.asarray(up, dtype=float)
    return ShiftBand(right, up, right - width, right + width, up - width, up + width)


def curve(label="100 gr", factor=1.0):
    return SpineCurve(
        label,
        SPINES,
        yaw_rate=shift(factor * np.array([0.2, 0.1, -0.1]), [0.2, 0.15, 0.1], 0.05),
        separation=shift(
            np.array([0.6, 0.2, -0.4]) * INCH, np.array([0.5, 0.4, 0.2]) * INCH, 0.002
        ),
    )


def drawn(axes):
    """Values of the line through the markers."""
    return next(line for line in axes.lines if line.get_marker() == "o").get_ydata()


def test_four_panels_with_units_and_signs():
    figure = spine_figure([curve()], system="us", title="a bow", band="all of it")
    assert len(figure.axes) == 4
    right, up, apart, apart_up = figure.axes
    assert drawn(right) == pytest.approx([0.2, 0.1, -0.1])
    assert drawn(up) == pytest.approx([0.2, 0.15, 0.1])
    assert drawn(apart) == pytest.approx([0.6, 0.2, -0.4])
    assert drawn(apart_up) == pytest.approx([0.5, 0.4, 0.2])
    assert "rad/s" in right.get_ylabel()
    assert "(in)" in apart.get_ylabel()
    assert "in" in apart.get_xlabel()
    assert "side open" in right.get_title(loc="left")
    assert "open" not in up.get_title(loc="left")


def test_metric_separations():
    figure = spine_figure([curve()], system="metric", title="a bow", band="all of it")
    assert drawn(figure.axes[2]) == pytest.approx(np.array([0.6, 0.2, -0.4]) * 2.54)


def test_words_tell_the_band_and_that_the_side_is_open():
    figure = spine_figure([curve()], system="us", title="a bow", band="nine of ten")
    words = " ".join(text.get_text() for text in figure.texts)
    assert "nine of ten" in words
    assert "open until this bow has shown it" in words


def test_several_curves_are_named_at_their_ends():
    figure = spine_figure(
        [curve("100 gr"), curve("150 gr", 0.5)], system="us", title="a bow", band="all"
    )
    names = {text.get_text() for axes in figure.axes for text in axes.texts}
    assert {"100 gr", "150 gr"} <= names


def test_too_many_curves_are_refused():
    with pytest.raises(InputProblem, match="at most 8"):
        spine_figure([curve(str(i)) for i in range(9)], system="us", title="", band="")
