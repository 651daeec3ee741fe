"""``vireton tune``, ``walkback`` and the advice of ``record``."""

import json

import pytest


@pytest.fixture
def log(tmp_path, setup_file):
    return tmp_path / "log.toml"


def test_json_has_the_keys_that_others_rely_on(vireton, pytestconfig):
    done = vireton("tune", pytestconfig.rootpath / "examples" / "mill_log.toml", "--json")
    assert done.code == 0, done.err
    answer = json.loads(done.out)
    assert answer["advice"] in {"move", "stop", "shoot_more", "look"}
    for key in ("move_right_in", "move_up_in", "probability_better", "shots_needed", "posterior"):
        assert key in answer
    low, high = answer["predicted_separation_in"]["interval_95"]
    mean = answer["predicted_separation_in"]["mean"]
    assert all(a <= m <= b for a, m, b in zip(low, mean, high, strict=True))
    assert sum(one["probability"] for one in answer["causes"]) == pytest.approx(1.0, abs=1e-3)
    assert answer["posterior"]["probability_rest_right_turns_nose_right"] < 0.1


def test_the_answer_is_short_and_why_is_asked_for(vireton, pytestconfig, tmp_path):
    picture = tmp_path / "tune.png"
    path = pytestconfig.rootpath / "examples" / "mill_log.toml"
    done = vireton("tune", path, "--plot", picture)
    assert done.code == 0, done.err
    assert "Round 4 made it better, as expected: 1.4 in off before" in " ".join(done.out.split())
    assert "now (9 in 10)" in " ".join(done.out.split())
    assert "what is known" not in done.out
    # what to do, what to look for and at most three lines; then where it stands
    assert sum(line.startswith("·") for line in done.out.splitlines()) <= 6
    assert picture.stat().st_size > 20_000
    why = vireton("tune", path, "--why").out
    for words in ("what is known", "if you stop here", "How this bow answers its rest"):
        assert words in why


def test_record_prints_the_new_advice_at_once(vireton, log, setup_file):
    first = vireton(
        "record", log, "--setup", setup_file, "--tear", "bare", "left 1/4 in, high 1/4 in"
    )
    flat = " ".join(first.out.split())
    assert "· Rest right " in flat
    assert " that it helps" in flat
    assert "Sideways this bow has not shown yet which way it answers" in flat
    assert "if the tear goes farther left, put the rest back and go the same amount left" in flat
    assert "bare tears at 6 ft and look for tail left" in flat
    assert "backstop" in flat
    again = vireton("record", log, "--tear", "bare", "left 1/4 in, high 1/4 in").out
    assert "backstop" not in again  # once a job
    assert "backstop" not in vireton("tune", log).out


def test_paper_alone_asks_for_paper(vireton, log, setup_file):
    vireton("record", log, "--setup", setup_file, "--tear", "bare", "clean")
    told = json.loads(vireton("tune", log, "--paper", "--json").out)
    assert "tear" in told["test"]


def test_together_is_another_aim(vireton, pytestconfig):
    path = pytestconfig.rootpath / "examples" / "mill_log.toml"
    told = json.loads(vireton("tune", path, "--aim", "together", "--json").out)
    assert told["aim"] == "together"
    assert "clean launch" not in vireton("tune", path, "--aim", "together").out
    assert vireton("tune", path, "--aim", "close").code == 2


def test_a_log_whose_setup_is_gone_is_recorded_all_the_same(vireton, log, setup_file):
    vireton("record", log, "--setup", setup_file, "--tear", "bare", "left 1/8 in")
    setup_file.unlink()
    done = vireton("record", log, "--tear", "bare", "left 1/16 in")
    assert done.code == 0
    # the job keeps the numbers
    assert "Now at 20 yd: " in done.out
    assert vireton("tune", log).code == 0
    kept = log.read_text(encoding="utf-8")
    start, end = kept.index("\nsetup_text"), kept.index("[[round]]")
    log.write_text(f"{kept[:start]}\n{kept[end:]}", encoding="utf-8")  # one of an older version
    done = vireton("record", log, "--tear", "bare", "left 1/16 in")
    assert done.code == 0
    assert "No advice:" in done.out
    assert vireton("tune", log).code == 2


def test_walkback(vireton, pytestconfig, tmp_path):
    path = pytestconfig.rootpath / "examples" / "mill_log.toml"
    picture = tmp_path / "walkback.png"
    assert "straight, nothing to correct" in vireton("walkback", path, "--plot", picture).out
    assert picture.stat().st_size > 10_000
    answer = json.loads(vireton("walkback", path, "--json").out)
    assert answer["verdict"] == "nothing"
    assert sum(answer["probabilities"].values()) == pytest.approx(1.0)


def test_walkback_without_points_says_how(vireton, log, setup_file):
    vireton("record", log, "--setup", setup_file, "--tear", "bare", "left 1/8 in")
    done = vireton("walkback", log)
    assert done.code == 2
    assert "--walkback" in done.err


def test_a_log_that_is_not_there(vireton, tmp_path):
    for command in ("tune", "walkback"):
        done = vireton(command, tmp_path / "none.toml")
        assert done.code == 2
        assert "none.toml" in done.err


def test_an_empty_log_begins_with_shooting(vireton, log, setup_file):
    vireton("record", log, "--setup", setup_file, "--note", "new strings")
    done = vireton("tune", log)
    assert done.code == 0, done.err
    assert "· Shoot " in done.out


def test_a_shot_apart_from_its_group_is_named_and_kept(vireton, log, setup_file):
    shots = "0.1,0.1 -0.1,0.0 0.0,-0.1 0.1,-0.1 6.0,5.0"
    done = vireton("record", log, "--setup", setup_file, "--group", "bare", "20yd", shots)
    assert done.code == 0
    flat = " ".join(done.out.split())
    assert "Shot 5 of the bare group at 20 yd in round 1 stands apart" in flat
    assert "5 shots" in flat
    assert flat.count("stands apart") == 1


def test_walkback_heeds_a_measured_drag_coefficient(vireton, log, edited):
    points = ("--walkback", "20yd 0in, 40yd 2in, 60yd 8in")
    answers = []
    for coefficient in ("1.0", "6.0"):
        setup = edited(("# drag_coefficient = 2.0", f"drag_coefficient = {coefficient}"))
        file = log.with_name(f"log{coefficient}.toml")
        assert vireton("record", file, "--setup", setup, *points).code == 0
        answers.append(json.loads(vireton("walkback", file, "--json").out))
    assert answers[0] != answers[1]
