"""The numbers of bow and arrow as they were in each round."""

import pytest

from vireton.job import NewRound, append_round, create_log, put_back, read_log, setup_of
from vireton.job.edits import edit_of, with_edit
from vireton.job.setups import changes_of, check_sets, speaks_of_bow
from vireton.tuning.changes import Change
from vireton.tuning.observations import Tear
from vireton.units.problems import InputProblem

POUND, GRAIN, INCH = 4.4482216152605, 6.479891e-5, 0.0254
TEAR = Tear("bare", 1.8288, 0.0, 0.0)


def changed(log, *changes, **more):
    append_round(log, NewRound((TEAR,), changes=changes, **more))


def weight(log, version=None):
    return setup_of(read_log(log), version).bow.draw_weight / POUND


def test_a_change_holds_from_its_round_on(log):
    changed(log)
    changed(log, Change("point", sets=(("arrow.point.mass", "125 gr"),)))
    changed(log)
    job = read_log(log)
    assert [one.version for one in job.rounds.all] == [0, 1, 1]
    before, after = (setup_of(job, number) for number in (0, 1))
    assert before.parts.point.mass == pytest.approx(100 * GRAIN)
    assert after.parts.point.mass == pytest.approx(125 * GRAIN)
    # the same bow gives a heavier arrow less speed
    assert after.bow.arrow_speed < before.bow.arrow_speed
    assert setup_of(job) == after


def test_turns_alone_change_the_weight_and_a_given_weight_wins(log):
    changed(log, Change("draw weight", turns=-1.0))
    assert weight(log) == pytest.approx(60 * 0.96)
    changed(log, Change("draw weight", turns=-1.0))
    assert weight(log) == pytest.approx(60 * 0.96**2)
    changed(log, Change("draw weight", turns=-1.0, sets=(("bow.draw_weight", "54 lb"),)))
    assert weight(log) == pytest.approx(54.0)
    changed(log, Change("draw weight", turns=0.5))
    assert weight(log) == pytest.approx(54.0 * 1.02)
    put_back(log)
    assert weight(log) == pytest.approx(54.0)


def test_turns_change_the_weight_of_a_job_of_an_older_version_too(log):
    kept = log.read_text(encoding="utf-8")
    log.write_text(kept[: kept.index("\nsetup_text")], encoding="utf-8")
    changed(log, Change("draw weight", turns=1.0))
    assert weight(log) == pytest.approx(60 * 1.04)


def test_tape_has_a_place_and_goes_off_again(log):
    changed(log, Change("bare shaft", sets=(("arrow.bare_tape.mass", "20 gr"),)))
    tape = setup_of(read_log(log)).parts.bare_tape
    assert tape is not None
    assert tape.mass == pytest.approx(20 * GRAIN)
    changed(log, Change("bare shaft", sets=(("arrow.bare_tape", "none"),)))
    assert setup_of(read_log(log)).parts.bare_tape is None


def test_numbers_that_no_setup_has_are_refused():
    with pytest.raises(InputProblem, match=r"did you mean \"arrow.point.mass\""):
        check_sets(Change("point", sets=(("arrow.point.mas", "1 gr"),)), "--changed")
    with pytest.raises(InputProblem, match=r"arrow.vanes.count: "):
        check_sets(Change("vanes", sets=(("arrow.vanes.count", "9"),)), "--changed")
    check_sets(Change("vanes", sets=(("arrow.vanes.count", "4"),)), "--changed")


def edited(setup_file, old, new):
    text = setup_file.read_text(encoding="utf-8")
    assert old in text
    setup_file.write_text(text.replace(old, new), encoding="utf-8")


def test_an_edited_file_reads_no_round_anew_by_itself(log, setup_file):
    changed(log)
    assert edit_of(log) is None
    setup_file.write_text(
        "# a comment more\n" + setup_file.read_text(encoding="utf-8"), encoding="utf-8"
    )
    assert edit_of(log) is None
    edited(setup_file, 'draw_weight = "60 lbf"', 'draw_weight = "58 lbf"')
    assert weight(log) == pytest.approx(60.0)
    edit = edit_of(log)
    assert edit is not None
    assert edit.words == "bow.draw_weight 60 lbf → 58 lbf"
    assert edit.of_bow == ["bow.draw_weight"]


def test_a_changed_bow_keeps_earlier_rounds_a_wrong_number_does_not(log, setup_file):
    changed(log)
    edited(setup_file, 'draw_weight = "60 lbf"', 'draw_weight = "58 lbf"')
    edit = edit_of(log)
    new, said = with_edit(NewRound((TEAR,)), edit, "changed")
    assert [one.what for one in new.changes] == ["draw weight"]
    assert "earlier rounds keep theirs" in said
    append_round(log, new)
    assert edit_of(log) is None
    assert [weight(log, one.version) for one in read_log(log).rounds.all] == pytest.approx([60, 58])
    edited(setup_file, 'draw_weight = "58 lbf"', 'draw_weight = "59 lbf"')
    new, said = with_edit(NewRound((TEAR,)), edit_of(log), "corrected")
    assert (new.changes, "All rounds are read" in said) == ((), True)
    append_round(log, new)
    assert [weight(log, one.version) for one in read_log(log).rounds.all] == pytest.approx([59] * 3)


def test_a_file_that_is_gone_is_no_edit(log, setup_file):
    changed(log)
    setup_file.unlink()
    assert edit_of(log) is None
    assert weight(log) == pytest.approx(60.0)


def test_a_job_of_an_older_version_takes_the_file_in_with_its_next_round(log):
    kept = log.read_text(encoding="utf-8")
    log.write_text(kept[: kept.index("\nsetup_text")], encoding="utf-8")
    assert read_log(log).versions[0].text is None
    edit = edit_of(log)
    assert edit is not None
    assert edit.is_first
    new, said = with_edit(NewRound((TEAR,)), edit, "corrected")
    append_round(log, new)
    assert said == ""
    assert read_log(log).versions[0].text == edit.text
    assert edit_of(log) is None


def test_what_an_edit_speaks_of():
    keys = ["arrow.name", "bow.rest.step", "uncertainty.point_lift", "arrow.point.mass", "bow.hand"]
    assert speaks_of_bow(keys) == ["arrow.point.mass", "bow.hand"]
    kinds = [one.what for one in changes_of(["arrow.point.mass", "arrow.length", "bow.rest.type"])]
    assert kinds == ["point", "arrow", "new rest"]


def test_a_measurement_is_no_change_of_the_bow(log, setup_file):
    changed(log)
    setup_file.write_text(
        setup_file.read_text(encoding="utf-8") + '\n[measured]\nstring_mass = "9 g"\n',
        encoding="utf-8",
    )
    edit = edit_of(log)
    assert edit is not None
    assert edit.is_measured_only
    assert edit.of_bow == []
    kept, said = with_edit(NewRound((TEAR,)), edit, "changed")
    assert kept.changes == ()
    assert "All rounds are read" in said
    assert "measured.string_mass nothing → 9 g" in said
    append_round(log, kept)
    job = read_log(log)
    assert {one.version for one in job.rounds.all} == {0}
    assert setup_of(job).measured == ("string_mass",)
    assert setup_of(job).bow.string_mass == pytest.approx(0.009, rel=1e-3)


def test_a_balance_point_that_is_measured_is_no_change_but_another_one_is(log, setup_file):
    changed(log)
    text = setup_file.read_text(encoding="utf-8")
    setup_file.write_text(text.replace("[arrow]", '[arrow]\nbalance = "17 in"'), encoding="utf-8")
    edit = edit_of(log)
    assert edit.of_bow == []
    append_round(log, with_edit(NewRound((TEAR,)), edit, "corrected")[0])
    setup_file.write_text(text.replace("[arrow]", '[arrow]\nbalance = "16 in"'), encoding="utf-8")
    assert edit_of(log).of_bow == ["arrow.balance"]


def test_a_changed_number_takes_its_measurement_with_it(tmp_path, setup_file):
    setup_file.write_text(
        setup_file.read_text(encoding="utf-8") + '\n[measured]\nstring_mass = "9 g"\n',
        encoding="utf-8",
    )
    log = create_log(tmp_path / "log.toml", setup_file).path
    changed(log)
    changed(log, Change("new string", sets=(("bow.string.mass", "12 g"),)))
    job = read_log(log)
    before, after = (setup_of(job, number) for number in (0, 1))
    assert before.measured == ("string_mass",)
    assert after.measured == ()
    assert after.bow.string_mass == pytest.approx(0.012)
