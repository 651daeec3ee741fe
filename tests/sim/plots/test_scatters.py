"""Groups in the archer's view: places, scale, words."""

import math

import numpy as np
import pytest
from matplotlib.patches import Circle, Ellipse

from vireton.plots import MOST_PANELS, ShotCloud, scatter_figure
from vireton.units.problems import InputProblem

INCH = 0.0254


def cloud(label="fletched", right=1.0, up=-2.0, lean=0.0):
    shots = np.array([[1.0, 2.0], [-3.0, 0.5], [np.nan, np.nan]]) * INCH
    return ShotCloud(
        label, shots, np.array([right, up]) * INCH, (3.0 * INCH, 1.5 * INCH), lean, "92 %"
    )


def figure(count=2, system="us", **options):
    distances = [18.288 * (i + 1) for i in range(count)]
    clouds = [[cloud(), cloud("bare", **options)] for _ in range(count)]
    return scatter_figure(distances, clouds, target=8 * INCH, system=system, title="a bow")


def test_every_distance_has_a_panel_to_one_scale():
    axes = [one for one in figure(3).axes if one.axison]
    assert [one.get_title(loc="left") for one in axes] == ["20 yd", "40 yd", "60 yd"]
    for one in axes:
        assert one.get_aspect() == 1.0
        assert one.get_xlim() == one.get_ylim()
        assert "(in)" in one.get_xlabel()
        assert "(in)" in one.get_ylabel()


def test_target_shots_ellipse_and_middle_stand_where_they_are():
    axes = figure(1, right=2.0, up=5.0, lean=math.radians(30.0)).axes[0]
    target = next(one for one in axes.patches if type(one) is Circle)
    assert target.radius == pytest.approx(4.0)
    ellipse = [one for one in axes.patches if type(one) is Ellipse][1]
    assert ellipse.center == pytest.approx((2.0, 5.0))
    assert (ellipse.width, ellipse.height, ellipse.angle) == pytest.approx((6.0, 3.0, 30.0))
    shots = next(line for line in axes.lines if line.get_marker() == "s")
    assert shots.get_xdata()[:2] == pytest.approx([1.0, -3.0])
    assert shots.get_ydata()[:2] == pytest.approx([2.0, 0.5])


def test_the_panel_holds_ellipse_and_target():
    axes = figure(1, right=0.0, up=20.0).axes[0]
    assert axes.get_ylim()[1] > 23.0


def test_metric():
    axes = figure(1, system="metric").axes[0]
    target = next(one for one in axes.patches if type(one) is Circle)
    assert target.radius == pytest.approx(4.0 * 2.54)
    assert "(cm)" in axes.get_xlabel()
    assert axes.get_title(loc="left") == "18.29 m"


@pytest.mark.parametrize("count", range(1, MOST_PANELS + 1))
def test_every_panel_says_how_many_hit_and_a_key_says_what_is_drawn(count, words, assert_legible):
    picture = figure(count)
    said = words(picture).replace("\n", " ")
    assert said.count("fletched: 92 % inside") == said.count("bare: 92 % inside") == count
    for text in (
        "fletched: shots, oval of 19 in 20", "target, 8 in across", "middle of each kind",
        "not ours to say",
    ):  # fmt: skip
        assert said.count(text) == 1
    assert_legible(picture)


def test_kinds_and_target_differ_without_color():
    axes = figure(1).axes[0]
    ovals = [one for one in axes.patches if type(one) is Ellipse]
    assert ovals[0].get_linestyle() != ovals[1].get_linestyle()
    target = next(one for one in axes.patches if type(one) is Circle)
    assert target.get_linewidth() > 2.0 * max(one.get_linewidth() for one in ovals)
    markers = {line.get_marker() for line in axes.lines} - {"None", "x"}
    assert len(markers) == 2


def test_what_has_no_room_is_refused():
    with pytest.raises(InputProblem, match="1 to 6"):
        figure(MOST_PANELS + 1)
    with pytest.raises(InputProblem, match="told apart"):
        scatter_figure(
            [20.0], [[cloud(str(i)) for i in range(9)]], target=1.0, system="us", title=""
        )
