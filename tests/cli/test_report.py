"""``vireton report``: of a log and of a setup file, and what it refuses."""

import html
import json
import re
import shutil

import pytest


@pytest.fixture
def examples(pytestconfig, tmp_path):
    folder = tmp_path / "examples"
    shutil.copytree(pytestconfig.rootpath / "examples", folder)
    return folder


def test_the_page_of_a_log(vireton, examples, tmp_path):
    page = tmp_path / "page.html"
    done = vireton("report", examples / "mill_log.toml", "-o", page)
    assert done.code == 0, done.err
    text = page.read_text(encoding="utf-8")
    told = vireton("tune", examples / "mill_log.toml")
    # the page calls what `tune` calls
    call = re.search(r'class="call">(.*?)</p>', text)[1]
    assert call.split(":")[0] in told.out
    assert call in done.out
    for words in (
        "Mill bow, spring", "What the next group should look like", "Rounds so far", "Round 4",
        "bare − fletched at 20 yd: 4.2 left",
        "To where the rest was at the start: move it right 3/32 in",
        "before round 4: move it right 1/32 in", "mill_log.toml --back",
        "mill_log.toml --correct ROUND", "mill_log.toml --undo", "backstop",
    ):  # fmt: skip
        assert words in text, words
    # what is shared tells nothing of the machine
    assert str(tmp_path) not in text


def test_json_of_a_log_has_the_advice_and_the_impacts(vireton, examples, tmp_path):
    log = examples / "mill_log.toml"
    done = vireton("report", log, "-o", tmp_path / "page.html", "--json", "--distances", "20,40 yd")
    assert done.code == 0, done.err
    answer = json.loads(done.out)
    tuned = json.loads(vireton("tune", log, "--json").out)
    for key in ("advice", "move_right_in", "shots_needed", "separation_now_in", "posterior"):
        assert answer[key] == tuned[key]
    assert answer["schema"] == 1
    assert answer["from"] == "log"
    assert answer["distances_yd"] == [20.0, 40.0]
    assert all(0.0 < one < 0.2 for one in answer["interpolation_error_in"])
    spot = answer["cases"][0]["impacts"]["bare"][0]
    fletched = answer["cases"][0]["impacts"]["fletched"][0]
    # the bare shaft is where `tune` says, after the move that it advises
    then = tuned["predicted_separation_in"]["mean"]
    apart = [spot[key] - fletched[key] for key in ("right_in", "up_in")]
    assert answer["advice"] == "move"
    assert apart == pytest.approx(then, abs=0.1)


def test_the_page_of_a_setup_file_lands_where_fly_says(vireton, setup_file, tmp_path):
    done = vireton(
        "report", setup_file, "-o", tmp_path / "page.html", "--json", "--distances", "20,40 yd"
    )
    assert done.code == 0, done.err
    answer = json.loads(done.out)
    assert answer["from"] == "setup"
    flown = json.loads(vireton("fly", setup_file, "--distances", "20,40 yd", "--json").out)
    for kind in ("fletched", "bare"):
        for spot, row in zip(
            answer["cases"][0]["impacts"][kind], flown["flights"][kind], strict=True
        ):
            assert spot["right_in"] == pytest.approx(row["right_in"], abs=0.006)
            assert spot["up_in"] == pytest.approx(row["up_in"], abs=0.006)
    assert sum(case["probability"] for case in answer["cases"]) == pytest.approx(1.0)
    text = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert "CANNOT TELL YET: shoot 3 bare and 3 fletched" in text
    assert "Which way a sideways move sends the nose is open" in text
    assert "Rounds so far" not in text


def test_the_wind_of_the_setup_file_is_where_the_slider_begins(vireton, edited, tmp_path):
    windy = edited(
        ("# [wind]", "[wind]"),
        ('# speed = "10 mph"', 'speed = "10 mph"'),
        ("# from_clock =", "from_clock ="),
    )
    text = windy.read_text(encoding="utf-8")
    speed = float(re.search(r'^speed = "([\d.]+) mph"', text, re.M)[1])
    done = vireton("report", windy, "-o", tmp_path / "page.html", "--json")
    assert done.code == 0, done.err
    start = json.loads(done.out)["start"]["crosswind_towards_right_mph"]
    assert 0.0 < abs(start) <= speed
    assert "from the" in (tmp_path / "page.html").read_text(encoding="utf-8")


def test_an_arrow_without_vanes(vireton, examples, tmp_path):
    setup = examples / "mill_bow.toml"
    text = setup.read_text(encoding="utf-8")
    cut = re.sub(r"\[arrow\.vanes\].*?(?=\n\[)", "", text, flags=re.S)
    setup.write_text(cut, encoding="utf-8")
    done = vireton("report", setup, "-o", tmp_path / "page.html")
    assert done.code == 0, done.err
    page = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert "<legend>Vanes" not in page
    assert 'data-row="0-bare-0"' in page


def test_metric(vireton, examples, tmp_path):
    page = tmp_path / "page.html"
    done = vireton("report", examples / "mill_log.toml", "-o", page, "--units", "metric")
    assert done.code == 0, done.err
    text = page.read_text(encoding="utf-8")
    assert "<figcaption>20 m</figcaption>" in text
    assert "m/s from the left" in text
    assert " mph" not in text
    assert 'scope="col">cm<' in text


def test_a_damaged_log_is_told_as_a_log(vireton, examples, tmp_path):
    log = examples / "mill_log.toml"
    log.write_text(log.read_text(encoding="utf-8").replace('at = "20 yd"', 'at = "20"', 1))
    done = vireton("report", log, "-o", tmp_path / "page.html")
    assert done.code == 2
    assert "round 1" in done.err
    assert not (tmp_path / "page.html").exists()


def test_a_file_of_the_users_is_never_overwritten(vireton, setup_file, tmp_path):
    mine = tmp_path / "mine.html"
    mine.write_text("<p>mine</p>", encoding="utf-8")
    done = vireton("report", setup_file, "-o", mine)
    assert done.code == 2
    assert "left as it is" in done.err
    assert mine.read_text(encoding="utf-8") == "<p>mine</p>"
    assert vireton("report", setup_file, "-o", setup_file).code == 2


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--distances", "10:60:10 yd"), "6 distances"),
        (("--distances", "20"), "--distances"),
        (("--tolerance", "1 yd"), "--tolerance"),
    ],
)
def test_what_cannot_be(vireton, setup_file, tmp_path, options, told):
    done = vireton("report", setup_file, "-o", tmp_path / "page.html", *options)
    assert done.code == 2
    assert told in done.err


def test_a_file_that_is_not_there(vireton, tmp_path):
    done = vireton("report", tmp_path / "none.toml", "-o", tmp_path / "page.html")
    assert done.code == 2
    assert "none.toml" in done.err


def test_the_advised_move_is_where_the_page_begins(vireton, setup_file, tmp_path):
    log = tmp_path / "log.toml"
    vireton(
        "record", log, "--setup", setup_file,
        "--group", "fletched", "20yd", "0.2,0.1 -0.3,0.2 0.1,-0.3",
        "--group", "bare", "20yd", "4.2,0.1 3.6,-0.4 4.4,0.3", "--note", "<b>first</b>",
    )  # fmt: skip
    page = tmp_path / "page.html"
    answer = json.loads(vireton("report", log, "-o", page, "--json").out)
    assert answer["advice"] == "move"
    assert answer["start"]["rest_right_in"] == pytest.approx(answer["move_right_in"])
    assert answer["start"]["rest_up_in"] == pytest.approx(answer["move_up_in"])
    # which way this bow answers sideways is open: both ways are drawn
    assert [case["rest_right_turns_nose"] for case in answer["cases"]] in (
        ["right", "left"], ["left", "right"],
    )  # fmt: skip
    text = page.read_text(encoding="utf-8")
    assert "What the next group should look like after this move" in text
    assert "Note: &lt;b&gt;first&lt;/b&gt;" in text
    assert "has not shown yet which way it answers" in text


def test_an_empty_log_begins_with_shooting(vireton, setup_file, tmp_path):
    log, page = tmp_path / "log.toml", tmp_path / "page.html"
    log.write_text(f'schema = 1\nsetup = "{setup_file.name}"\n', encoding="utf-8")
    done = vireton("report", log, "-o", page)
    assert done.code == 0, done.err
    text = page.read_text(encoding="utf-8")
    assert re.search(r"Shoot \d bare tears? at 6 ft", text)
    assert "--undo" not in text


def test_a_round_that_was_withdrawn_is_told_so(vireton, setup_file, tmp_path):
    log, page = tmp_path / "log.toml", tmp_path / "page.html"
    vireton("record", log, "--setup", setup_file, "--tear", "bare", "left 1/8 in")
    vireton("record", log, "--rest", "right 1/32 in", "--tear", "bare", "left 1/4 in")
    vireton("record", log, "--undo")
    assert vireton("report", log, "-o", page).code == 0
    text = page.read_text(encoding="utf-8")
    assert text.count("Withdrawn.") == 1
    assert "takes back round 2, which was typed by mistake" in text
    # what was withdrawn is nothing to put back on the bow
    assert "--back" not in text
    assert "The rest is where it was at the start." in text


@pytest.fixture
def job(vireton, setup_file, tmp_path):
    path = tmp_path / "job.toml"
    vireton(
        "record",
        path,
        "--setup",
        setup_file,
        "--owner",
        "A. <i>Customer</i>",
        "--complaint",
        "flies left",
        "-m",
        "draw weight 60 lb",
        "-t",
        "bare",
        "left 3/8 in",
    )
    return path  # fmt: skip


def page_of(vireton, job, tmp_path):
    page = tmp_path / "page.html"
    done = vireton("report", job, "-o", page)
    assert done.code == 0, done.err
    return html.unescape(page.read_text(encoding="utf-8").replace("&lt;", "[").replace("&gt;", "]"))


def test_whose_bow_and_why(vireton, job, tmp_path):
    text = page_of(vireton, job, tmp_path)
    assert "owner: A. [i]Customer[/i]; complaint: flies left" in text
    assert "Bow: Mill bow; " in text
    assert "measured: draw weight 60 lb" in text


def test_a_correction_tells_what_was_typed_first(vireton, job, tmp_path):
    vireton("record", job, "-r", "right 1/32 in", "-t", "bare", "left 1/8 in", "-n", "calm")
    vireton("record", job, "--correct", "2", "-r", "left 1/32 in", "-t", "bare", "left 1/4 in")
    text = page_of(vireton, job, tmp_path)
    assert "typed as bare tear at 6 ft: tail left 1/8 in" in text
    assert "typed as rest right 1/32 in, corrected" in text
    assert "corrects round 2" in text
    assert text.count("typed as") == 2
    assert "Withdrawn." not in text
    # it is the bow as corrected that is gone back from
    assert "To where the rest was at the start: move it right 1/32 in" in text


def test_changes_findings_and_what_was_put_back(vireton, job, tmp_path):
    vireton("record", job, "-c", "cam spacer right 1/32 in", "-t", "bare", "left 1/8 in")
    text = page_of(vireton, job, tmp_path)
    assert "To put the last change, of round 2, back on the bow" in text
    vireton("record", job, "--back")
    vireton("record", job, "-f", "contact, lower left vane, powder")
    text = page_of(vireton, job, tmp_path)
    for words in (
        "cam spacer moved: right 1/32 in", "puts back what round 2 changed",
        "cam spacer moved: left 1/32 in", "found: contact, lower left vane, powder",
        'class="call">Cure the contact first<',
        "should look like once that is cured", "no rest move cures it",
    ):  # fmt: skip
        assert words in text, words
    assert "back on the bow" not in text


def test_a_return_visit(vireton, job, tmp_path):
    vireton("record", job, "--done")
    assert "; handed over" in page_of(vireton, job, tmp_path)
    vireton("record", job, "--visit", "--complaint", "groups open up", "-m", "draw weight 56 lb")
    text = page_of(vireton, job, tmp_path)
    assert "; visit 2; complaint: groups open up" in text
    assert "a return visit; rest where it was at the start" in text
    assert "moved since it was handed over: draw weight from 60 lb to 56 lb" in text


def test_groups_of_the_bow_as_it_was_are_not_drawn(vireton, setup_file, tmp_path):
    log, page = tmp_path / "log.toml", tmp_path / "page.html"

    def seen():
        assert vireton("report", log, "-o", page).code == 0
        return 'class="seen' in page.read_text(encoding="utf-8")

    vireton(
        "record", log, "--setup", setup_file,
        "-g", "fletched", "20yd", "0.2,0.1 -0.3,0.2", "-g", "bare", "20yd", "1.2,0.1 0.6,-0.4",
    )  # fmt: skip
    assert seen()
    vireton("record", log, "-c", "sight right 1/32 in")
    assert seen()
    vireton("record", log, "-c", "cam spacer right 1/32 in")
    assert not seen()
