"""What stands on the card of a job: nothing that was not measured, every change, what is left."""

import pytest

from vireton.answers.tune import Tune
from vireton.job import parse_log
from vireton.report.card import card_of
from vireton.units.display import METRIC, US

JOB = """
[job]
owner = "A. Customer"
date = "2026-05-01"
complaint = "bare shafts fly left"
"""
INTAKE = """
[[round]]
date = "2026-05-01"
[round.measures]
draw_weight = "60 lb"
brace_height = "6 1/2 in"
timing = "even"
"""
TEAR = """
[[round]]
[[round.tear]]
arrow = "bare"
at = "6 ft"
right = "-3/8 in"
up = "1/8 in"
"""
MOVED = """
[[round]]
rest_right = "1/16 in"
[[round.tear]]
arrow = "bare"
at = "6 ft"
right = "0 in"
up = "0 in"
"""
CAMS = """
[[round]]
[[round.change]]
what = "cam spacer"
right = "1/32 in"
"""
CONTACT = """
[[round]]
[[round.found]]
what = "contact"
where = "lower left vane"
how = "powder"
"""
CURED = """
[[round]]
[[round.change]]
what = "nock turned"
[[round.found]]
what = "contact gone"
"""
GROUPS = """
[[round]]
[[round.group]]
arrow = "fletched"
at = "20 yd"
shots = ["3.5 in, -0.3 in", "3.9 in, 0.2 in", "3.7 in, 0.1 in"]
[[round.group]]
arrow = "bare"
at = "20 yd"
shots = ["4.0 in, 0.1 in", "4.2 in, 0.4 in"]
"""
DONE = """
[[round]]
date = "2026-05-02"
stage = "done"
[round.measures]
draw_weight = "59 lb"
speed = "281 fps"
"""


@pytest.fixture
def card(pytestconfig, tmp_path):
    """The card of a job with these tables."""
    setup = pytestconfig.rootpath / "examples" / "mill_bow.toml"

    def make(*tables, units=US):
        text = f'schema = 1\nsetup = "{setup}"\n' + "".join(tables)
        log = parse_log(text.encode(), tmp_path / "mill.toml")
        return card_of(Tune.read({"log": log}), units)

    return make


def test_a_whole_job(card):
    found = card(JOB, INTAKE, TEAR, MOVED, CAMS, CONTACT, CURED, GROUPS, DONE)
    assert (found.bow, found.owner, found.complaint) == (
        "Mill bow", "A. Customer", "bare shafts fly left",
    )  # fmt: skip
    assert (found.date_in, found.date_out, found.is_done) == ("2026-05-01", "2026-05-02", True)
    assert found.state == "handed over 2026-05-02"
    assert found.done == (
        "In all the rest moved right 1/16 in",
        "Cam spacer moved: right 1/32 in",
        "Found: contact (lower left vane, powder)",
        "Nock turned",
        "Found: contact gone",
    )
    assert dict(found.arrow) == {
        "Name": "Maple 340", "Length": "28 1/2 in", "Weight": "415 gr", "Point": "100 gr",
        "Spine": "0.340 in",
    }  # fmt: skip
    assert found.first_mark == "20 yd"
    assert [far for far, _ in found.marks] == ["30 yd", "40 yd", "50 yd", "60 yd"]
    assert [far for far, *_ in found.left] == ["20 yd", "40 yd", "60 yd"]
    assert "the fletched ones, give or take" in found.left[0][1]
    assert found.sight.startswith("Move it 3.7 in right")
    assert found.again.startswith("Come back in a year")
    assert found.warnings == ()
    assert found.walkback == ""


def test_only_what_was_measured_stands_beside_what_was_measured_then(card):
    rows = {one.name: one for one in card(JOB, INTAKE, MOVED, DONE).measured}
    assert list(rows) == ["draw weight", "brace height", "timing", "arrow speed"]
    weight, brace, speed = (rows[k] for k in ("draw weight", "brace height", "arrow speed"))
    assert (weight.received, weight.left, weight.is_changed) == ("60 lb", "59 lb", True)
    assert (brace.received, brace.left, brace.is_changed) == ("6 1/2 in", "", False)
    assert (speed.received, speed.left, speed.is_changed) == ("", "281 fps", False)


def test_a_measure_that_a_later_change_may_have_moved_says_so(card):
    string = '[[round]]\n[[round.change]]\nwhat = "new string"\n'
    found = card(JOB, INTAKE, MOVED + '[round.measures]\nbrace_height = "6 5/8 in"\n', string, DONE)
    rows = {one.name: one for one in found.measured}
    assert rows["brace height"].left == "6 5/8 in"
    assert rows["brace height"].is_old
    assert not rows["draw weight"].is_old
    assert "some hundred shots: the fresh string" in found.again


def test_a_job_with_nothing_in_it(card):
    found = card()
    assert found.state == "not handed over yet"
    assert found.measured == found.done == found.left == ()
    assert found.sight == ""
    assert found.left_note.startswith("No arrow is on record")


def test_moved_and_back(card):
    back = '[[round]]\nrest_right = "0 in"\n'
    assert card(MOVED, back).done == ("The rest was tried elsewhere and stands where it was",)


def test_what_was_withdrawn_was_not_done(card):
    undone = '[[round]]\nrest_right = "0 in"\nrest_up = "0 in"\nundoes = 1\n'
    assert card(CAMS, undone).done == ()


def test_a_change_put_back(card):
    back = '[[round]]\nputs_back = 1\n[[round.change]]\nwhat = "cam spacer"\nright = "-1/32 in"\n'
    assert card(CAMS, back).done == (
        "Cam spacer moved: right 1/32 in",
        "Put back: cam spacer moved: left 1/32 in",
    )


def test_contact_that_is_not_cured_and_a_look_over_that_was_not_passed(card):
    worn = '[[round]]\n[round.look_over]\nlimbs = "ok"\nstrings = "frayed at the loop"\n'
    found = card(worn, TEAR, CONTACT)
    assert found.warnings == (
        "A qualified technician puts this right before anybody draws this bow: string and cables "
        "frayed at the loop.",
        "Still open: contact. Cure the contact first (lower left vane).",
    )
    fine = worn.replace("frayed at the loop", "ok")
    assert card(worn, TEAR, fine).warnings == ()


def test_the_card_is_of_the_last_visit(card):
    visit = '[[round]]\ndate = "2027-05-01"\nstage = "visit"\ncomplaint = "groups open up"\n'
    found = card(JOB, INTAKE, MOVED, DONE, visit, CAMS)
    assert (found.visit, found.date_in, found.complaint) == (2, "2027-05-01", "groups open up")
    assert found.done == ("Cam spacer moved: right 1/32 in",)
    assert found.measured == ()
    assert not found.is_done


def test_keys_of_the_setup_file_are_no_words_for_a_customer(card):
    slower = (
        '[[round]]\n[[round.change]]\nwhat = "point"\n'
        'sets = {"arrow.point.mass" = "125 gr", "bow.arrow_speed" = "272 fps"}\n'
    )
    found = card(TEAR, slower)
    assert found.done == ("Point changed: 125 gr, arrow speed 272 fps",)
    assert dict(found.arrow)["Point"] == "125 gr"
    assert found.arrow_note == ""
    unknown = '[[round]]\n[[round.change]]\nwhat = "arrow"\n'
    assert card(TEAR, unknown).arrow_note == "Other arrows since: no new numbers were recorded"


def test_metric(card):
    found = card(JOB, INTAKE, MOVED, GROUPS, units=METRIC)
    assert dict(found.arrow)["Weight"] == "26.9 g"
    assert [far for far, *_ in found.left] == ["20 m", "40 m", "60 m"]
    assert found.marks[0][0] == "30 m"
    assert found.marks[0][1].endswith(" mm")
    assert " cm " in found.sight
    assert " at 20 m," in found.sight
    # what was typed stays as it was typed
    assert found.measured[0].received == "60 lb"


def test_a_walkback_has_its_verdict(card):
    walked = (
        '[[round]]\n[[round.walkback]]\nat = "20 yd"\nright = "0.1 in"\n'
        '[[round.walkback]]\nat = "40 yd"\nright = "1.9 in"\n'
        '[[round.walkback]]\nat = "60 yd"\nright = "4.1 in"\n'
    )
    assert card(TEAR, walked).walkback.startswith("Walk-back")


def test_a_bare_shaft_that_belongs_high_is_no_fault(card):
    note = card(TEAR, MOVED).left_note
    assert note.startswith("A bare shaft is lighter and slicker: even from a clean launch it lands")
    assert note.endswith("in high at 60 yd.") and "in high at 20 yd, " in note
    assert not card().left
    assert "lighter and slicker" not in card().left_note
