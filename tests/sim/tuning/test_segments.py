"""Which rounds count, what stands in the way, and where a change begins a new piece."""

import pytest
from bench import AT, PAPER, STEP

from demo import INCH
from vireton.bow.setting import BowSetting
from vireton.tuning.changes import CHANGE_KINDS, CURES_CONTACT, Change, Unsettled
from vireton.tuning.observations import Found, Looked, Tear, group_of_shots
from vireton.tuning.rounds import Round
from vireton.tuning.segments import in_the_way, segments_of, that_count

TORN = Tear("bare", PAPER, 0.0, INCH / 8)
PAIR = tuple(group_of_shots(kind, AT, ((0.0, 0.0),)) for kind in ("fletched", "bare"))


def shot(number, *more, **told):
    return Round(number, observations=(TORN, *more), **told)


def numbers(rounds):
    return [one.number for one in rounds]


def pieces(*rounds):
    return [numbers(one.rounds) for one in segments_of(rounds)]


def test_a_rest_move_begins_no_piece():
    rounds = [shot(1), Round(2, BowSetting(STEP), (TORN,)), Round(3, BowSetting(0, 0, STEP))]
    assert pieces(*rounds) == [[1, 2, 3]]
    assert segments_of(rounds)[0].unsettled is None
    assert pieces() == []


@pytest.mark.parametrize("what", list(CHANGE_KINDS))
def test_every_change_begins_one(what):
    change = Change(what)
    found = segments_of([shot(1), shot(2), shot(3, changes=(change,)), shot(4)])
    assert [numbers(one.rounds) for one in found] == [[1, 2], [3, 4]]
    assert found[1].unsettled == Unsettled((change,))


def test_other_things_that_begin_one():
    loose, visit = shot(2, Found("loose part")), shot(3, stage="visit", years=2.0)
    back = shot(4, changes=(Change("cable"),), puts_back=2)
    found = segments_of([shot(1), loose, visit, back, shot(5, version=1)])
    assert [one.unsettled for one in found] == [
        None,
        Unsettled(is_loose=True),
        Unsettled(years=2.0),
        Unsettled((Change("cable"),), since=2),
        Unsettled(),
    ]
    assert found[-1].version == 1
    # a visit of which no day is known was some time ago
    assert segments_of([shot(1), shot(2, stage="visit")])[1].unsettled == Unsettled(years=0.0)


def test_what_was_changed_before_anything_was_seen_is_the_bow_as_it_came():
    change = (Change("loop"),)
    rounds = [Round(1), Round(2, changes=change), shot(3), shot(4, changes=change)]
    assert pieces(*rounds) == [[2, 3], [4]]
    assert segments_of(rounds)[0].unsettled is None
    assert pieces(Round(1), Round(2, changes=change)) == [[2]]


def test_what_was_shot_while_something_touched_does_not_count():
    touched = [shot(1), shot(2, Found("contact")), shot(3)]
    assert that_count(touched) == ()
    assert in_the_way(touched) == Found("contact")
    gone = [*touched, shot(4, Found("contact gone")), shot(5)]
    assert numbers(that_count(gone)) == [4, 5]
    assert in_the_way(gone) is None
    again = [*gone, shot(6, Found("contact", "cable guard"))]
    assert that_count(again) == ()
    assert in_the_way(again) == Found("contact", "cable guard")


@pytest.mark.parametrize("what", list(CHANGE_KINDS))
def test_a_change_may_cure_a_contact(what):
    rounds = [shot(1), shot(2, Found("contact")), shot(3, changes=(Change(what),))]
    cured = what in CURES_CONTACT
    assert numbers(that_count(rounds)) == ([3] if cured else [])
    assert (in_the_way(rounds) is None) is cured


def test_looks_at_contact():
    looked = shot(3, Looked("contact", 1, False))
    assert numbers(that_count([shot(1), shot(2, Found("contact")), looked])) == [3]
    assert in_the_way([shot(2, Found("contact")), looked]) is None
    # without a finding nothing was marked
    assert numbers(that_count([shot(1), shot(2), looked])) == [1, 2, 3]


def test_timing_stands_in_the_way_until_it_is_set():
    off = [shot(1, Found("timing off"))]
    assert in_the_way(off) == Found("timing off")
    assert numbers(that_count(off)) == [1]
    assert in_the_way([*off, shot(2, Found("timing set"))]) is None
    assert in_the_way([*off, shot(2, changes=(Change("cable"),))]) is None
    assert in_the_way([*off, shot(2, changes=(Change("peep"),))]) == Found("timing off")


def test_the_last_finding_is_told_first():
    both = [shot(1, Found("timing off")), shot(2, Found("contact"))]
    assert in_the_way(both) == Found("contact")
    assert in_the_way([*both, shot(3, Found("contact gone"))]) == Found("timing off")


@pytest.mark.parametrize(
    ("arrow", "kept"), [("bare", ["fletched"]), ("fletched", ["bare", "bare"]), (None, [])]
)
def test_shots_of_a_cracked_arrow_do_not_count(arrow, kept):
    cracked = Found("cracked arrow", arrow=arrow)
    (one,) = that_count([shot(1, *PAIR, cracked)])
    measured = [seen.measurement(1.0) for seen in one.observations]
    assert sorted(m.arrow for m in measured if m is not None) == kept
    assert cracked in one.observations
    # those of the other rounds do
    assert that_count([shot(1, *PAIR), Round(2, observations=(cracked,))])[0] == shot(1, *PAIR)
