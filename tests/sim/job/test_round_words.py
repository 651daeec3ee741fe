"""What is said of a round, apart from the command."""

from pathlib import Path

from vireton.bow.setting import BowSetting
from vireton.job import TuningLog
from vireton.job.round_words import rest_move, round_lines, two_things
from vireton.tuning.observations import Tear
from vireton.tuning.rounds import Round, Rounds

INCH = 0.0254
STEP = INCH / 32


def log_of(*rounds):
    return TuningLog(Path("log.toml"), Path("bow.toml"), None, Rounds(rounds), ("",) * len(rounds))


def test_moves_are_counted_from_the_round_before():
    first, second = Round(1, BowSetting(STEP)), Round(5, BowSetting(0.0, -STEP))
    log = log_of(first, second)
    assert rest_move(log, first) == (STEP, 0.0)
    assert rest_move(log, second) == (-STEP, -STEP)
    assert round_lines(log, second, "us")[0] == "round 5: rest moved left 1/32 in, down 1/32 in"


def test_an_undo_of_both_axes_is_no_warning():
    first, back = Round(1, BowSetting(STEP, STEP)), Round(2, BowSetting(), undoes=1)
    assert two_things(log_of(first, back), back, "us") == []
    assert len(two_things(log_of(first), first, "us")) == 1


def test_what_a_round_saw_that_is_taken_back_is_no_look():
    tear = Tear("bare", 6 * 0.3048, 0.0, 0.0)
    rounds = [
        Round(1, BowSetting(), (tear,)),
        Round(2, BowSetting(STEP)),
        Round(3, BowSetting(STEP, STEP)),
        Round(4, BowSetting(STEP, STEP), (tear,)),
    ]
    assert len(two_things(log_of(*rounds), rounds[-1], "us")) == 1
    rounds[1:3] = [Round(2, BowSetting(STEP), (tear,)), Round(3, BowSetting(STEP, STEP))]
    assert two_things(log_of(*rounds), rounds[-1], "us") == []
    undone = Round(3, BowSetting(STEP), undoes=2)
    last = Round(4, BowSetting(STEP, STEP), (tear,))
    assert len(two_things(log_of(rounds[0], rounds[1], undone, last), last, "us")) == 1
