"""As received, as left, and what moved in between."""

from vireton.job import Intake, NewRound, append_round, create_log, read_log
from vireton.job.visits import moved_lines, moved_since, visits_of


def measured(log, date="", **values):
    append_round(log, NewRound(measures=values, date=date))


def test_a_visit_has_what_came_first_and_what_was_last(setup_file, tmp_path):
    log = tmp_path / "job.toml"
    create_log(log, setup_file, Intake(owner="A.", complaint="left", date="2026-05-01"))
    measured(log, "2026-05-01", draw_weight="60 lb", brace_height="6 1/2 in")
    measured(log, "2026-05-01", draw_weight="58 lb", timing="even")
    append_round(log, NewRound(stage="done", date="2026-05-01"))
    (only,) = visits_of(read_log(log))
    assert only.received == {"draw_weight": "60 lb", "brace_height": "6 1/2 in", "timing": "even"}
    assert only.left == {"draw_weight": "58 lb", "brace_height": "6 1/2 in", "timing": "even"}
    assert (only.complaint, only.date) == ("left", "2026-05-01")
    assert moved_lines(read_log(log)) == []


def test_what_moved_is_said_with_what_it_usually_does(log):
    measured(
        log, "2025-11-01", draw_weight="60 lb", brace_height="6 1/2 in", timing="even", peep="5 in"
    )
    append_round(log, NewRound(stage="done", date="2025-11-01"))
    append_round(log, NewRound(stage="visit", complaint="groups open", date="2026-11-01"))
    job = read_log(log)
    assert job.rounds.all[-1].years is not None
    assert abs(job.rounds.all[-1].years - 1.0) < 0.01
    assert "Measure it first" in moved_lines(job)[0]
    measured(log, draw_weight="57 lb", brace_height="6 33/64 in", timing="Even")
    moved = moved_since(read_log(log))
    assert [(one.key, one.was, one.now) for one in moved] == [("draw_weight", "60 lb", "57 lb")]
    first, same, missing = moved_lines(read_log(log))
    assert first.startswith("Moved since: draw weight from 60 lb to 57 lb: the shaft acts stiffer")
    assert same == "As it was left: brace height, timing"
    assert missing == "Not measured yet this time: peep"
    assert visits_of(read_log(log))[-1].complaint == "groups open"


def test_withdrawn_measures_do_not_count(log):
    from vireton.job import withdraw_last

    measured(log, draw_weight="60 lb")
    measured(log, draw_weight="6 lb")
    withdraw_last(log)
    (only,) = visits_of(read_log(log))
    assert only.left == {"draw_weight": "60 lb"}
