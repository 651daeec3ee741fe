"""What is said after a round."""

import pytest

from vireton.answers.recorded_words import broadhead_words, recorded_words, several_words
from vireton.answers.tune import tune_log
from vireton.bow.setting import BowSetting
from vireton.job import NewRound, append_round, create_log, read_log
from vireton.setup import template_text
from vireton.tuning.changes import Change
from vireton.tuning.observations import Found, Tear, group_of_center
from vireton.units.display import US

INCH, YARD = 0.0254, 0.9144
STEP = INCH / 32
AT = 40 * YARD


def torn(right, up=0.0):
    return Tear("bare", 6 * 0.3048, right * INCH, up * INCH)


@pytest.fixture
def log(tmp_path):
    (tmp_path / "bow.toml").write_text(template_text(), encoding="utf-8")
    return create_log(tmp_path / "log.toml", tmp_path / "bow.toml").path


def said(log, *seen, **more):
    append_round(log, NewRound(tuple(seen), **more))
    return recorded_words(tune_log(read_log(log)), US)


def test_what_to_do_comes_first_then_what_to_look_for_then_better_or_worse(log):
    assert said(log, torn(-0.5))[0].split()[0] in ("Rest", "Shoot")
    first, look, better, *more = said(log, torn(-0.25), move=BowSetting(2 * STEP))
    assert first.split()[0] in ("Rest", "Shoot")
    assert "ook for" in look
    assert better.startswith("Round 2 made it better, as expected: ")
    assert " in off before, " in better
    assert len(more) <= 2
    # it was said when it was new
    assert not any(line.startswith("Round 2") for line in said(log, torn(0.0)))


def test_contact_comes_before_any_move_until_it_is_cured(log):
    said(log, torn(-0.5))
    first, *rest = said(log, Found("contact", "lower vane", "powder"))
    assert first.startswith("Cure the contact first: arrows shot with it don't count")
    assert "Lower vane, powder: turn the nock" in first
    assert rest == []
    assert said(log, torn(-0.25))[0].startswith("Cure the contact first:")
    cured = said(log, torn(-0.25), changes=(Change("nock turned"),))
    assert not any("Cure" in line for line in cured)
    # what was shot with it says nothing, so nothing is called better
    assert not any(line.startswith("Round") for line in cured)


def test_timing_comes_first_too(log):
    said(log, torn(0.0, 0.5))
    assert said(log, Found("timing off"))[0].startswith("Set the timing first:")
    assert not said(log, changes=(Change("cable", turns=0.5),))[0].startswith("Set the timing")


def test_two_changes_at_once_are_told_what_one_would_have_said(log):
    said(log, torn(-0.5), torn(-0.5))
    assert not any(
        "changed 2 things" in line for line in said(log, torn(0.0), move=BowSetting(STEP))
    )
    both = said(log, torn(-0.25), move=BowSetting(STEP), changes=(Change("cam spacer"),))
    (line,) = (one for one in both if "changed 2 things" in one)
    assert line.startswith("Round 3 changed 2 things at once, so nobody can say which one did it")
    assert "with the rest move alone it would be" in line


def test_without_anything_seen_nothing_is_compared(log):
    append_round(log, NewRound(move=BowSetting(STEP), changes=(Change("peep"), Change("loop"))))
    assert several_words(tune_log(read_log(log)), US) == []


def test_broadheads_beside_field_points(log, tmp_path):
    points = group_of_center("fletched", AT, (0.0, 0.0), 3)
    heads = group_of_center("broadhead", AT, (1.0 * INCH, 0.0), 3)
    append_round(log, NewRound((points, heads)))
    (line,) = broadhead_words(tune_log(read_log(log)), US)
    assert "has no [arrow.broadhead]" in line
    head = tmp_path / "head.toml"
    head.write_text(BROADHEAD, encoding="utf-8")
    headed = create_log(tmp_path / "headed.toml", head).path
    append_round(headed, NewRound((points, heads)))
    (line,) = broadhead_words(tune_log(read_log(headed)), US)
    assert line.startswith("Broadheads at 40 yd: 1.0 in right and level of field points. Aim ")
    far = group_of_center("broadhead", AT, (30.0 * INCH, 0.0), 3)
    append_round(headed, NewRound((points, far)))
    (line,) = broadhead_words(tune_log(read_log(headed)), US)
    assert "Check that each head spins true" in line or "Bring the bare shafts in first" in line
    nearer = group_of_center("fletched", AT / 2.0, (0.0, 0.0), 3)
    append_round(headed, NewRound((nearer, heads)))  # nothing beside them
    assert broadhead_words(tune_log(read_log(headed)), US) == []
    append_round(headed, NewRound((torn(0.0),)))
    assert broadhead_words(tune_log(read_log(headed)), US) == []


#: The template with a broadhead.
BROADHEAD = (
    template_text()
    + """
[arrow.broadhead]
mass = "100 gr"
length = "1.2 in"
blades = 3
cutting_diameter = "1 1/16 in"
blade_length = "0.9 in"
blade_thickness = "0.7 mm"
ferrule_diameter = "0.25 in"
"""
)
