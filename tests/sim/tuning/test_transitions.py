"""What is known carried over a change."""

from dataclasses import replace
from unittest import mock

import numpy as np
import pytest
from bench import AT, STEP, believing, groups, tear, tuner, unknowns

from demo import INCH, mill_rig
from vireton.bow.setting import BowSetting
from vireton.tuning.changes import CHANGE_KINDS, Change, Unsettled
from vireton.tuning.evidence import SIGHT_MOVED, gathered
from vireton.tuning.flown import Flown
from vireton.tuning.posterior import Posterior, Reading, fit
from vireton.tuning.predicting import predicted
from vireton.tuning.prior import SHIFT_SPREAD
from vireton.tuning.response import Shooter
from vireton.tuning.rounds import Round
from vireton.tuning.stories import NO_STORY, Story, stories
from vireton.tuning.transitions import after, carried
from vireton.tuning.unknowns import MIRROR, PLACE, SIZE, Component

TUNER = tuner()
BOW = unknowns(
    rate_right=0.5, rate_up=-0.4, rate_gain_right=-0.1, rate_gain_up=0.17, angle_gain_up=1.5 * STEP
)
ROUNDS = [tear(BOW), tear(BOW, (2 * STEP, 0.0), 2), tear(BOW, (2 * STEP, STEP), 3)]
SEEN = gathered(ROUNDS, TUNER.flown, 0.5 * INCH / AT)
POSTERIOR = fit(TUNER.prior, SEEN, stories(SEEN))
THERE = complex(2 * STEP, STEP)
KNOWN = carried(POSTERIOR, SEEN, THERE)
SIGHTS = [PLACE["sight_right"], PLACE["sight_up"]]
REST = [at for at in range(SIZE) if at not in SIGHTS]


def one_reading(story=NO_STORY, mean=BOW):
    component = TUNER.prior.components[0]
    return Reading(mean, component.covariance, 1.0, component, 1.0, story, 0.0, 0)


def sizes(one, *names):
    return np.array([one.covariance[PLACE[name], PLACE[name]] for name in names])


def changed(*changes, **told):
    return after(KNOWN, Unsettled(changes, **told), TUNER.prior)


# -- counted from how the bow is set now -----------------------------------------------------------


def test_errors_counted_anew_say_the_same():
    """What the reading says of the log is what it says with the log begun elsewhere."""
    (one,) = carried(Posterior((one_reading(),)), SEEN, THERE)
    nothing = np.zeros((1, SEEN.count))
    old, _ = predicted(BOW[None], SEEN.planes, SEEN.settings[None], nothing)
    new, _ = predicted(one.mean[None], SEEN.planes, SEEN.settings[None] - THERE, nothing)
    assert new == pytest.approx(old, abs=1e-12)


def test_what_is_open_of_the_answer_opens_the_launch():
    reading = one_reading()
    (one,) = carried(Posterior((reading,)), SEEN, complex(0.0, 3 * STEP))
    e, g = PLACE["rate_up"], PLACE["rate_gain_up"]
    was, by = reading.covariance, 3 * STEP
    assert one.covariance[e, e] == pytest.approx(was[e, e] + 2 * by * was[e, g] + by**2 * was[g, g])
    assert one.covariance[e, g] == pytest.approx(was[e, g] + by * was[g, g])
    assert sizes(one, "rate_right") == pytest.approx(sizes(reading, "rate_right"))


def test_where_it_does_not_answer_nothing_moved():
    (one,) = carried(Posterior((one_reading(Story("contact")),)), SEEN, THERE)
    assert one.mean == pytest.approx(BOW)


def test_a_move_the_wrong_way_round_counts_as_it_really_was():
    (one,) = carried(Posterior((one_reading(Story("reversed", 2)),)), SEEN, THERE)
    gain = BOW[PLACE["rate_gain_right"]]
    assert one.mean[PLACE["rate_right"]] == pytest.approx(
        BOW[PLACE["rate_right"]] - 2 * STEP * gain
    )


def test_an_unknown_shift_becomes_launch_and_may_happen_again():
    shifted = BOW.copy()
    shifted[PLACE["shift_up"]] = STEP
    (one,) = carried(Posterior((one_reading(Story("changed", 2), shifted),)), SEEN, 0j)
    gain = BOW[PLACE["rate_gain_up"]]
    assert one.mean[PLACE["rate_up"]] == pytest.approx(BOW[PLACE["rate_up"]] + STEP * gain)
    assert one.mean[PLACE["shift_up"]] == 0.0
    assert sizes(one, "shift_up") == pytest.approx(SHIFT_SPREAD**2)


def test_readings_of_one_side_become_one():
    a, b = one_reading(), one_reading(mean=BOW + 0.01 * np.arange(SIZE))
    both = Posterior((replace(a, weight=0.75), replace(b, weight=0.25)))
    (one,) = carried(both, SEEN, 0j)
    still = np.array([name.startswith("shift") for name in PLACE])
    mean = (0.75 * a.mean + 0.25 * b.mean)[~still]
    apart = np.outer(a.mean - b.mean, a.mean - b.mean)
    expected = a.covariance + 0.75 * 0.25 * apart
    assert one.mean[~still] == pytest.approx(mean)
    assert one.covariance[np.ix_(~still, ~still)] == pytest.approx(expected[np.ix_(~still, ~still)])
    assert sum(one.weight for one in KNOWN) == pytest.approx(1.0)


# -- what a change leaves open --------------------------------------------------------------------


@pytest.mark.parametrize("happened", [Unsettled(), Unsettled((Change("sight", up=INCH),))])
def test_what_leaves_nothing_open_changes_nothing_but_the_sight(happened):
    now = after(KNOWN, happened, TUNER.prior).components
    assert len(now) == len(KNOWN)
    for one, was in zip(now, KNOWN, strict=True):
        assert (one.mean == was.mean).all()
        assert (one.covariance[np.ix_(REST, REST)] == was.covariance[np.ix_(REST, REST)]).all()
        assert one.covariance[SIGHTS, SIGHTS] == pytest.approx(SIGHT_MOVED**2)
        assert not one.covariance[np.ix_(SIGHTS, REST)].any()
        assert one.weight == pytest.approx(was.weight, abs=0.002)  # none is given up for good


@pytest.mark.parametrize("what", list(CHANGE_KINDS))
def test_it_stays_a_prior(what):
    prior = changed(Change(what))
    assert sum(one.weight for one in prior.components) == pytest.approx(1.0)
    for one in prior.components:
        assert one.covariance == pytest.approx(one.covariance.T)
        assert np.linalg.eigvalsh(one.covariance / np.outer(*2 * [_scale(one)])).min() > 0.0
        assert one.weight > 0.001
    sides = {(one.model, one.sideways_sign) for one in prior.components}
    assert len(sides) == len(prior.components)


def _scale(one: Component) -> np.ndarray:
    return np.sqrt(np.diagonal(one.covariance))


@pytest.mark.parametrize("what", list(CHANGE_KINDS))
def test_nothing_is_known_better_afterwards(what):
    names = ("rate_right", "rate_up", "angle_right", "rate_gain_up", "bare_up", "tear_right")
    now, was = (whole(parts, *names) for parts in (changed(Change(what)).components, KNOWN))
    # a component that hardly counts is given a little more weight, so that none is lost
    assert (now > 0.98 * was).all()


def whole(components, *names):
    """Variances of the mixture."""
    places = [PLACE[name] for name in names]
    weights = np.array([one.weight for one in components])
    weights = weights / weights.sum()
    means = np.array([one.mean[places] for one in components])
    inside = np.array([sizes(one, *names) for one in components])
    return weights @ inside + weights @ (means - weights @ means) ** 2


@pytest.mark.parametrize("what", list(CHANGE_KINDS))
def test_a_mirrored_bow_has_the_mirrored_prior(what):
    mirrored = [
        replace(one, mean=one.mean * MIRROR, covariance=one.covariance * np.outer(MIRROR, MIRROR))
        for one in KNOWN
    ]
    up = STEP if "up" in CHANGE_KINDS[what].takes else 0.0
    happened = Unsettled((Change(what, up=up),))
    one, other = (after(known, happened, TUNER.prior) for known in (KNOWN, mirrored))
    for a, b in zip(one.components, other.components, strict=True):
        assert b.mean == pytest.approx(a.mean * MIRROR)
        assert b.covariance == pytest.approx(a.covariance * np.outer(MIRROR, MIRROR))
        assert b.weight == pytest.approx(a.weight)


def test_a_loop_that_goes_up_is_a_rest_that_goes_down():
    (now, *_), (was, *_) = changed(Change("loop", up=INCH / 16)).components, KNOWN
    for name in ("rate", "angle"):
        moved = now.mean[PLACE[f"{name}_up"]] - was.mean[PLACE[f"{name}_up"]]
        assert moved == pytest.approx(-INCH / 16 * was.mean[PLACE[f"{name}_gain_up"]])
    assert now.mean[PLACE["rate_right"]] == was.mean[PLACE["rate_right"]]


def test_a_spacer_opens_its_amount_of_rest():
    (now, *_), (was, *_) = changed(Change("cam spacer", right=INCH / 8)).components, KNOWN
    grown = sizes(now, "rate_right") - sizes(was, "rate_right")
    share, on_top = CHANGE_KINDS["cam spacer"].loosens.right
    size = np.hypot(share * INCH / 8, on_top)
    # a bow that hardly answers on average may answer either way
    gain = was.mean[PLACE["rate_gain_right"]] ** 2 + sizes(was, "rate_gain_right")
    assert grown == pytest.approx(size**2 * gain)


def test_another_shaft_opens_a_share_of_what_is_open_beforehand():
    names = ("rate_right", "angle_right", "rate_gain_right", "angle_gain_right")
    how = CHANGE_KINDS["point"].loosens
    (one,) = after(KNOWN[:1], Unsettled((Change("point"),)), TUNER.prior).components[:1]
    without = replace(how, anew=0.0)
    row = replace(CHANGE_KINDS["point"], loosens=without)
    with mock.patch.dict(CHANGE_KINDS, {"point": row}):
        (other,) = after(KNOWN[:1], Unsettled((Change("point"),)), TUNER.prior).components[:1]
    usual = next(
        c
        for c in TUNER.prior.components
        if (c.model, c.sideways_sign) == (KNOWN[0].model, KNOWN[0].sideways_sign)
    )
    # the other side is mixed in afterwards
    assert sizes(one, *names) - sizes(other, *names) == pytest.approx(
        how.anew**2 * sizes(usual, *names), rel=0.02
    )
    assert sizes(one, "rate_up") == pytest.approx(sizes(other, "rate_up"))


def test_larger_amounts_and_more_years_leave_more_open():
    def opened(prior):
        return sizes(prior.components[0], "rate_up")[0]

    small, large = (opened(changed(Change("cable", turns=n))) for n in (0.5, 2.0))
    assert opened(changed()) < small < large
    ages = [opened(changed(years=years)) for years in (0.0, 1.0, 4.0, 40.0)]
    assert ages[0] < ages[1] < ages[2] == ages[3]
    assert opened(changed(is_loose=True)) > opened(changed())


def test_what_is_done_together_adds_up():
    one, other = Change("cable"), Change("peep")
    base = changed().components[0].covariance
    alone = [changed(each).components[0].covariance - base for each in (one, other)]
    both = changed(one, other).components[0].covariance - base
    # the second opens a share of what the first left
    assert both == pytest.approx(sum(alone), rel=0.05, abs=1e-12)


def test_the_side_may_turn_round_but_for_stiff_arrows():
    shares = {}
    for one in changed(Change("arrow")).components:
        shares[one.model, one.sideways_sign] = one.weight
    was = {(one.model, one.sideways_sign): one.weight for one in KNOWN}
    turned = CHANGE_KINDS["arrow"].loosens.sign
    for model in ("launch", "practice"):
        for sign in (1, -1):
            kept, other = was.get((model, sign), 0.0), was.get((model, -sign), 0.0)
            expected = (1.0 - turned) * kept + turned * other
            assert shares[model, sign] == pytest.approx(expected, rel=0.02, abs=0.003)
    assert ("rigid", -1) not in shares


def test_another_bare_shaft_is_a_new_one():
    names = ("bare_right", "bare_up")
    told = TUNER.turn([groups((2.0, 1.0), count=12), groups((2.0, 1.0), rest=(0, STEP), number=2)])
    known = carried(told.posterior, told.seen, told.stands)
    usual = sizes(TUNER.prior.components[0], *names)
    assert (sizes(known[0], *names) < 0.999 * usual).all()
    for one in after(known, Unsettled((Change("bare shaft"),)), TUNER.prior).components:
        assert sizes(one, *names) == pytest.approx(usual)
        assert one.mean[[PLACE[name] for name in names]] == pytest.approx(0.0)


def test_other_numbers_scale_launch_and_answers_within_reason():
    now = after(KNOWN, Unsettled(), TUNER.prior, (1.2, 9.0)).components[0]
    by = np.ones(SIZE)
    for axis in ("right", "up"):
        by[[PLACE[f"rate_{axis}"], PLACE[f"rate_gain_{axis}"]]] = 1.2
        by[[PLACE[f"angle_{axis}"], PLACE[f"angle_gain_{axis}"]]] = 2.0
    assert now.mean == pytest.approx(KNOWN[0].mean * by)
    assert sizes(now, "rate_up") == pytest.approx(1.44 * sizes(KNOWN[0], "rate_up"))


# -- a change put back ----------------------------------------------------------------------------


def test_put_back_leaves_a_quarter_open_and_moves_nothing():
    change = Change("loop", up=INCH / 16)
    there, back = changed(change), changed(change.back(), since=3)
    opened, left = (
        sizes(p.components[0], "rate_up") - sizes(KNOWN[0], "rate_up") for p in (there, back)
    )
    assert left == pytest.approx(opened / 16.0)
    assert back.components[0].mean == pytest.approx(KNOWN[0].mean)


@pytest.mark.parametrize("moved", [0, 4])
@pytest.mark.parametrize(
    "change", [Change("cam spacer", right=INCH / 16), Change("loop", up=INCH / 8)]
)
def test_put_back_it_is_as_before(change, moved):
    """Whether or not the rest was moved in the same round."""
    before = [tear(BOW, number=1), tear(BOW, (STEP, 2 * STEP), 2)]
    there = BowSetting(STEP, 2 * STEP)
    other = unknowns(rate_right=-0.9, rate_up=0.8)
    wrong = believing(tear(other, number=3), STEP, (2 + moved) * STEP)
    rounds = [*before, replace(wrong, changes=(change,))]
    back = Round(4, there, changes=(change.back(),), puts_back=3)
    was, now = TUNER.turn(before).separation(), TUNER.turn([*rounds, back]).separation()
    assert now[0] == pytest.approx(was[0], abs=0.05 * INCH)
    wide, narrow = now[2] - now[1], was[2] - was[1]
    assert (wide > 0.98 * narrow).all()
    assert (wide < 1.25 * narrow).all()
    # and where it was changed it was not
    assert abs(TUNER.turn(rounds).separation()[0] - was[0]).max() > 0.3 * INCH


def test_put_back_numbers_are_those_of_before():
    """The answers of another draw length are not scaled back once more."""
    rig = mill_rig()
    short = replace(rig, bow=replace(rig.bow, draw_length=26 * INCH))
    two = replace(TUNER, later={1: Flown(Shooter.of(short))})
    change = Change("draw length")
    first = tear(BOW)
    rounds = [first, Round(2, changes=(change,), version=1)]
    back = Round(3, changes=(change.back(),), puts_back=2)
    was, now = two.turn([first]), two.turn([*rounds, back])
    assert now.separation()[0] == pytest.approx(was.separation()[0], abs=0.05 * INCH)
    same = TUNER.turn([*(replace(one, version=0) for one in rounds), back])
    assert now.separation()[0] == pytest.approx(same.separation()[0], abs=1e-9)


def test_put_back_of_a_bow_that_was_not_seen_before_is_a_change_like_another():
    change = Change("loop", up=INCH / 8)
    seen = replace(tear(BOW, number=2), changes=(change,))
    back = Round(3, changes=(change.back(),), puts_back=2)
    plain = replace(back, puts_back=None)
    one, other = (TUNER.turn([seen, last]).separation() for last in (back, plain))
    for a, b in zip(one, other, strict=True):
        assert (a == b).all()


# -- through the loop -----------------------------------------------------------------------------


def test_a_sight_that_is_moved_leaves_the_answer_as_it_is():
    was = TUNER.turn(ROUNDS).separation()
    now = TUNER.turn([*ROUNDS, Round(4, ROUNDS[-1].setting, changes=(Change("sight"),))])
    assert now.segments == 2
    for a, b in zip(was, now.separation(), strict=True):
        assert b == pytest.approx(a, abs=0.12 * INCH)


def test_the_rest_goes_on_from_where_it_stands():
    """A change that does nothing, and a move after it, are the move alone."""
    moved = tear(BOW, (2 * STEP, -STEP), 5)
    nothing = replace(Round(4), setting=ROUNDS[-1].setting, changes=(Change("sight"),))
    one, other = TUNER.turn([*ROUNDS, moved]), TUNER.turn([*ROUNDS, nothing, moved])
    assert other.separation()[0] == pytest.approx(one.separation()[0], abs=0.12 * INCH)
    assert other.stands == pytest.approx(-2j * STEP)
