"""Bare against fletched on the face: the archer's sides, the ellipses, the tolerance."""

import numpy as np
import pytest
from matplotlib.patches import Ellipse

from vireton.plots.tuning import SeparationSpot, tuning_figure

INCH = 0.0254
RANDOM = np.random.default_rng(3)
NOW = RANDOM.multivariate_normal(
    np.array([-2.0, 0.5]) * INCH, np.diag([1.0, 0.25]) * INCH**2, 20_000
)
SPOTS = [
    SeparationSpot("round 1", np.array([-3.0, 0.6]) * INCH, 0.5 * INCH),
    SeparationSpot("round 2", np.array([-1.0, 0.4]) * INCH, 0.5 * INCH),
]


AIM = np.array([0.0, 0.6]) * INCH


def figure(after=None, spots=SPOTS, system="us"):
    return tuning_figure(
        spots,
        NOW,
        after,
        system=system,
        tolerance=0.5 * INCH,
        title="Mill bow (invented)",
        aim=AIM,
    )


def ellipses(fig):
    return [patch for patch in fig.axes[0].patches if isinstance(patch, Ellipse)]


def test_the_tolerance_stands_about_the_aim():
    (circle,) = (one for one in ellipses(figure()) if one.width == one.height)
    assert circle.center == pytest.approx((0.0, 0.6))
    assert circle.width == pytest.approx(1.0)


def test_left_is_left_and_up_is_up():
    axes = figure().axes[0]
    places = {t.get_text(): t.xy for t in axes.texts}
    assert places["round 1"] == pytest.approx((-3.0, 0.6))
    assert "left" in axes.get_xlabel()
    assert axes.get_xlabel().index("left") < axes.get_xlabel().index("right")
    low, high = axes.get_xlim()
    assert low < -3.0 < high == -low


def test_the_ellipse_holds_95_of_100():
    (tolerance, now) = ellipses(figure())
    assert tolerance.width == pytest.approx(1.0)
    assert now.center == pytest.approx((-2.0, 0.5), abs=0.03)
    # 2·√5.991 standard deviations (chi-square, 2 degrees of freedom)
    sizes = sorted([now.width, now.height])
    assert sizes == pytest.approx([2 * 2.4477 * 0.5, 2 * 2.4477 * 1.0], rel=0.03)


def test_the_advised_move_has_its_own_hatched_ellipse():
    found = ellipses(figure(after=NOW + np.array([2.0, 0.0]) * INCH))
    assert len(found) == 3
    assert found[2].get_hatch()
    assert not found[1].get_hatch()
    assert found[2].center == pytest.approx((0.0, 0.5), abs=0.05)


def test_metric_and_without_rounds():
    axes = figure(spots=[], system="metric").axes[0]
    assert "cm" in axes.get_xlabel()
    assert axes.get_xlim()[1] > 5.0


def test_ellipses_carry_their_names_and_no_cross_is_cut_off():
    picture = figure(after=NOW + np.array([2.0, 0.0]) * INCH)
    axes = picture.axes[0]
    said = [text.get_text() for text in axes.texts]
    assert {"now (95 %)", "after the move (95 %)", "tolerance"} <= set(said)
    # the left end of round 1's cross: 3 in and half an inch of error
    assert axes.get_xlim()[0] < -3.5
    assert axes.bbox.width == pytest.approx(axes.bbox.height)


def test_a_move_is_explained_only_where_one_is_drawn():
    def words(fig):
        return " ".join(" ".join(text.get_text() for text in fig.texts).split())

    assert "advised move" not in words(figure())
    assert "advised move" in words(figure(after=NOW))
