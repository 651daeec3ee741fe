"""What is said of a round, apart from the command."""

from pathlib import Path

import pytest

from vireton.job import TuningLog
from vireton.job.round_words import observation_words, rest_move, round_lines, two_things
from vireton.tuning.observations import (
    Round,
    Rounds,
    Tear,
    group_of_center,
    group_of_shots,
)

INCH = 0.0254
STEP = INCH / 32


def log_of(*rounds):
    return TuningLog(Path("log.toml"), Path("bow.toml"), None, Rounds(rounds), ("",) * len(rounds))


@pytest.mark.parametrize(
    ("right", "up", "said"),
    [
        (0.0, 0.0, "clean"),
        (-2 * STEP, 0.0, "tail left 1/16 in, level"),
        (0.0, -4 * STEP, "tail low 1/8 in, not sideways"),
        (44 * STEP, STEP, "tail right 1 3/8 in, high 1/32 in"),
    ],
)
def test_tears_say_both_axes(right, up, said):
    assert (
        observation_words(Tear("bare", 6 * 0.3048, right, up), "us") == f"bare tear at 6 ft: {said}"
    )


def test_groups_say_their_middle():
    assert observation_words(group_of_shots("bare", 18.288, ((0.0, -INCH),)), "us") == (
        "bare group at 20 yd: 1 shot, middle 0.00 in right of and 1.00 in below where you aimed"
    )
    spread = group_of_center("fletched", 18.0, (0.01, 0.02), 5, 0.03)
    assert observation_words(spread, "metric") == (
        "fletched group at 18 m: 5 shots, middle 1.00 cm right of and 2.00 cm above where you "
        "aimed, one arrow's spread 3.00 cm"
    )


def test_moves_are_counted_from_the_round_before():
    first, second = Round(1, STEP, 0.0), Round(5, 0.0, -STEP)
    log = log_of(first, second)
    assert rest_move(log, first) == (STEP, 0.0)
    assert rest_move(log, second) == (-STEP, -STEP)
    assert round_lines(log, second, "us")[0] == "round 5: rest moved left 1/32 in, down 1/32 in"


def test_an_undo_of_both_axes_is_no_warning():
    first, back = Round(1, STEP, STEP), Round(2, 0.0, 0.0, undoes=1)
    assert two_things(log_of(first, back), back, "us") == []
    assert len(two_things(log_of(first), first, "us")) == 1


def test_what_a_round_saw_that_is_taken_back_is_no_look():
    tear = Tear("bare", 6 * 0.3048, 0.0, 0.0)
    rounds = [
        Round(1, 0.0, 0.0, (tear,)),
        Round(2, STEP, 0.0),
        Round(3, STEP, STEP),
        Round(4, STEP, STEP, (tear,)),
    ]
    assert len(two_things(log_of(*rounds), rounds[-1], "us")) == 1
    rounds[1:3] = [Round(2, STEP, 0.0, (tear,)), Round(3, STEP, STEP)]
    assert two_things(log_of(*rounds), rounds[-1], "us") == []
    undone = Round(3, STEP, 0.0, undoes=2)
    last = Round(4, STEP, STEP, (tear,))
    assert len(two_things(log_of(rounds[0], rounds[1], undone, last), last, "us")) == 1
