"""Broadhead against field point: signs, units, bands, words."""

import numpy as np
import pytest

from vireton.plots import BroadheadCurve, ShiftBand, broadhead_figure

INCH, YARD = 0.0254, 0.9144


def curve(**changes):
    """Invented values with an even band."""
    right, up = np.array([0.0, 0.1, 0.3]) * INCH, np.array([0.4, 1.5, 3.0]) * INCH
    rate = np.array([3.0, 8.0, 13.0]) * INCH
    values = {
        "distance": np.array([20.0, 40.0, 60.0]) * YARD,
        "separation": ShiftBand(right, up, right - 0.01, right + 0.01, up - 0.01, up + 0.01),
        "per_rate": rate,
        "per_rate_low": 0.5 * rate,
        "per_rate_high": 2.0 * rate,
    }
    return BroadheadCurve(**(values | changes))


def drawn(axes):
    return next(line for line in axes.lines if line.get_marker() == "o")


def test_three_panels_with_units_and_signs():
    figure = broadhead_figure(curve(), system="us", title="a bow", band="all of it")
    up, right, turned = figure.axes
    assert drawn(up).get_ydata() == pytest.approx([0.4, 1.5, 3.0])
    assert drawn(right).get_ydata() == pytest.approx([0.0, 0.1, 0.3])
    assert drawn(turned).get_ydata() == pytest.approx([0.3, 0.8, 1.3])
    assert drawn(turned).get_xdata() == pytest.approx([20.0, 40.0, 60.0])
    assert "(in)" in up.get_ylabel()
    assert "(yd)" in turned.get_xlabel()
    ends = {text.get_text() for text in up.texts}
    assert ends == {"← head low", "head high →"}


def test_metric():
    figure = broadhead_figure(curve(), system="metric", title="a bow", band="all")
    assert drawn(figure.axes[0]).get_ydata() == pytest.approx(np.array([0.4, 1.5, 3.0]) * 2.54)
    assert drawn(figure.axes[2]).get_xdata() == pytest.approx(np.array([20.0, 40.0, 60.0]) * 0.9144)


@pytest.mark.parametrize("is_open", [True, False])
def test_words_tell_the_band_and_whether_the_side_is_open(is_open):
    figure = broadhead_figure(
        curve(sideways_open=is_open), system="us", title="a $bow", band="nine of ten"
    )
    words = " ".join(text.get_text() for text in figure.texts)
    assert "nine of ten" in words
    assert ("open until this bow has shown it" in words) is is_open


def test_a_side_that_stays_at_zero_is_left_out_and_named():
    still = np.zeros(3)
    up = np.array([0.4, 1.5, 3.0]) * INCH
    apart = ShiftBand(still, up, still, still, up - 0.01, up + 0.01)
    figure = broadhead_figure(curve(separation=apart), system="us", title="a bow", band="all")
    assert len(figure.axes) == 2
    words = " ".join(text.get_text() for text in figure.texts)
    assert "nothing leaves 0 at its scale: sideways, as this bow shoots them." in words
