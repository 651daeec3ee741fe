"""Corrections amend what was typed; putting back is a change whose evidence counts."""

import pytest

from vireton.bow.setting import BowSetting
from vireton.job import (
    LogError,
    NewRound,
    append_round,
    correct,
    put_back,
    read_log,
    withdraw_last,
)
from vireton.tuning.changes import Change
from vireton.tuning.observations import Looked, Tear, group_of_shots

INCH = 0.0254
STEP = INCH / 32
BARE = Tear("bare", 1.8288, -2 * STEP, 4 * STEP)
OTHER = Tear("bare", 1.8288, 2 * STEP, 4 * STEP)
FLETCHED = Tear("fletched", 1.8288, 0.0, 0.0)


def right(steps: float) -> BowSetting:
    return BowSetting(steps * STEP)


def test_an_entry_is_amended_and_the_old_one_stays_in_the_file(log):
    append_round(log, NewRound((BARE, FLETCHED), note="calm"))
    append_round(log, NewRound((BARE,)))
    before = log.read_bytes()
    done = correct(log, 1, NewRound((OTHER,)))
    assert log.read_bytes().startswith(before)
    assert done.observations == (FLETCHED, OTHER)
    job = read_log(log)
    assert [one.number for one in job.rounds.counting] == [1, 2]
    assert job.rounds.counting[0] == done
    assert done.was is not None
    assert done.was.observations == (BARE, FLETCHED)
    assert done.note == "calm"
    # and once more: as it was first typed stays
    again = correct(log, 1, NewRound((BARE,)))
    assert (again.observations, again.was) == ((FLETCHED, BARE), done.was)


def test_a_wrong_move_takes_every_later_place_with_it(log):
    append_round(log, NewRound((BARE,)))
    append_round(log, NewRound((BARE,), move=right(2)))
    append_round(log, NewRound((BARE,), move=BowSetting(0.0, STEP)))
    correct(log, 2, NewRound(move=right(-2)))
    append_round(log, NewRound((BARE,), move=right(1)))
    job = read_log(log)
    places = [(one.number, one.setting.rest) for one in job.rounds.counting]
    said = [(1, (0, 0)), (2, (-2, 0)), (3, (-2, 1)), (5, (-1, 1))]
    expected = [(number, (x * STEP, y * STEP)) for number, (x, y) in said]
    for (number, there), (wanted, place) in zip(places, expected, strict=True):
        assert number == wanted
        assert there == pytest.approx(place)
    assert job.setting.rest == pytest.approx((-STEP, STEP))


def test_only_the_axis_that_is_named_is_corrected(log):
    append_round(log, NewRound((BARE,), move=BowSetting(2 * STEP, 3 * STEP)))
    done = correct(log, 1, NewRound(move=BowSetting(0.0, STEP)))
    assert done.setting == BowSetting(2 * STEP, STEP)


@pytest.mark.parametrize(
    ("number", "wrong", "words"),
    [
        (4, NewRound((BARE,)), "there is no round 4 that counts; these do: 1"),
        (1, NewRound((FLETCHED,)), "round 1 has no such entry to correct"),
        (1, NewRound((OTHER, OTHER)), "round 1 has 1 of these"),
        (1, NewRound(changes=(Change("sight"),)), "round 1 has no such entry to correct"),
    ],
)
def test_what_is_not_there_cannot_be_corrected(log, number, wrong, words):
    append_round(log, NewRound((BARE,)))
    before = log.read_bytes()
    with pytest.raises(LogError) as caught:
        correct(log, number, wrong)
    assert words in str(caught.value)
    assert log.read_bytes() == before


def test_two_alike_are_given_together(log):
    append_round(log, NewRound((BARE, OTHER)))
    with pytest.raises(LogError, match="has 2 of these: give all of them"):
        correct(log, 1, NewRound((BARE,)))
    assert correct(log, 1, NewRound((BARE, BARE))).observations == (BARE, BARE)


def test_changes_and_looks_are_told_apart_by_what_they_are_about(log):
    seen = (Looked("contact", 1, False), Looked("reversed", 1, True))
    append_round(log, NewRound(seen, changes=(Change("sight", up=STEP), Change("peep"))))
    done = correct(
        log, 1, NewRound((Looked("reversed", 1, False),), changes=(Change("sight", up=-STEP),))
    )
    assert done.observations == (seen[0], Looked("reversed", 1, False))
    assert done.changes == (Change("peep"), Change("sight", up=-STEP))


def test_the_last_round_is_withdrawn_with_its_changes(log):
    append_round(log, NewRound((BARE,)))
    append_round(log, NewRound((BARE,), move=right(1), changes=(Change("point", sets=(MASS,)),)))
    withdraw_last(log)
    job = read_log(log)
    assert [one.number for one in job.rounds.counting] == [1]
    assert job.setting == BowSetting()
    assert job.versions[job.version].sets == ()


MASS = ("arrow.point.mass", "125 gr")


def test_the_last_change_is_put_back_and_counts(log):
    append_round(log, NewRound((BARE,)))
    changes = (Change("cam spacer", right=STEP), Change("draw weight", turns=-1.0))
    append_round(log, NewRound((BARE,), move=right(2), changes=changes))
    append_round(log, NewRound((OTHER,)))
    done, was = put_back(log, NewRound((FLETCHED,)))
    assert (was.number, done.puts_back) == (2, 2)
    assert done.setting == BowSetting()
    assert done.changes == tuple(one.back() for one in changes)
    assert done.observations == (FLETCHED,)
    job = read_log(log)
    assert [one.number for one in job.rounds.counting] == [1, 2, 3, 4]
    # the numbers are those of before
    assert job.rounds.all[3].version == job.rounds.all[0].version != job.rounds.all[1].version


def test_putting_back_again_goes_on_to_the_change_before(log):
    append_round(log, NewRound(move=right(1)))
    append_round(log, NewRound(move=BowSetting(0.0, STEP)))
    assert put_back(log)[1].number == 2
    done, was = put_back(log)
    assert (was.number, done.setting) == (1, BowSetting())
    with pytest.raises(LogError, match="nothing was changed yet that can be put back"):
        put_back(log)


def test_a_new_string_is_nothing_to_put_back(log):
    append_round(log, NewRound(changes=(Change("new string"),)))
    with pytest.raises(LogError, match="string replaced: that cannot be put back"):
        put_back(log)


def test_a_group_is_corrected_shot_for_shot(log):
    wrong = group_of_shots("bare", 18.288, ((31 * INCH, 0.0),))
    meant = group_of_shots("bare", 18.288, ((3.1 * INCH, 0.0),))
    append_round(log, NewRound((wrong, group_of_shots("fletched", 18.288, ((0.0, 0.0),)))))
    assert meant in correct(log, 1, NewRound((meant,))).observations
