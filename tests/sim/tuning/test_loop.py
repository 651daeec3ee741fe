"""Rounds in, advice out; looks and what they found."""

from dataclasses import replace

import numpy as np
import pytest
from bench import AT, PAPER, STEP, believing, flown, groups, tear, tuner, unknowns

from demo import CONDITIONS, INCH, MAPLE, MILL, RANGES, SIGHT, mill_rig
from vireton.bow.setting import BowSetting
from vireton.rig import assemble_rig
from vireton.tuning.loop import Tuner, is_same
from vireton.tuning.observations import Looked, Tear, group_of_shots
from vireton.tuning.rounds import Round
from vireton.tuning.stories import Story
from vireton.units.problems import InputProblem

TUNER = tuner()
BOW = unknowns(rate_up=-0.9, rate_gain_up=0.3, angle_gain_up=1.6 * STEP)
WRONG = believing(tear(BOW, (0.0, -3 * STEP), 2, count=2), 0.0, 3 * STEP)


def test_a_bow_without_vanes_is_refused_in_words():
    shaft = replace(MAPLE, vanes=None)
    bow = assemble_rig(MILL, shaft, CONDITIONS, SIGHT)
    for rigs in ((bow, {}), (mill_rig(), {1: bow})):
        with pytest.raises(InputProblem, match="give the arrow vanes"):
            Tuner.of(rigs[0], RANGES, STEP, rigs[1])


def looked(number, *finds, rest=(0.0, 3 * STEP)):
    return Round(number, BowSetting(*rest), tuple(Looked(*one) for one in finds))


def test_a_move_the_wrong_way_round_is_asked_about():
    advice = TUNER.turn([tear(BOW, count=2), WRONG]).advice
    assert advice.verdict == "look"
    assert advice.story == Story("reversed", 2)


def test_what_was_found_is_put_right():
    rounds = [tear(BOW, count=2), WRONG]
    turn = TUNER.turn([*rounds, looked(3, ("reversed", 2, True))])
    assert turn.advice.verdict == "move"
    assert turn.stands == pytest.approx(-3j * STEP)
    # six steps from where it really stands brings it where it should have been, and on
    assert turn.advice.move.rest_up > 2 * STEP


def test_what_was_not_so_is_not_asked_again():
    rounds = [tear(BOW, count=2), WRONG, looked(3, ("reversed", 2, False))]
    turn = TUNER.turn(rounds)
    assert Story("reversed", 2) not in turn.posterior.stories()


def test_after_a_contact_was_found_nothing_before_it_counts():
    old = [tear(BOW), tear(BOW, (0.0, 2 * STEP), 2)]
    fresh = tear(unknowns(rate_up=0.4), (0.0, 3 * STEP), 4)
    turn = TUNER.turn([*old, looked(3, ("contact", 1, True)), fresh])
    assert turn.seen.count == 1
    alone = TUNER.turn([fresh])
    assert turn.separation()[0] == pytest.approx(alone.separation()[0], abs=0.05 * INCH)


def test_nothing_seen_asks_for_something():
    turn = TUNER.turn([])
    assert turn.advice.verdict == "shoot"
    assert turn.aimed()[1] > 0.3 * INCH


def test_where_the_log_begins_does_not_matter():
    """The prior's launch errors are those of the first setting at which anything was seen."""
    here, there = tear(BOW), believing(tear(BOW), 4 * STEP, -2 * STEP)
    one, other = TUNER.turn([here]), TUNER.turn([there])
    assert one.separation()[0] == pytest.approx(other.separation()[0], abs=1e-9)
    assert one.advice.move == other.advice.move


def test_a_sight_set_anew_is_not_the_rests_answer():
    """Both groups move together: nothing is learnt of what separates them."""
    still = [groups((1.0, 0.5)), groups((1.0, 0.5), rest=(0.0, STEP), number=2)]
    anew = [still[0], groups((9.0, 6.5), (8.0, 6.0), rest=(0.0, STEP), number=2)]
    one, other = TUNER.turn(still).separation(), TUNER.turn(anew).separation()
    for a, b in zip(one, other, strict=True):
        assert b == pytest.approx(a, abs=0.08 * INCH)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_bow_is_tuned_to_the_end(side):
    """A tear or a pair at a time, without luck, whichever way the bow answers sideways."""
    bow = unknowns(
        rate_right=0.7, rate_up=-0.5, angle_right=0.003, rate_gain_right=0.12 * side,
        rate_gain_up=0.2, angle_gain_right=side * STEP, angle_gain_up=1.2 * STEP,
    )  # fmt: skip
    rounds = [Round(1)]
    arrows = 0
    for _ in range(40):
        turn = TUNER.turn(rounds)
        last = rounds[-1]
        if turn.advice.verdict == "stop":
            break
        if turn.advice.verdict == "look":
            assert turn.advice.story is not None
            story = turn.advice.story
            found = Looked(story.kind, max(story.round, 1), found=False)
            rounds[-1] = Round(last.number, last.setting, (*last.observations, found))
        elif turn.advice.verdict == "move":
            rounds.append(Round(last.number + 1, last.setting.moved(turn.advice.move)))
        else:
            arrows += turn.advice.test.arrows
            rounds[-1] = Round(
                last.number, last.setting, (*last.observations, *_shot(bow, turn.advice.test, last))
            )
    assert turn.advice.verdict == "stop"
    assert arrows <= 40
    rest = rounds[-1].setting.rest
    apart = flown(bow, "bare", rest).points[0] - flown(bow, "fletched", rest).points[0]
    clean = TUNER.flown.surface("bare", "target", AT)[0]
    clean = clean - TUNER.flown.surface("fletched", "target", AT)[0]
    assert abs(complex(*apart) - clean) < 0.75 * INCH


def _shot(bow, test, one):
    rest = one.setting.rest
    if test.kind == "tear":
        torn = flown(bow, "bare", rest, (), (PAPER,)).tears[0]
        return [Tear("bare", PAPER, *map(float, torn))] * test.count
    return [
        group_of_shots(kind, AT, [tuple(map(float, flown(bow, kind, rest).points[0]))] * test.count)
        for kind in ("bare", "fletched")
    ]


def test_settings_that_differ_by_rounding_are_the_same():
    assert is_same(BowSetting(0.1 + 0.2), BowSetting(0.3))
    assert not is_same(BowSetting(STEP), BowSetting())
    assert np.isfinite(TUNER.turn([groups((0, 0), count=1)]).misfit)
