"""Bands of single arrows and of differences: common draws make the second narrow."""

from dataclasses import replace

import numpy as np
import pytest

from demo import CONDITIONS, FPS, GRAIN, MAPLE, MILL, RANGES, YARD, mill_rig
from vireton.bow.arrow import assemble
from vireton.bow.bow import Sight
from vireton.launch import speed_on_bow
from vireton.rig import assemble_rig
from vireton.studies.compare import WHOLE, compare, contender, verdict
from vireton.uncertain import Banded

TARGETS = np.array([20.0, 60.0]) * YARD
BASE = assemble(MAPLE)


def on_the_bow(label, parts, **options):
    """Another arrow on the demo bow, its speed from what the bow stores."""
    arrow = assemble(parts)
    bow = replace(MILL, arrow_speed=speed_on_bow(MILL, BASE, MILL, arrow))
    rig = assemble_rig(bow, parts, CONDITIONS, Sight(None, 0.0))
    return contender(label, rig, RANGES, measured_bow=MILL, measured_arrow=BASE, **options)


def vanes(**changes):
    return replace(MAPLE, vanes=replace(MAPLE.vanes, **changes))


@pytest.fixture(scope="module")
def three_and_four():
    return compare(
        [on_the_bow("three", MAPLE), on_the_bow("four", vanes(count=4))], TARGETS, draws=24
    )


def width(values, place=WHOLE):
    return float(values.high[place] - values.low[place])


def test_the_same_arrow_twice_differs_by_nothing():
    _, again = compare([on_the_bow("a", MAPLE), on_the_bow("b", MAPLE)], TARGETS, draws=8)
    for name, change in again.differences.items():
        for values in (change.nominal, change.low, change.high):
            assert np.abs(values).max() == 0.0, name
        place = WHOLE if change.nominal.ndim == 0 else 0
        assert again.verdict(name, place) == "no_clear_difference"


def test_the_first_differs_from_itself_by_nothing(three_and_four):
    assert all(np.all(v.high == 0.0) for v in three_and_four[0].differences.values())


def test_the_band_of_a_difference_is_narrower_than_two_bands(three_and_four):
    three, four = three_and_four
    for name in ("speed", "drop", "drift", "kinetic_energy"):
        alone = width(three.figures[name], 1) + width(four.figures[name], 1)
        assert width(four.differences[name], 1) < 0.4 * alone, name


def test_a_difference_can_be_clear_although_the_bands_overlap(three_and_four):
    three, four = three_and_four
    assert three.figures["yaw_wavelength"].low < four.figures["yaw_wavelength"].high
    assert four.verdict("yaw_wavelength") == "lower"
    assert four.verdict("drag_coefficient") == "higher"
    assert four.verdict("mass") == "higher"
    assert four.verdict("speed", 1) == "lower"


def test_bands_hold_their_values(three_and_four):
    for one in three_and_four:
        for values in (*one.figures.values(), *one.differences.values()):
            assert np.all(values.low <= values.nominal)
            assert np.all(values.nominal <= values.high)


def test_draws_come_from_the_seed():
    pair = [on_the_bow("a", MAPLE), on_the_bow("b", vanes(count=4))]
    first, again, other = (compare(pair, TARGETS, draws=8, seed=s)[1] for s in (1, 1, 2))
    assert np.array_equal(first.differences["drop"].low, again.differences["drop"].low)
    assert not np.array_equal(first.differences["drop"].low, other.differences["drop"].low)


def test_a_heavier_arrow_flies_slower_with_more_energy():
    heavy = replace(MAPLE, point=replace(MAPLE.point, mass=150 * GRAIN))
    light, slow = compare([on_the_bow("100", MAPLE), on_the_bow("150", heavy)], TARGETS, draws=8)
    assert slow.verdict("launch_speed") == "lower"
    assert slow.verdict("kinetic_energy", 0) == "higher"
    assert slow.verdict("drop", 1) == "higher"
    # the bow's own speed is shared: its error drops out but for (v/v₀)³, seven eighths here
    assert width(slow.differences["launch_speed"]) < 0.2 * width(light.figures["launch_speed"])


def test_speeds_of_separate_files_err_each_by_itself():
    rigs = [mill_rig(), mill_rig(arrow_speed=281 * FPS)]
    ranges = [RANGES, {**RANGES, "arrow_speed": (279 * FPS, 283 * FPS)}]
    pair = [
        contender(f"file {i}", rig, some, file=i)
        for i, (rig, some) in enumerate(zip(rigs, ranges, strict=True))
    ]
    one, other = compare(pair, TARGETS, draws=32)
    assert other.verdict("launch_speed") == "no_clear_difference"
    assert width(other.differences["launch_speed"]) > width(one.figures["launch_speed"])
    # but the air is the same for both
    assert width(other.differences["drag_coefficient"]) < 0.05 * width(
        one.figures["drag_coefficient"]
    )


def test_other_bows_do_not_share_what_nobody_knows_of_a_bow():
    known = {**RANGES, "arrow_speed": (280 * FPS, 280 * FPS)}
    low = replace(MILL.rest, offset_up=0.003)
    rig = mill_rig(rest=low)
    own, same = (
        compare(
            [contender("a", rig, known), contender("b", other, known, file=1)], TARGETS, draws=16
        )[1]
        for other in (mill_rig(rest=low, name="another bow"), rig)
    )
    assert width(same.differences["drop"], 1) < 1e-9
    assert width(own.differences["drop"], 1) > 1e-3


def banded(value, low, high):
    return Banded(*(np.asarray(float(v)) for v in (value, low, high)))


@pytest.mark.parametrize(
    ("value", "low", "high", "said"),
    [
        (2.0, 1.0, 3.0, "higher"),
        (-2.0, -3.0, -1.0, "lower"),
        (2.0, -0.1, 3.0, "no_clear_difference"),
        (2.0, 0.0, 3.0, "no_clear_difference"),
        (1.1, 0.8, 1.2, "no_clear_difference"),
        (-1.1, -1.2, -0.8, "no_clear_difference"),
        (0.0, 0.0, 0.0, "no_clear_difference"),
        (float("nan"), 0.0, 1.0, "cannot_tell"),
        (2.0, float("nan"), 3.0, "cannot_tell"),
    ],
)
def test_verdicts(value, low, high, said):
    assert verdict(banded(value, low, high), 1.0) == said


def test_wind_slope_and_sight_of_the_rig_are_left_out():
    plain = contender("a", mill_rig(), RANGES)
    assert plain.rig.sight.sight_in is None
    assert plain.rig.aim.elevation == 0.0
    assert (plain.rig.conditions.wind.towards_right, plain.rig.conditions.slope) == (0.0, 0.0)
