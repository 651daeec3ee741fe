"""What looks like a slip of typing is asked about, with two readings."""

import pytest

from vireton.answers.doubts import doubt_of
from vireton.bow.setting import BowSetting
from vireton.job import NewRound, append_round, create_log, read_log
from vireton.setup import template_text
from vireton.tuning.changes import Change
from vireton.tuning.observations import Tear, group_of_center, group_of_shots
from vireton.units.display import US

INCH, YARD = 0.0254, 0.9144
STEP = INCH / 32
PAPER = 6 * 0.3048


@pytest.fixture
def log(tmp_path):
    (tmp_path / "bow.toml").write_text(template_text(), encoding="utf-8")
    return create_log(tmp_path / "log.toml", tmp_path / "bow.toml").path


def doubt(log, *seen, **more):
    return doubt_of(read_log(log), NewRound(tuple(seen), **more), US)


def torn(right, up=0.0):
    return Tear("bare", PAPER, right * INCH, up * INCH)


def test_a_tear_of_four_inches_may_be_four_tenths(log):
    found = doubt(log, torn(-4.0, 0.5))
    assert found is not None
    assert found.as_typed == "bare tear at 6 ft: tail left 4 in, high 1/2 in"
    assert found.meant == "bare tear at 6 ft: tail left 0.4 in, high 1/2 in"
    assert found.other is not None
    assert found.other.observations == (torn(-0.4, 0.5),)
    assert doubt(log, torn(-1.5, 0.5)) is None


@pytest.mark.parametrize("far", [20.0, 60.0])
def test_a_group_far_off_but_a_far_shot_may_drop(log, far):
    at = far * YARD
    limit = (6.0 + 0.017 * far * 36.0) * INCH
    assert doubt(log, group_of_shots("bare", at, ((0.9 * limit, -3.9 * limit),))) is None
    wide = doubt(log, group_of_shots("bare", at, ((0.0, 0.0), (1.1 * limit, 0.0))))
    assert wide is not None
    assert wide.other is not None
    (meant,) = wide.other.observations
    assert meant.shots[1][0] == pytest.approx(0.11 * limit, abs=1e-4 * INCH)
    high = doubt(log, group_of_center("fletched", at, (0.0, 1.1 * limit), 3))
    assert high is not None


def test_a_large_move_at_one_go(log):
    found = doubt(log, move=BowSetting(0.5 * INCH, -STEP))
    assert found is not None
    assert found.other is not None
    assert found.other.move == BowSetting(pytest.approx(0.05 * INCH), -STEP)
    assert doubt(log, move=BowSetting(0.25 * INCH, -0.25 * INCH)) is None


def tuned(log):
    """A bow that answers as most do: two tears, moved and moved back."""
    for move, tear in ((0, (-0.5, 0.25)), (2, (-0.25, 0.25)), (0, (-0.25, 0.25)), (2, (0.0, 0.25))):
        append_round(log, NewRound((torn(*tear), torn(*tear)), move=BowSetting(move * STEP)))


def test_a_tear_on_the_other_side_than_all_others_is_asked_about(log):
    for _ in range(4):
        append_round(log, NewRound((torn(-0.75), torn(-0.75))))
    found = doubt(log, torn(0.75), torn(0.75))
    assert found is not None
    assert "Are left and right the right way round?" in found.question
    assert found.other is not None
    assert found.other.observations == (torn(-0.75), torn(-0.75))
    assert doubt(log, torn(-0.7), torn(-0.75)) is None


def test_a_move_that_the_shots_contradict_is_asked_about(log):
    tuned(log)
    seen = (torn(-0.5, 0.25), torn(-0.5, 0.25), torn(-0.5, 0.25))
    found = doubt(log, *seen, move=BowSetting(4 * STEP))
    assert found is not None
    assert found.question.startswith("Did the rest go the way you typed?")
    assert (found.as_typed, found.meant) == ("rest right 1/8 in", "rest left 1/8 in")
    assert found.other is not None
    assert found.other.move == BowSetting(-4 * STEP)
    assert found.other.observations == seen


def test_what_a_change_does_is_no_slip(log):
    for _ in range(4):
        append_round(log, NewRound((torn(-0.75), torn(-0.75))))
    assert doubt(log, torn(0.75), torn(0.75), changes=(Change("cam spacer"),)) is None


def test_a_job_whose_setup_cannot_be_used_is_not_asked(log, tmp_path):
    for _ in range(2):
        append_round(log, NewRound((torn(-0.75),)))
    text = log.read_text(encoding="utf-8")
    start, end = text.index("\nsetup_text"), text.index("[[round]]")
    log.write_text(f"{text[:start]}\n{text[end:]}", encoding="utf-8")
    (tmp_path / "bow.toml").unlink()
    assert doubt(log, torn(0.75)) is None
