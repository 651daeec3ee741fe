"""Walk-back points are read as what is behind them, with odds that hold."""

from dataclasses import replace

import numpy as np
import pytest

from demo import INCH, YARD, mill_rig
from vireton.bow.bow import Sight
from vireton.flight.flight import Wind
from vireton.tuning.observations import WalkbackPoint, group_of_shots
from vireton.tuning.spread import UNKNOWN_SHOOTER, assumed_spread, pooled_spread
from vireton.tuning.walkback import OUTCOMES, outcomes, walkback_spread, weigh_causes
from vireton.tuning.walkback_fit import Drawn
from vireton.tuning.walkback_lines import CAUSES, SPREADS

RIG = mill_rig()
FAR = np.array([20, 30, 40, 50, 60]) * YARD
TIGHT = assumed_spread(0.08 * INCH, 20 * YARD, 40.0)
USUAL = assumed_spread(1.5 * INCH, 20 * YARD, 20.0)


def points(right, distances=FAR, **told):
    return [
        WalkbackPoint(float(d), float(x), **told) for d, x in zip(distances, right, strict=True)
    ]


def faulty(rig=RIG, **sizes):
    """A rig with faults that came after its sight was set."""
    rate = rig.launch(rig.fletched).yaw_rate + sizes.get("yaw_rate", 0.0)
    return replace(
        rig,
        aim=replace(
            rig.aim,
            windage=rig.aim.windage + sizes.get("windage", 0.0),
            cant=sizes.get("cant", 0.0),
        ),
        conditions=replace(rig.conditions, wind=Wind(towards_right=sizes.get("wind", 0.0))),
        override=replace(rig.override, yaw_rate=rate),
    )


def flown(distances=FAR, **sizes):
    """(n,) m right at each distance of real flights."""
    one = faulty(**sizes)
    return one.shoot(one.fletched, distances).right


@pytest.mark.parametrize(("cause", "size"), [("windage", 0.004), ("wind", 2.5)])
def test_one_cause_is_found_with_its_size(cause, size):
    answer = weigh_causes(RIG, points(flown(**{cause: size})), TIGHT)
    assert answer.verdict == cause
    value, sd = answer.sizes[cause]
    assert value == pytest.approx(size, abs=3 * sd)
    assert answer.there == pytest.approx(flown(**{cause: size})[-1], abs=answer.half_width)
    assert sum(answer.probabilities.values()) == pytest.approx(1.0)


def test_straight_says_what_may_hide():
    answer = weigh_causes(RIG, points(flown(), count=3), USUAL)
    assert answer.verdict == "nothing"
    assert answer.reach == pytest.approx(60 * YARD)
    # fifteen arrows of 4.5 in at 60 yd: 1.96 · 4.5 / √15 for a line through the bow, no more
    alone = 1.96 * 4.5 * INCH / np.sqrt(15.0)
    assert 0.75 * alone < answer.half_width < 1.15 * alone
    assert answer.there == 0.0
    np.testing.assert_array_equal(answer.line, 0.0)


def test_more_arrows_leave_less_open_and_wider_ones_more():
    one, many = (weigh_causes(RIG, points(flown(), count=n), USUAL) for n in (1, 6))
    assert many.half_width < 0.6 * one.half_width
    far = np.array([20, 30, 40]) * YARD
    near = weigh_causes(RIG, points(flown(far), far), USUAL)
    assert near.reach == pytest.approx(40 * YARD)
    assert near.half_width < near.half_width_far


@pytest.mark.parametrize(("cause", "size"), [("cant", 0.05), ("yaw_rate", 0.7)])
def test_causes_that_draw_one_line_are_not_told_apart_but_by_the_right_shot(cause, size):
    told = {"cant": "level", "yaw_rate": "bare"}
    answer = weigh_causes(RIG, points(flown(**{cause: size})), TIGHT)
    assert answer.verdict == "cannot_tell"
    assert answer.probabilities[cause] > 0.15
    assert answer.next.shot.kind == told[cause]
    assert answer.next.gain > 0.2


def test_the_same_points_by_a_level_tell_a_cant():
    before = points(flown(cant=0.05))
    answer = weigh_causes(RIG, before + points(flown(), level=True), TIGHT)
    assert answer.verdict == "cant"
    assert answer.sizes["cant"][0] == pytest.approx(0.05, abs=0.01)
    # and where the line stays, it was none
    stays = weigh_causes(RIG, before + points(flown(cant=0.05), level=True), TIGHT)
    assert stays.probabilities["cant"] < 0.01


def test_a_calm_day_tells_the_wind():
    answer = weigh_causes(
        RIG, points(flown(wind=1.5)) + points(flown(), calm=True), assumed_spread(0.01, 18.0, 20.0)
    )
    calm = weigh_causes(RIG, points(flown(wind=1.5), calm=True), TIGHT)
    assert answer.probabilities["wind"] > 0.5
    assert calm.probabilities["wind"] == 0.0


def test_the_mirror_image_has_the_same_odds():
    one, other = (weigh_causes(RIG, points(s * flown(cant=0.06)), USUAL) for s in (1.0, -1.0))
    for name in OUTCOMES:
        assert one.probabilities[name] == pytest.approx(other.probabilities[name], abs=1e-9)
    assert one.there == pytest.approx(-other.there, abs=1e-9)
    assert one.half_width == pytest.approx(other.half_width)


def test_the_order_of_the_points_does_not_matter():
    seen = points(flown(windage=0.002))
    one, other = (weigh_causes(RIG, some, USUAL) for some in (seen, seen[::-1]))
    assert one.probabilities == other.probabilities
    assert list(other.distances) == sorted(other.distances)


def test_without_a_sight_it_is_sighted_in_first():
    loose = mill_rig(sight=Sight(None, 3.5 * INCH))
    answer = weigh_causes(loose, points(np.zeros(5)), TIGHT)
    assert answer.verdict == "nothing"
    assert answer.drops[0] == pytest.approx(0.0, abs=1e-6)
    assert np.all(np.diff(answer.drops) < 0.0)


def test_one_distance_is_too_few():
    with pytest.raises(ValueError, match="two distances"):
        weigh_causes(RIG, points([0.0, 0.1], FAR[[0, 0]]), TIGHT)


@pytest.mark.parametrize("inches", [[6.0, 3.0, 0.0, -3.0, -6.0], [3.0, -4.0, 5.0, -6.0, 7.0]])
def test_what_no_cause_draws_is_said(inches):
    answer = weigh_causes(RIG, points(np.array(inches) * INCH), TIGHT)
    assert answer.verdict == "none_fits"


def test_a_points_own_spread_counts_with_the_groups():
    shots = ((0.01, 0.0), (-0.01, 0.0), (0.0, 0.02))
    groups = [group_of_shots("fletched", 20 * YARD, shots)]
    point = WalkbackPoint(40.0, 0.0, 5, 0.08)
    assert walkback_spread(groups, [replace(point, spread=None)]) == pooled_spread(groups)
    found = walkback_spread(groups, [point])
    # four groups' worth by hand: prior, the group's 4 degrees, the point's 4 on its one axis
    squares = pooled_spread(groups).sd ** 2 * 8.0 + 4.0 * (0.08 / 40.0) ** 2
    assert found.degrees == pytest.approx(UNKNOWN_SHOOTER.degrees + 8.0)
    assert found.sd == pytest.approx(np.sqrt(squares / 12.0))


def test_outcomes_count_what_is_worth_correcting():
    far = np.array([10.0, 20.0])
    slack = 0.001  # 20 mm at the far point

    def of(windage=0.0, cant=0.0, wind=0.0, launch=0.0):
        parts = np.array([windage, cant, wind, launch])[:, None] * far / far[-1]
        drawn = Drawn(parts[None], np.ones(1), np.ones(1))
        return OUTCOMES[int(outcomes(drawn, far, [0, 1], 1, slack)[0])]

    assert of() == of(windage=0.019) == "nothing"
    assert of(windage=0.1, launch=-0.09) == "nothing"  # one undoes the other: a straight line
    assert of(windage=0.021) == "windage"
    assert of(cant=-0.03) == "cant"
    assert of(wind=0.1, launch=0.03) == "wind"  # less than a third of the other
    assert of(wind=0.1, launch=0.04) == of(windage=0.03, cant=0.03) == "two"
    assert of(windage=0.015, cant=0.012) == "windage"  # only together worth it


@pytest.mark.parametrize("inches", [0.5, 1.5])
def test_odds_and_band_hold_on_real_flights(inches):
    # a small seeded part of validation/walkback.py
    random = np.random.default_rng(8)
    known = assumed_spread(inches * INCH, 20 * YARD, 16.0)
    held, straight, said, right = [], [], [], []
    for kind in ("nothing", "windage", "cant", "wind", "yaw_rate"):
        for _ in range(6):
            sizes = {kind: SPREADS[kind] * random.normal()} if kind in CAUSES else {}
            line = flown(**sizes)
            counts = random.integers(1, 4, FAR.size)
            off = known.sd * FAR / np.sqrt(counts) * random.normal(size=FAR.size)
            seen = [
                WalkbackPoint(float(d), float(x), int(n))
                for d, x, n in zip(FAR, line + off, counts, strict=True)
            ]
            answer = weigh_causes(RIG, seen, known)
            held.append(abs(line[-1] - answer.there) <= answer.half_width)
            if kind == "nothing":
                straight.append(answer.verdict == "nothing")
            if answer.verdict in CAUSES:
                said.append(answer.probabilities[answer.verdict])
                right.append(answer.verdict == kind)
    assert np.mean(held) >= 0.9
    assert np.mean(straight) >= 0.8
    assert len(said) >= 2
    assert np.mean(right) >= np.mean(said) - 0.2
