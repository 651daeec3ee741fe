"""``vireton marks``."""

import json

import pytest

ONE, TWO = "20yd=1.20in", "60yd=1.97in"


@pytest.fixture
def marked(vireton, setup_file):
    def call(*options):
        done = vireton("marks", setup_file, "--radius", "33in", "--draws", "8", "--json", *options)
        assert done.code == 0, done.err
        return json.loads(done.out)

    return call


def test_json(marked):
    found = marked("--shot", ONE, "--shot", TWO, "--distances", "20,40,60 yd")
    assert found["schema"] == 1
    near, middle, far = found["marks"]
    assert near["mark_in"] == pytest.approx(1.20, abs=0.02)
    assert far["mark_in"] == pytest.approx(1.97, abs=0.02)
    assert near["mark_in"] < middle["mark_in"] < far["mark_in"]
    for row in found["marks"]:
        low, high = row["mark_in_interval_95"]
        assert low < row["mark_in"] < high
    assert middle["gap_in"] == pytest.approx(middle["mark_in"] - near["mark_in"])
    low, high = found["speed_fps_interval_95"]
    assert low < 280 < high
    assert found["bands_widened_by"] == 1.0
    assert [one["distance_yd"] for one in found["shots"]] == [20, 60]


def test_a_falling_bar_is_the_mirrored_one(marked):
    at = ("--distances", "20:60:10 yd")
    rising = marked("--shot", ONE, "--shot", TWO, *at)
    falling = marked("--shot", "20yd=5.00in", "--shot", "60yd=4.23in", "--falling", *at)
    for one, other in zip(rising["marks"], falling["marks"], strict=True):
        assert one["mark_in"] - 1.2 == pytest.approx(5.0 - other["mark_in"], abs=1e-6)
        low, high = other["mark_in_interval_95"]
        assert low < other["mark_in"] < high


def test_clicks_are_a_unit_of_the_bar(vireton, setup_file, marked):
    inches = marked("--shot", ONE, "--shot", TWO)
    clicks = marked("--shot", "20yd=60 clicks", "--shot", "60yd=98.5", "--click", "0.02in")
    for one, other in zip(clicks["marks"], inches["marks"], strict=True):
        assert one["mark_in"] == pytest.approx(other["mark_in"], abs=1e-9)
    shown = vireton(
        "marks", setup_file, "--radius", "33in", "--shot", "20yd=60", "--click", "0.02in"
    )
    assert "mark, clicks" in shown.out


def test_the_table_says_which_way_and_what_is_not_known(vireton, setup_file):
    done = vireton("marks", setup_file, "--radius", "33in", "--shot", ONE, "--draws", "8")
    assert done.code == 0, done.err
    said = " ".join(done.out.replace("·", " ").split())
    for words in (
        "rises as the pin goes down",
        "a lower pin is for farther",
        "cannot tell speed from drag",
        "say little of the speed and the drag",
        "backstop",
    ):
        assert words in said


def test_a_kept_out_mark_is_checked(vireton, setup_file, marked):
    given = ("--shot", ONE, "--shot", TWO)
    good = marked(*given, "--check", "40yd=1.55in")
    assert good["checks"][0]["fits"]
    bad = vireton(
        "marks", setup_file, "--radius", "33in", "--draws", "8", *given, "--check", "40yd=1.75in"
    )
    assert "DOES NOT FIT" in bad.out


def test_marks_that_cannot_be_this_arrow_are_told(vireton, setup_file):
    done = vireton(
        "marks", setup_file, "--radius", "33in", "--draws", "8", "--shot", ONE, "--shot",
        "60yd=2.40in",
    )  # fmt: skip
    assert "DO NOT FIT" in done.out
    assert "drag coefficient" not in done.out


def test_without_a_shot_gaps_come_from_the_setup(vireton, setup_file, marked):
    rows = marked("--distances", "20,40 yd")["marks"]
    assert rows[0]["mark_in"] == pytest.approx(0.0, abs=1e-5)
    low, high = rows[0]["mark_in_interval_95"]
    assert high - low < 0.001
    assert 0.3 < rows[1]["mark_in"] < 0.4
    done = vireton("marks", setup_file, "--radius", "33in", "--draws", "8")
    assert "no mark is shot in" in done.out


def test_metric(vireton, setup_file):
    done = vireton(
        "marks", setup_file, "--radius", "84 cm", "--shot", "20m=30mm", "--units", "metric"
    )
    assert "mark, mm" in done.out
    assert "m/s" in done.out


def test_a_picture_is_written(vireton, setup_file, tmp_path):
    picture = tmp_path / "marks.png"
    done = vireton(
        "marks", setup_file, "--radius", "33in", "--draws", "8", "--shot", ONE, "--plot", picture
    )
    assert done.code == 0, done.err
    assert picture.stat().st_size > 20_000


@pytest.mark.parametrize(
    ("option", "value", "said"),
    [
        ("--shot", "20yd 1.2in", "20yd=1.20in"),
        ("--shot", "20=1.2in", "--shot"),
        ("--shot", "20yd=1.2", "has no unit"),
        ("--shot", "20yd=12 clicks", "--click"),
        ("--shot", "20yd=90in", "outside"),
        ("--click", "1 in", "--click"),
        ("--reading-error", "0 in", "--reading-error"),
    ],
)
def test_what_cannot_be_read(vireton, setup_file, option, value, said):
    done = vireton("marks", setup_file, "--radius", "33in", option, value)
    assert done.code == 2
    assert said in done.err
    assert done.out == ""


def test_a_number_that_falls_is_told_how(vireton, setup_file):
    done = vireton(
        "marks", setup_file, "--radius", "33in", "--shot", "20yd=2in", "--shot", "60yd=1in"
    )
    assert done.code == 2
    assert "--falling" in done.err
