"""The rest's path and bare against fletched: the archer's sides, the bands, the tolerance."""

import numpy as np
import pytest
from matplotlib.patches import Ellipse, Rectangle

from vireton.plots.tuning import RestPath, RestStand, SeparationSpot, tuning_figure

INCH = 0.0254
RANDOM = np.random.default_rng(3)
NOW = RANDOM.multivariate_normal(
    np.array([-2.0, 0.5]) * INCH, np.diag([1.0, 0.25]) * INCH**2, 20_000
)
SPOTS = [
    SeparationSpot("round 1", np.array([-3.0, 0.6]) * INCH, 0.5 * INCH),
    SeparationSpot("round 2", np.array([-1.0, 0.4]) * INCH, 0.5 * INCH),
]
STEP = INCH / 32.0
BEST = RANDOM.normal([-1.0, 2.0], [0.5, 1.0], (20_000, 2)) * STEP
AIM = np.array([0.0, 0.6]) * INCH


def path(*stands, advised=None):
    """Settings in 32nds; the last is where the rest stands."""
    return RestPath(
        [RestStand(str(k + 1), np.array(at) * STEP) for k, at in enumerate(stands)],
        np.array(stands[-1]) * STEP,
        None if advised is None else np.array(advised) * STEP,
        "next: rest up 1/16 in",
        BEST,
    )


FORTH_AND_BACK = path((0, 0), (1, 0), (-2, 0), (0, 0), advised=(0, 2))


def figure(after=None, spots=SPOTS, system="us", rest=FORTH_AND_BACK):
    return tuning_figure(
        rest,
        spots,
        NOW,
        after,
        system=system,
        tolerance=0.5 * INCH,
        title="Mill bow (invented): rest up 1/16 in",
        why="6 in 10 that it helps.",
        aim=AIM,
    )


def face(fig):
    return fig.axes[1]


def ellipses(fig):
    return [patch for patch in face(fig).patches if isinstance(patch, Ellipse)]


def key(axes):
    return [text.get_text() for text in axes.get_legend().get_texts()]


def arrows(axes):
    """(from, to) of every arrow."""
    return [
        (one.xyann, one.xy)
        for one in axes.texts
        if getattr(one, "arrow_patch", None) and one.arrowprops["arrowstyle"] == "-|>"
    ]


def test_the_tolerance_stands_about_the_aim():
    (circle,) = (one for one in ellipses(figure()) if one.width == one.height)
    assert circle.center == pytest.approx((0.0, 0.6))
    assert circle.width == pytest.approx(1.0)


def test_left_is_left_and_up_is_up():
    axes = face(figure())
    places = {t.get_text(): t.xy for t in axes.texts}
    assert places["round 1"] == pytest.approx((-3.0, 0.6))
    assert axes.get_xlabel().index("left") < axes.get_xlabel().index("right")
    assert axes.get_xlim()[0] < -3.0 < 0.0 < axes.get_xlim()[1]


def test_the_ellipse_holds_95_of_100():
    (tolerance, now) = ellipses(figure())
    assert tolerance.width == pytest.approx(1.0)
    assert now.center == pytest.approx((-2.0, 0.5), abs=0.03)
    # 2·√5.991 standard deviations (chi-square, 2 degrees of freedom)
    sizes = sorted([now.width, now.height])
    assert sizes == pytest.approx([2 * 2.4477 * 0.5, 2 * 2.4477 * 1.0], rel=0.03)


def test_the_advised_move_has_its_own_hatched_ellipse_and_name():
    picture = figure(after=NOW + np.array([2.0, 0.0]) * INCH)
    found = ellipses(picture)
    assert len(found) == 3
    assert found[2].get_hatch()
    assert not found[1].get_hatch()
    assert found[2].center == pytest.approx((0.0, 0.5), abs=0.05)
    assert "after the move (95 %)" in key(face(picture))
    assert "after the move (95 %)" not in key(face(figure()))


def test_metric_and_without_rounds():
    picture = figure(spots=[], system="metric", rest=path((0, 0)))
    assert "cm" in face(picture).get_xlabel()
    assert "mm" in picture.axes[0].get_xlabel()
    assert face(picture).get_xlim()[0] < -2.0 * 2.54


def test_no_cross_is_cut_off_and_one_scale_both_ways():
    for axes in figure(after=NOW + np.array([2.0, 0.0]) * INCH).axes:
        wide, high = np.ptp(axes.get_xlim()), np.ptp(axes.get_ylim())
        assert axes.bbox.width / axes.bbox.height == pytest.approx(wide / high)
    # the left end of round 1's cross: 3 in and half an inch of error
    assert axes.get_xlim()[0] < -3.5


def test_the_rest_goes_by_arrows_from_setting_to_setting():
    axes = figure().axes[0]
    found = arrows(axes)
    assert found[:3] == [((0, 0), (1, 0)), ((1, 0), (-2, 0)), ((-2, 0), (0, 0))]
    assert found[3] == ((0, 0), (0, 2))  # the advice
    texts = {text.get_text(): text.xy for text in axes.texts}
    assert texts["rounds 1, 4"] == pytest.approx((0.0, 0.0))
    assert texts["round 3"] == pytest.approx((-2.0, 0.0))
    assert texts["next: rest up 1/16 in"] == pytest.approx((0.0, 2.0))
    assert axes.get_xlabel().index("left") < axes.get_xlabel().index("right")


def test_the_band_of_the_best_setting_holds_nine_of_ten_each_way():
    (box,) = (one for one in figure().axes[0].patches if isinstance(one, Rectangle))
    low, size = np.array(box.get_xy()), np.array([box.get_width(), box.get_height()])
    # 1.645 standard deviations either side
    assert low + 0.5 * size == pytest.approx([-1.0, 2.0], abs=0.04)
    assert size == pytest.approx([2 * 1.645 * 0.5, 2 * 1.645 * 1.0], rel=0.03)
    assert box.get_hatch()


def test_without_a_move_nothing_is_advised_on_the_picture():
    axes = figure(rest=path((0, 0), (1, 0))).axes[0]
    assert arrows(axes) == [((0, 0), (1, 0))]
    assert "advised" not in key(axes) and "advised" in key(figure().axes[0])


@pytest.mark.parametrize(
    "rest",
    [
        FORTH_AND_BACK,
        path((0, 0)),
        path((0, 0), (1, 0), (1, 1), (0, 1), (0.5, 0.5), (0.25, 0.5), advised=(0.25, 0.25)),
        path(*((k % 3, k // 3) for k in range(9)), advised=(2, 3)),
    ],
)
def test_no_label_lies_over_another(rest, assert_legible):
    near = [
        SeparationSpot(f"round {k + 1}", np.array([0.1 * k, 0.05 * k]) * INCH, 0.4 * INCH)
        for k in range(6)
    ]
    assert_legible(figure(after=NOW + np.array([2.0, 0.0]) * INCH, spots=near, rest=rest))


def test_the_panels_use_the_page():
    rest, target = (axes.get_position() for axes in figure().axes)
    assert rest.width > 0.8 and target.width > 0.8
    # what is no panel: heading, two keys, two axes
    assert rest.height + target.height > 0.66
