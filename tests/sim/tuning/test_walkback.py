"""Walk-back points of one cause are read as that cause, and of none as none."""

import numpy as np
import pytest

from demo import INCH, YARD, mill_rig
from vireton.bow.bow import Sight
from vireton.tuning.observations import WalkbackPoint
from vireton.tuning.walkback import ADVICE, WalkbackCauses, responses, weigh_causes

RIG = mill_rig()
FAR = np.array([10, 20, 30, 40, 50, 60]) * YARD
TIGHT = 0.08 * INCH / (20 * YARD)


def points(right, distances=FAR):
    return [WalkbackPoint(float(d), float(x)) for d, x in zip(distances, right, strict=True)]


@pytest.mark.parametrize(("cause", "size"), [("windage", 0.004), ("cant", 0.04)])
def test_one_cause_is_found_with_its_size(cause, size):
    line = size * responses(RIG, FAR)[cause]
    answer = weigh_causes(RIG, points(line), TIGHT)
    assert answer.verdict == cause
    assert answer.words.startswith(ADVICE[cause])
    value, sd = answer.sizes[cause]
    assert value == pytest.approx(size, abs=3 * sd)
    assert sum(answer.probabilities.values()) == pytest.approx(1.0)


def test_a_straight_line_down_is_nothing():
    answer = weigh_causes(RIG, points(np.zeros(6)), TIGHT)
    assert answer.verdict == "nothing"


def test_a_few_scattered_points_cannot_tell():
    answer = weigh_causes(
        RIG, points(np.array([0.0, 0.4]) * INCH, FAR[[1, 2]]), 0.7 * INCH / (20 * YARD)
    )
    assert answer.verdict == "cannot_tell"
    assert "cannot tell between" in answer.words


def test_the_mirror_image_has_the_same_causes():
    line = 0.03 * responses(RIG, FAR)["cant"]
    one, other = (weigh_causes(RIG, points(s * line), TIGHT) for s in (1.0, -1.0))
    assert one.probabilities["cant"] == pytest.approx(other.probabilities["cant"])
    assert one.sizes["cant"][0] == pytest.approx(-other.sizes["cant"][0])


def test_shapes_of_the_causes():
    unit = responses(RIG, FAR)
    # windage is a straight line from the bow; all others are nothing where the sight was set
    assert unit["windage"] / FAR == pytest.approx(np.full(6, unit["windage"][0] / FAR[0]), rel=0.1)
    for cause in ("cant", "wind", "yaw_rate"):
        assert unit[cause][1] == pytest.approx(0.0, abs=1e-9)
    # cant against the drop's own growth: bow top right shoots right beyond the sight-in
    assert unit["cant"][0] < 0.0 < unit["cant"][-1]
    assert unit["wind"][-1] > 0.0


def test_without_a_sight_it_is_sighted_in_first():
    loose = mill_rig(sight=Sight(None, 3.5 * INCH))
    answer = weigh_causes(loose, points(np.zeros(6)), TIGHT)
    assert answer.verdict == "nothing"


def test_one_distance_is_too_few():
    with pytest.raises(ValueError, match="two distances"):
        weigh_causes(RIG, points([0.0], FAR[:1]), TIGHT)


@pytest.mark.parametrize(
    "inches", [[2.0, 0.0, -2.0, -4.0, -6.0, -8.0], [3.0, -4.0, 5.0, -6.0, 7.0, -8.0]]
)
def test_what_no_cause_draws_is_said(inches):
    answer = weigh_causes(RIG, points(np.array(inches) * INCH), TIGHT)
    assert answer.verdict == "none_fits"
    assert "no single cause" in answer.words


@pytest.mark.parametrize(
    ("shares", "named"),
    [
        ((0.3, 0.02, 0.3, 0.2, 0.18), "nothing but scatter, cant of the bow or sight, crosswind "
         "and yaw rate at the launch"),
        ((0.05, 0.73, 0.06, 0.08, 0.08), "sight windage, crosswind and yaw rate at the launch"),
        ((0.0, 0.74, 0.0, 0.09, 0.0), "sight windage and crosswind"),
    ],
)  # fmt: skip
def test_causes_that_cannot_be_told_apart_have_the_names_of_the_table(shares, named):
    keys = ("nothing", "windage", "cant", "wind", "yaw_rate")
    answer = WalkbackCauses(
        FAR, np.zeros(6), dict(zip(keys, shares, strict=True)), {}, {}, "cannot_tell"
    )
    assert answer.words == f"cannot tell between {named}: shoot farther, or more at each distance"
