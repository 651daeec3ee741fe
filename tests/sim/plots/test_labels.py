"""Labels beside points: none over another, none over a point, none outside the panel."""

import numpy as np
import pytest
from matplotlib.figure import Figure

from vireton.plots.labels import label_points
from vireton.plots.style import our_look


@pytest.mark.parametrize(
    "points",
    [
        [[0.0, 0.0], [0.02, 0.0], [0.0, 0.02], [0.01, 0.01]],  # almost one place
        [[-0.98, -0.98], [0.98, 0.98], [0.98, -0.98], [-0.98, 0.98]],  # in the corners
        [[x, 0.0] for x in np.linspace(-0.9, 0.9, 8)],
    ],
)
def test_labels_stay_apart_and_inside(points, assert_legible):
    with our_look():
        figure = Figure(figsize=(7.0, 5.0))
        axes = figure.add_axes((0.1, 0.1, 0.8, 0.8))
        axes.set(xlim=(-1.0, 1.0), ylim=(-1.0, 1.0))
        label_points(axes, np.array(points), [f"round {k}" for k in range(len(points))])
    assert_legible(figure)
    for text in (one for one in axes.texts if one.get_text()):
        box = text.get_window_extent()
        assert axes.bbox.x0 <= box.x0 and box.x1 <= axes.bbox.x1
        assert axes.bbox.y0 <= box.y0 and box.y1 <= axes.bbox.y1
        for at in axes.transData.transform(points):
            assert not box.contains(*at)


def test_a_label_that_stands_far_off_is_tied_to_its_point():
    with our_look():
        figure = Figure(figsize=(7.0, 5.0))
        axes = figure.add_axes((0.1, 0.1, 0.8, 0.8))
        axes.set(xlim=(-1.0, 1.0), ylim=(-1.0, 1.0))
        label_points(axes, np.zeros((12, 2)), [f"round {k}" for k in range(12)])
        tied = [text for text in axes.texts if text.arrow_patch]
    assert 0 < len(tied) < 12


def test_what_is_to_be_kept_free_is():
    with our_look():
        figure = Figure(figsize=(7.0, 5.0))
        axes = figure.add_axes((0.1, 0.1, 0.8, 0.8))
        axes.set(xlim=(-1.0, 1.0), ylim=(-1.0, 1.0))
        kept = np.array([[0.05, 0.06], [0.1, 0.06], [0.15, 0.06]])
        label_points(axes, np.zeros((1, 2)), ["round 1"], kept)
        figure.draw_without_rendering()
    (text,) = axes.texts
    for at in axes.transData.transform(kept):
        assert not text.get_window_extent().contains(*at)
