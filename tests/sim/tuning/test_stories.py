"""What may have gone wrong, and the log as it would then be."""

import numpy as np
import pytest
from bench import STEP, tuner

from vireton.bow.setting import BowSetting
from vireton.tuning.evidence import gathered
from vireton.tuning.observations import Tear
from vireton.tuning.rounds import Round
from vireton.tuning.stories import NO_STORY, SHARES, Story, put_right, stories

FLOWN = tuner().flown


def log(*places):
    """A log with one tear at each setting (steps right, steps up)."""
    rounds = [
        Round(n, BowSetting(r * STEP, u * STEP), (Tear("bare", 1.83, 1e-3 * n, 2e-3),))
        for n, (r, u) in enumerate(places, start=1)
    ]
    return gathered(rounds, FLOWN, 1e-3)


SEEN = log((0, 0), (2, 0), (2, -1))


def told(story):
    return next(altered for one, altered, _ in stories(SEEN) if one == story)


def test_the_first_is_that_nothing_went_wrong():
    one, altered, share = stories(SEEN)[0]
    assert (one, share) == (NO_STORY, 1.0)
    assert altered.values == pytest.approx(SEEN.values)
    assert altered.settings == pytest.approx(SEEN.settings)


def test_a_reversed_move_and_a_slipped_one():
    right, up = STEP, 1j * STEP
    assert told(Story("reversed", 2)).settings == pytest.approx([0, -2 * right, -2 * right - up])
    assert told(Story("slipped", 2)).settings == pytest.approx([0, 0, -up])
    assert told(Story("reversed", 3)).settings == pytest.approx([0, 2 * right, 2 * right + up])


def test_a_swapped_side_and_a_slip_of_the_decimal_point():
    swapped = told(Story("swapped", 2)).values
    assert swapped == pytest.approx(SEEN.values * 1 + np.array([0, -4e-3, 0]))
    tens = [a.values[0] for s, a, _ in stories(SEEN) if s == Story("decimal", 1)]
    assert sorted(abs(one) for one in tens) == pytest.approx(
        [0.1 * abs(SEEN.values[0]), 10 * abs(SEEN.values[0])]
    )


def test_what_has_no_side_cannot_have_been_written_on_the_wrong_one():
    clean = gathered([Round(1, BowSetting(), (Tear("bare", 1.83, 0.0, 2e-3),))], FLOWN, 1e-3)
    assert "swapped" not in {one.kind for one, _, _ in stories(clean)}
    assert "swapped" in {one.kind for one, _, _ in stories(SEEN)}


def test_contact_and_change():
    assert told(Story("contact")).answers == 0.0
    assert list(told(Story("changed", 3)).shifted) == [0.0, 0.0, 1.0]
    # a rest that was never moved cannot have been seen not to answer
    assert Story("contact") not in [one for one, _, _ in stories(log((0, 0), (0, 0)))]


def test_what_was_looked_into_is_not_told_again():
    denied = {Story("reversed", 2), Story("contact")}
    left = {one for one, _, _ in stories(SEEN, denied)}
    assert not left & denied
    assert Story("reversed", 3) in left


def test_no_story_is_likelier_than_that_nothing_went_wrong():
    assert all(0.0 < share < 0.1 for share in SHARES.values())


def test_only_the_last_rounds_are_looked_into():
    numbers = {one.round for one, _, _ in stories(log(*[(k, 0) for k in range(9)]))}
    assert numbers == {0, 6, 7, 8, 9}


@pytest.mark.parametrize("kind", ["reversed", "slipped", "swapped", "changed"])
def test_put_right_is_the_story_told(kind):
    story = Story(kind, 2)
    right, _ = put_right(SEEN, [story])
    altered = told(story)
    assert right.values == pytest.approx(altered.values)
    assert right.settings == pytest.approx(altered.settings)
    assert right.shifted == pytest.approx(altered.shifted)


def test_put_right_says_where_the_rest_stands():
    right, off = put_right(SEEN, [Story("reversed", 2)])
    assert off == pytest.approx(-4 * STEP)
    assert right.moves[2] == pytest.approx(-2 * STEP)
    _, off = put_right(SEEN, [Story("slipped", 3), Story("slipped", 2)])
    assert off == pytest.approx(-2 * STEP + 1j * STEP)


def test_a_decimal_slip_is_put_right_where_the_number_is_largest():
    right, off = put_right(SEEN, [Story("decimal", 3)])
    assert off == 0
    assert right.values[2] == pytest.approx(0.1 * SEEN.values[2])
