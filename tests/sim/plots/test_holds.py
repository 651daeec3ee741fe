"""The picture of holds."""

import numpy as np
import pytest

from vireton.plots.curves import ShiftBand
from vireton.plots.holds import HoldCurve, holds_figure

YARD = 0.9144
FAR = np.array([20.0, 40.0, 60.0]) * YARD


def curve(label, right, up):
    shape = (FAR / FAR[-1]) ** 2
    return HoldCurve(
        label,
        ShiftBand(
            right * shape, up * shape, (right - 0.01) * shape, (right + 0.01) * shape,
            (up - 0.01) * shape, (up + 0.01) * shape,
        ),
    )  # fmt: skip


@pytest.fixture(params=["us", "metric"])
def figure(request):
    return holds_figure(
        FAR,
        crosswind=curve("crosswind", 0.16, 0.0),
        heights=[curve("headwind", 0.0, -0.013), curve("tailwind", 0.0, 0.012)],
        slopes=[curve("30° down", 0.0, 0.3), curve("30° up", 0.0, 0.25)],
        crooked=[curve("cant 2°", 0.07, 0.0), curve("level, 30° up", 0.02, 0.0)],
        system=request.param,
        title="Mill bow, Maple 340: what to hold for",
        wind=4.4704,
    )


def test_every_curve_is_named_and_legible(figure, words, assert_legible):
    said = words(figure)
    for name in ("headwind", "tailwind", "30° down", "cant 2°", "lands high", "lands right"):
        assert name in said
    assert_legible(figure)


def test_panels_hold_what_was_given(figure):
    drift = [line for line in figure.axes[0].lines if len(line.get_xdata()) == 3]
    ratio = drift[0].get_ydata() / drift[-1].get_ydata()
    assert np.isfinite(ratio).all()
    assert len(figure.axes) == 4
