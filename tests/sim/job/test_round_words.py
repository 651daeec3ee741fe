"""What is said of a round, apart from the command."""

from pathlib import Path

from vireton.bow.setting import BowSetting
from vireton.job import TuningLog
from vireton.job.round_words import rest_move, round_json, round_lines, two_things
from vireton.tuning.rounds import Round, Rounds

INCH = 0.0254
STEP = INCH / 32


def log_of(*rounds):
    return TuningLog(Path("log.toml"), Path("bow.toml"), None, Rounds(rounds))


def test_moves_are_counted_from_the_round_before():
    first, second = Round(1, BowSetting(STEP)), Round(5, BowSetting(0.0, -STEP))
    log = log_of(first, second)
    assert rest_move(log, first) == (STEP, 0.0)
    assert rest_move(log, second) == (-STEP, -STEP)
    assert round_lines(log, second, "us")[0] == "Round 5. Rest moved left 1/32 in, down 1/32 in"


def test_json_is_in_inches_from_the_start_and_from_the_round_before():
    first, second = Round(1, BowSetting(STEP, 2 * STEP)), Round(2, BowSetting(-STEP, 3 * STEP))
    told = round_json(log_of(first, second), second)
    assert (told["rest_right_in"], told["rest_up_in"]) == (-1 / 32, 3 / 32)
    assert (told["moved_right_in"], told["moved_up_in"]) == (-1 / 16, 1 / 32)


def test_both_axes_at_once_are_no_warning_but_another_part_is():
    first, second = Round(1, BowSetting(STEP, STEP)), Round(2, BowSetting(), note="new nocks")
    assert two_things(log_of(first), first) == []
    (warning,) = two_things(log_of(first, second), second)
    assert 'speaks of "nocks"' in warning
    still = Round(3, BowSetting(), note="new nocks")
    assert two_things(log_of(first, second, still), still) == []


def test_where_the_rest_is_means_now_and_not_in_a_round_that_was_corrected():
    first, second = Round(1, BowSetting(STEP)), Round(2, BowSetting(-2.0 * STEP))
    log = log_of(first, second)
    assert round_lines(log, first, "us")[-1] == "The rest is 1/16 in farther left than at the start"
    assert len(round_lines(log, first, "us", standing=False)) == 1
