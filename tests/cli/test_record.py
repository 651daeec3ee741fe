"""``vireton record``: one line is one round, said back in words."""

import json
import shlex
import subprocess
import sys
from datetime import date

import pytest

from vireton.bow.setting import BowSetting
from vireton.job import read_log
from vireton.setup import template_text
from vireton.tuning.observations import Looked, Tear, WalkbackPoint, group_of_center, group_of_shots

INCH, YARD, FOOT = 0.0254, 0.9144, 0.3048
STEP = INCH / 32


@pytest.fixture
def log(vireton, setup_file, tmp_path):
    path = tmp_path / "my log.toml"
    done = vireton("record", path, "--setup", setup_file)
    assert (done.code, done.err) == (0, "")
    assert done.out == f"Began {path} for the bow of {setup_file}\n"
    return path


@pytest.fixture
def record(vireton, log):
    def call(*arguments):
        done = vireton("record", log, *arguments)
        assert done.code == 0, done.err
        return done

    return call


def refused(done, *words):
    assert done.code == 2, done.out + done.err
    assert done.out == ""
    assert "Traceback" not in done.err
    for word in words:
        assert word in done.err, done.err


def test_the_line_of_the_bench(record, log):
    done = record("--tear", "bare", "left 1/16 in, high 1/8 in", "--at", "6ft")
    (one,) = read_log(log).rounds.all
    assert one.observations == (Tear("bare", 6 * FOOT, -INCH / 16, INCH / 8),)
    assert read_log(log).dates == (date.today().isoformat(),)
    assert done.err == ""
    answer, recorded = done.out.split("\n\n")
    assert answer.startswith("· Rest ")
    assert recorded.startswith("· Round 1. Bare tear at 6 ft: tail left 1/16 in, high 1/8 in\n")
    name = shlex.quote(str(log))
    assert done.out.endswith(f"\ntyped wrong: vireton record {name} --correct 1 WHAT (or --undo)\n")


def test_the_trades_marks_are_read(record, log):
    record("--tear", "bare", 'left 1/16", high 1/8″', "--at", "6'", "-r", "left two clicks")
    (one,) = read_log(log).rounds.all
    assert one.observations == (Tear("bare", 6 * FOOT, -INCH / 16, INCH / 8),)
    assert one.setting.rest_right == -INCH / 16
    record("--rest-at", "right 1 click", "--measured", 'draw weight 58#, brace 6 7/8, peep 5 1/4"')
    log = read_log(log)
    assert log.setting.rest_right == INCH / 32
    assert log.paperwork[-1].measures["brace_height"] == "6 7/8 in"


def test_clicks_need_their_size(vireton, edited, tmp_path):
    """A rest whose step the setup file leaves out."""
    bare = edited(("step =", "# step ="))
    done = vireton("record", tmp_path / "a.toml", "--setup", bare, "--rest", "up 2 clicks")
    refused(done, "how far one click moves the rest", "under [bow.rest]")


def test_everything_in_one_line(record, log):
    done = record(
        *("--rest", "right 1/32 in"),
        *("--tear", "bare", "tail-left 1/16 in", "--tear", "fletched", "clean"),
        *("--group", "fletched", "20yd", "0.2,0.1 -0.3,0.4"),
        *("--group", "bare", "20 yd", "-0.3,0.4 2,1 cm"),
        *("--center", "bare", "30yd", "left 3 in, low 1 in", "--count", "3", "--spread", "1 in"),
        *("--walkback", "20yd 0.1, 40yd left 0.4in"),
        *("--note", "a  quiet\nday"),
    )
    (one,) = read_log(log).rounds.all
    cm = 0.01
    assert (one.setting.rest, one.note) == ((STEP, 0.0), "a  quiet\nday")
    assert one.observations == (
        Tear("bare", 6 * FOOT, -INCH / 16, 0.0),
        Tear("fletched", 6 * FOOT, 0.0, 0.0),
        group_of_shots(
            "fletched", 20 * YARD, ((0.2 * INCH, 0.1 * INCH), (-0.3 * INCH, 0.4 * INCH))
        ),
        group_of_shots("bare", 20 * YARD, ((-0.3 / 100, 0.4 / 100), (2 * cm, cm))),
        group_of_center("bare", 30 * YARD, (-3 * INCH, -INCH), 3, INCH),
        WalkbackPoint(20 * YARD, 0.1 * INCH),
        WalkbackPoint(40 * YARD, -0.4 * INCH),
    )
    recorded = done.out.split("\n\n")[1].replace("\n  ", " ")
    assert recorded.split("\n")[:10] == [
        "· Round 1. Rest moved right 1/32 in",
        "· Bare tear at 6 ft: tail left 1/16 in, level",
        "· Fletched tear at 6 ft: clean",
        "· Fletched group at 20 yd: 2 shots, 0.05 in left, 0.25 in high",
        "· Bare group at 20 yd: 2 shots, 0.33 in right, 0.28 in high",
        "· Bare group at 30 yd: 3 shots, 3.00 in left, 1.00 in low, one arrow's spread 1.00 in",
        "· Walk-back at 20 yd: 0.10 in right of the plumb line",
        "· Walk-back at 40 yd: 0.40 in left of the plumb line",
        "· Note: a quiet day",
        "· The rest is 1/32 in farther right than at the start",
    ]


def test_metric_numbers_without_a_unit_are_centimeters(record, log):
    done = record("--units", "metric", "--group", "bare", "18m", "2,-1", "--walkback", "30m 1.5")
    (one,) = read_log(log).rounds.all
    assert one.observations == (
        group_of_shots("bare", 18.0, ((0.02, -0.01),)),
        WalkbackPoint(30.0, 0.015),
    )
    assert "Bare group at 18 m: 1 shot, 2.00 cm right, 1.00 cm low" in done.out


def test_moves_add_up_and_places_replace(record, log):
    record("--rest", "right 1/32 in")
    done = record("--rest", "+1/16 in right")
    assert "· Round 2. Rest moved right 1/16 in\n" in done.out
    assert "· The rest is 3/32 in farther right than at the start" in done.out
    done = record("--rest-at", "left 1/32 in")
    assert "· Round 3. Rest moved left 1/8 in\n" in done.out
    assert read_log(log).setting.rest == (-STEP, 0.0)
    done = record("--rest-at", "right 0 in, down 1/32 in")
    assert read_log(log).setting.rest == (0.0, -STEP)


def test_undo_withdraws_what_was_typed_and_speaks_of_no_move(record, log):
    record("--rest", "right 1/32 in", "--note", "first")
    record("--rest", "up 1/16 in")
    before = log.read_bytes()
    done = record("--undo")
    assert log.read_bytes().startswith(before)
    assert done.out == (
        "· For what was typed by mistake; the bow is as it was\n"
        "· Round 3 takes back round 2, which no longer counts\n"
        "· The rest is 1/32 in farther right than at the start\n"
        f"take one more back: vireton record {shlex.quote(str(log))} --undo\n"
    )
    assert "· Round 4 takes back round 1, which no longer counts\n" in record("--undo").out


def test_json_holds_the_round(record, log):
    done = record(
        *("--json", "--rest", "left 1/32 in", "--tear", "bare", "high 1/8 in", "--note", "n"),
        *("--group", "bare", "20yd", "1,2", "--walkback", "40yd -0.5in"),
        *("--center", "fletched", "20yd", "0,0 in", "--count", "4"),
    )
    told = json.loads(done.out)
    assert all(isinstance(line, str) for line in told["words"])
    assert told.pop("words")
    assert told.pop("advice") in {"move", "stop", "shoot_more", "look"}
    assert told == {
        "schema": 1,
        "log": str(log),
        "warnings": [],
        "round": {
            "number": 1,
            "undoes": None,
            "rest_right_in": -1 / 32,
            "rest_up_in": 0.0,
            "moved_right_in": -1 / 32,
            "moved_up_in": 0.0,
            "note": "n",
            "tears": [{"arrow": "bare", "distance_yd": 2.0, "right_in": 0.0, "up_in": 0.125}],
            "groups": [
                {
                    "arrow": "bare",
                    "distance_yd": 20.0,
                    "center_right_in": 1.0,
                    "center_up_in": 2.0,
                    "count": 1,
                    "spread_in": None,
                    "shots_in": [[1.0, 2.0]],
                },
                {
                    "arrow": "fletched",
                    "distance_yd": 20.0,
                    "center_right_in": 0.0,
                    "center_up_in": 0.0,
                    "count": 4,
                    "spread_in": None,
                    "shots_in": [],
                },
            ],
            "walkback": [
                {
                    "distance_yd": 40.0,
                    "right_in": -0.5,
                    "count": 1,
                    "spread_in": None,
                    "level": False,
                    "calm": False,
                }
            ],
            "films": [],
            "looked": [],
            "found": [],
            "nock_height_in": 0.0,
            "stage": None,
            "puts_back": None,
            "changes": [],
            "measures": {},
            "look_over": {},
        },
    }
    undone = json.loads(record("--undo", "--json").out)
    assert (undone["round"]["undoes"], undone["round"]["moved_right_in"]) == (1, 1 / 32)


def test_advice_stands_above_the_round(record, monkeypatch):
    monkeypatch.setattr(
        "vireton_cli.record.advised",
        lambda log, units: ("look", [f"{len(log.rounds.all)} {units}"]),
    )
    first = record("--tear", "bare", "clean").out
    assert first.startswith("· 1 us\n\n· Round 1. Bare tear")
    assert "\n· Shoot bare shafts close at first" in first
    # once is enough
    again = record("--tear", "bare", "clean").out
    assert again.startswith("· 2 us\n\n")
    assert "Shoot bare shafts" not in again
    told = json.loads(record("--json", "--note", "x").out)
    assert (told["advice"], told["words"]) == ("look", ["3 us"])


def test_advice_is_the_verdict_in_the_json_of_both(vireton, record, log):
    nothing = json.loads(record("--json", "--note", "x").out)
    assert (nothing["advice"], nothing["words"]) == (None, [])
    said = json.loads(record("--json", "--tear", "bare", "right 1/8 in").out)
    assert said["advice"] == json.loads(vireton("tune", log, "--json").out)["advice"]


def test_changing_two_things_warns_and_records(record, log):
    assert record("--rest", "right 1/32 in, up 1/16 in").err == ""
    assert read_log(log).setting.rest == (STEP, 2 * STEP)
    done = record("--rest", "left 1/32 in", "--note", "and new nocks", "--json")
    assert 'its note speaks of "nocks"' in done.err
    assert len(json.loads(done.out)["warnings"]) == 1
    assert record("--note", "new nocks").err == ""
    assert len(read_log(log).rounds.all) == 3


def test_a_moved_nocking_point_is_recorded(record, log):
    done = record("--nock", "down 1/16 in")
    assert "Nocking point moved down 1/16 in" in done.out
    assert "The nocking point is 1/16 in lower than at the start" in done.out
    record("--rest", "up 1/32 in")
    assert read_log(log).setting == BowSetting(0.0, STEP, -2 * STEP)
    back = record("--nock", "up 1/16 in")
    assert "nocking point is" not in back.out
    assert read_log(log).setting == BowSetting(0.0, STEP, 0.0)
    back = record("--back")
    assert "Nocking point moved down 1/16 in" in back.out
    assert read_log(log).setting == BowSetting(0.0, STEP, -2 * STEP)


def test_a_look_is_recorded(record, log):
    done = record("--looked", "reversed 2 no", "--looked", "contact yes")
    assert "Looked whether the rest went the other way in round 2: no" in done.out
    looks = read_log(log).rounds.all[-1].seen(Looked)
    assert looks == (Looked("reversed", 2, False), Looked("contact", 1, True))


BAD = [
    ([], "nothing to record: give --rest, --nock"),
    (["--at", "6ft"], "it needs --tear"),
    (["--looked", "reversed no"], '"reversed no": write what you looked at, which round'),
    (["--nock", "right 1/32 in"], "the nocking point goes up or down only"),
    (["--tear", "bare"], "--tear takes 2 values: --tear ARROW TEAR"),
    (["--tear", "bare", "--at", "6ft"], "--tear takes 2 values"),
    (["--tear=bare clean"], "--tear takes 2 values"),
    (["--group", "bare", "20yd"], "--group takes 3 values: --group ARROW DISTANCE SHOTS"),
    (["--tear", "broadhead", "clean"], 'write "bare" or "fletched"'),
    (["--tear", "bare", "left 0.1"], '--tear: "left 0.1" has no unit; write "0.1 in"'),
    (["--tear", "bare", "clean", "--at", "6"], 'write it like "6 ft", "6 yd" or "6 m"'),
    (["--rest", "right 5"], 'no unit; write "5/32 in", "5 mm" or "5 clicks"'),
    (["--rest", "right half a click"], "clicks are counted in whole ones"),
    (["--rest", "right 1/23"], '"right 1/23" has no unit; write "1/23 in"'),
    (["--tear", "bare", "clean", "--at", "60 yd"], '"60 yd" is outside 3 ft to 30 yd'),
    (["--rest", "out 1/32 in"], "right, left, up or down as the archer sees it"),
    (["--rest", "right 2 in"], 'rest_right: "2 in" is outside -1 in to 1 in'),
    (["--rest", "right 1/2 in"], '"right 1/2 in" or "right 0.05 in": type it again, or add --yes'),
    (["--tear", "bare", "left 4 in"], 'left 4 in, level" or "bare tear at 6 ft: tail left 0.4 in'),
    (["--group", "bare", "20yd", "31,0"], "bare group at 20 yd: 1 shot, 31.00 in right"),
    (["--changed", "gizmo"], '"gizmo": begin with what was changed'),
    (["--changed", "point up 1/8 in"], "point changed: takes no way up or down"),
    (["--changed", "point arrow.point.mass=heavy"], "--changed: arrow.point.mass: "),
    (["--found", "gremlins"], '"gremlins" is nothing that can be found'),
    (["--measured", "brace"], "brace: how much?"),
    (["--measured", "brace 40 in"], '--measured: brace height: "40 in" is outside 3 in to 12 in'),
    (["--look-over", "mood fine"], '"mood fine" is nothing that is looked over'),
    (["--correct", "1"], "--correct: say what it should have been"),
    (["--correct", "7", "--tear", "bare", "clean"], "there is no round 7 that counts"),
    (["--back"], "nothing was changed yet that can be put back"),
    (["--back", "--rest", "up 1/32 in"], "--back is a change by itself"),
    (["--owner", "B.", "--note", "x"], "--owner belongs to a new job"),
    (["--complaint", "B.", "--note", "x"], "--complaint belongs to a new job or to --visit"),
    (["--edited", "wrong", "--note", "x"], "the setup file says what the job keeps"),
    (["--rest", "left 1/32 in", "--rest-at", "left 1/32 in"], "give one of them"),
    (["--group", "bare", "20", "0,0"], '"20" has no unit; write it like "20 yd" or "20 m"'),
    (["--group", "bare", "20yd", "0.2"], "--group: shot 1"),
    (["--center", "bare", "20yd", "left 3 in, up 0 in"], "--center needs --count"),
    (["--center", "bare", "20yd", "left 3 in", "--count", "3"], 'add "up 0 in"'),
    (["--count", "3"], "--count and --spread belong to --center"),
    (["--note", "x", "--spread", "1 in"], "--count and --spread belong to --center"),
    (["--walkback", "20yd"], "--walkback: "),
    (["--undo", "--note", "x"], "--undo stands alone"),
    (["--undo"], "there is no round left to take back"),
    (["--note", "x", "--setup", "other.toml"], "leave --setup out, or give another job file"),
]


@pytest.mark.parametrize(("arguments", "words"), BAD)
def test_what_cannot_be_recorded_is_told_and_changes_nothing(vireton, log, arguments, words):
    before = log.read_bytes()
    refused(vireton("record", log, *arguments), words)
    assert log.read_bytes() == before


def test_a_count_must_be_a_count(vireton, log):
    place = ("--center", "bare", "20yd", "0,0")
    assert vireton("record", log, *place, "--count", "0").code == 2
    refused(vireton("record", log, *place, "--count", "201"), "201 is outside 1 to 200")


def test_a_missing_log_needs_its_setup(vireton, tmp_path, setup_file):
    path = tmp_path / "new.toml"
    refused(vireton("record", path, "--note", "x"), "add --setup FILE to begin one")
    refused(vireton("record", path, "--undo"), "there is no such job")
    refused(vireton("record", path, "--note", "x", "--setup", tmp_path / "no.toml"), "no such file")
    # what cannot be recorded begins no log
    refused(
        vireton("record", path, "--setup", setup_file, "--tear", "bare", "left 20 in"),
        '"-20 in" is outside',
    )
    assert not path.exists()
    done = vireton("record", path, "--setup", setup_file, "--json")
    assert json.loads(done.out) == {"schema": 1, "log": str(path), "warnings": [], "round": None}
    done = vireton("record", path, "--setup", setup_file, "--note", "x")
    assert (done.code, done.err) == (0, "")
    assert "began" not in done.out


def test_a_damaged_log_is_told_with_its_place(vireton, log):
    raw = log.read_bytes() + b'[[round]]\nnote = "half\n'
    log.write_bytes(raw)
    for arguments in (["--note", "x"], ["--undo"]):
        done = vireton("record", log, *arguments)
        refused(done, f"{log}, line {raw.count(10)}: not valid TOML at column ")
    assert log.read_bytes() == raw


def test_after_two_dashes_nothing_is_an_option(vireton, setup_file, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    done = vireton("record", "--setup", setup_file, "--note", "x", "--", "--tear")
    assert done.code == 0, done.err
    assert len(read_log(tmp_path / "--tear").rounds.all) == 1


def test_two_people_who_begin_a_log_at_once_both_get_their_round(tmp_path):
    (tmp_path / "bow.toml").write_text(template_text(), encoding="utf-8")
    command = [sys.executable, "-m", "vireton_cli.main", "record", "log.toml", "--setup"]
    people = [
        subprocess.Popen(
            [*command, "bow.toml", "--note", str(who)],
            cwd=tmp_path,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for who in range(3)
    ]
    for one in people:
        _, err = one.communicate(timeout=60)
        assert (one.returncode, err) == (0, "")
    notes = [one.note for one in read_log(tmp_path / "log.toml").rounds.all]
    assert sorted(notes) == ["0", "1", "2"]


def test_help_imports_nothing_heavy():
    code = (
        "import sys\n"
        "from vireton_cli.main import run\n"
        "sys.argv = ['vireton', 'record', '--help']\n"
        "try:\n    run()\n"
        "except SystemExit as end:\n    assert not end.code\n"
        "heavy = {'numba', 'scipy', 'matplotlib', 'numpy', 'pint'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_nobody_is_told_to_shoot_a_bow_that_is_not_sound(record):
    record("-t", "bare", "left 3/8")
    done = record("--look-over", "limbs ok, strings frayed, arrows ok")
    assert "Have it put right by a qualified technician before anybody draws this bow" in done.err
    assert done.out.startswith("· Do not shoot this bow until that is put right\n\n· Round 2.")
    assert "look for" not in done.out
    later = record("-t", "bare", "left 1/8")
    assert "puts this right before anybody draws this bow: string and cables frayed" in later.err
    assert later.out.startswith("· Do not shoot this bow until that is put right\n\n· Round 3.")
    passed = record("--look-over", "strings ok")
    assert passed.err == ""
    assert "Do not shoot" not in passed.out


def test_a_job_from_intake_to_return(vireton, setup_file, tmp_path):
    path = tmp_path / "mill.toml"

    def record(*arguments):
        done = vireton("record", path, *arguments)
        assert done.code == 0, done.err
        return done.out

    taken_in = ("--owner", "A. Customer", "--complaint", "groups open", "--date", "2026-05-04")
    record("--setup", setup_file, *taken_in, "-m", "draw weight 60 lb", "--look-over", "ok")
    job = read_log(path)
    assert vars(job.intake) == {
        "bow": "Mill bow",
        "owner": "A. Customer",
        "date": "2026-05-04",
        "complaint": "groups open",
    }
    record("-t", "bare", "left 3/8 high 1/8", "--date", "2026-05-04")
    moved = record("-r", "right 1/16", "-t", "bare", "left 1/8 high 1/8")
    assert "· Round 3. Rest moved right 1/16 in\n" in moved
    assert "Corrected round 3" in record("--correct", "3", "-t", "bare", "high 1/16")
    (torn,) = read_log(path).rounds.counting[2].seen(Tear)
    assert (torn.right, torn.up) == (-INCH / 8, INCH / 16)  # only the axis that was named
    assert "Puts back what round 3 changed" in record("--back")
    assert "Draw weight changed: 1 turn out" in record("-c", "draw weight 1 turn out")
    assert "Cure the contact first:" in record("-f", "contact, lower vane")
    record("-c", "nock turned", "-g", "fletched", "20yd", "0.5,0", "-g", "bare", "20yd", "0.5,0.6")
    end = record("--done", "-m", "draw weight 58 lb", "--date", "2026-05-05")
    assert end.startswith("· Sight: ")
    assert "At 60 yd: the bare shaft" in end
    assert read_log(path).is_done
    back = record("--visit", "-m", "draw weight 55 lb", "--date", "2027-05-05")
    assert "Moved since: draw weight from 58 lb to 55 lb" in back
    assert read_log(path).rounds.all[-1].years == pytest.approx(1.0, abs=0.01)
    assert not read_log(path).is_done


def test_an_edited_setup_file_is_asked_about(record, vireton, log, setup_file):
    record("--tear", "bare", "left 1/8 in")
    text = setup_file.read_text(encoding="utf-8")
    setup_file.write_text(
        text.replace('draw_weight = "60 lbf"', 'draw_weight = "58 lbf"'), encoding="utf-8"
    )
    before = log.read_bytes()
    refused(
        vireton("record", log, "--tear", "bare", "clean"),
        "the setup file was edited since the last round: bow.draw_weight 60 lbf → 58 lbf",
        "--edited changed",
        "--edited wrong",
    )
    assert log.read_bytes() == before
    assert "The setup file was edited" in vireton("tune", log).out
    out = record("--tear", "bare", "clean", "--edited", "changed").out
    assert "From this round on the setup file's new numbers hold" in out
    assert "Draw weight changed: by the setup file" in out
    assert "The setup file was edited" not in vireton("tune", log).out


@pytest.mark.parametrize(("answer", "right"), [("1", -4.0), ("2", -0.4)])
def test_a_slip_is_asked_about_at_a_terminal(record, log, monkeypatch, answer, right):
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    monkeypatch.setattr("typer.prompt", lambda *_, **__: answer)
    out = record("--tear", "bare", "left 4 in").out
    assert "  2  bare tear at 6 ft: tail left 0.4 in, level\n" in out
    (torn,) = read_log(log).rounds.all[-1].seen(Tear)
    assert torn.right == pytest.approx(right * INCH)


def test_neither_reading_records_nothing(vireton, log, monkeypatch):
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    monkeypatch.setattr("typer.prompt", lambda *_, **__: "")
    before = log.read_bytes()
    assert "nothing was recorded" in vireton("record", log, "--tear", "bare", "left 4 in").err
    assert log.read_bytes() == before
