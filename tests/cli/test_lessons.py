"""The lessons show what the commands print, and what they say of it is so."""

import json
import re
import shlex
import shutil
import stat

import pytest

from pictures import demand_their_renderer, look_alike

RIGHT, UP = "right_in", "up_in"


@pytest.fixture
def classroom(pytestconfig):
    return pytestconfig.rootpath / "examples" / "classroom"


def lessons(folder):
    return sorted(folder.glob("[0-9]*.md"))


def blocks(text):
    found = re.findall(r"^```\n(\$ vireton .*?)^```$", text, flags=re.DOTALL | re.MULTILINE)
    return [block.split("\n", 1) for block in found]


def bare_lines(text):
    return [line.rstrip() for line in text.strip("\n").splitlines()]


@pytest.mark.parametrize("number", [0, 1, 2])
def test_shown_output_is_real(vireton, classroom, monkeypatch, tmp_path, number):
    shutil.copytree(classroom.parent, tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    found = blocks(lessons(classroom)[number].read_text(encoding="utf-8"))
    assert len(found) >= 3
    for command, shown in found:
        done = vireton(*shlex.split(command.removeprefix("$ "))[1:])
        assert done.code == 0, done.err
        assert bare_lines(done.out.rstrip()) == bare_lines(shown.rstrip()), command
    demand_their_renderer()
    for made in tmp_path.glob("*.png"):
        assert look_alike(made, classroom / "pictures" / made.name), made.name


def test_there_are_three_lessons_to_predict_and_check(classroom):
    found = lessons(classroom)
    assert len(found) == 3
    overview = (classroom / "README.md").read_text(encoding="utf-8")
    for lesson in found:
        text = lesson.read_text(encoding="utf-8")
        assert f"]({lesson.name})" in overview
        assert "## Predict" in text and "## Check" in text
        # at the table; at a range only under somebody who knows
        assert "No shooting is needed" in text and "qualified instructor" in text


def test_every_picture_is_there_and_small(classroom):
    for lesson in lessons(classroom):
        for name in re.findall(r"\]\((pictures/[^)]*)\)", lesson.read_text(encoding="utf-8")):
            assert (classroom / name).stat().st_size < (1e6 if name.endswith("gif") else 1e5)


def test_the_script_that_runs_them_is_run_with_the_examples(classroom):
    assert (classroom / "run.sh").stat().st_mode & stat.S_IXUSR
    assert "classroom/run.sh" in (classroom.parent / "run.sh").read_text(encoding="utf-8")


@pytest.fixture
def flown(vireton, classroom):
    def call(setup, *options):
        done = vireton("fly", classroom / setup, "--json", "--yaw", "0 deg", *options)
        assert done.code == 0, done.err
        return json.loads(done.out)["flights"]

    return call


def column(rows, key):
    return [row[key] for row in rows]


def test_lesson_one_is_so(flown):
    slow = flown("../mill_bow.toml", "--yaw-rate", "0.5 rad/s", "--distances", "5:30:5yd")
    fletched, bare = (column(slow[kind], "yaw_deg") for kind in ("fletched", "bare"))
    assert min(fletched) < 0.0 < fletched[0] == max(map(abs, fletched))
    assert bare[0] < bare[1] < bare[2] < bare[3]
    assert column(slow["bare"], RIGHT)[3] > 0.5
    fast = flown("../mill_bow.toml", "--yaw-rate", "1 rad/s", "--distances", "20yd")
    assert fast["bare"][0][RIGHT] > 2.0 * slow["bare"][3][RIGHT]


def test_lesson_two_is_so(flown):
    options = ("--yaw-rate", "0.5 rad/s", "--distances", "10,20,40yd")
    usual, straight, steep = (
        flown(one, *options)["fletched"]
        for one in ("../mill_bow.toml", "straight_vanes.toml", "steep_vanes.toml")
    )
    assert column(straight, "spin_rev_s") == pytest.approx([0.0] * 3, abs=1e-9)
    twice = [2.0 * spin for spin in column(usual, "spin_rev_s")]
    assert column(steep, "spin_rev_s") == pytest.approx(twice, rel=0.02)
    assert usual[0]["spin_rev_s"] < usual[1]["spin_rev_s"] < 38.0
    for key in (RIGHT, UP):
        (low, high), (other_low, other_high) = (one[2][f"{key}_range"] for one in (straight, steep))
        assert low < other_high and other_low < high, "no clear difference"


def test_lesson_three_is_so(vireton, classroom):
    def rest(*options):
        done = vireton("rest", classroom.parent / "mill_bow.toml", "--json", *options)
        return json.loads(done.out)["moves"][0]

    rows = rest("--up", "1/32in", "--distances", "10:30:10yd")["rows"]
    for row in rows:
        assert row["bare_up_in"] > row["fletched_up_in"] > 0.0
    near, middle, far = column(rows, "separation_up_in")
    assert middle > 2.5 * near and far > 2.5 * middle * 20.0 / 30.0
    # three arrows of each tell the separation from none: twice 0.6 in·√(2/3)
    assert pytest.approx(middle, abs=0.1) == 2.0 * 0.6 * (2.0 / 3.0) ** 0.5
    assert rest("--right", "1/32in", "--distances", "20yd")["sideways_direction"] == "open"


def test_the_bows_of_the_class_are_the_examples_and_have_nothing_shot(classroom):
    import vireton

    bows = classroom / "bows"
    for name in ("mill_bow.toml", "orchard_bow.toml"):
        assert (bows / name).read_bytes() == (classroom.parent / name).read_bytes()
    rows = vireton.list_jobs(bows).rows()
    assert [(row["bow"], row["rounds"], row["problem"]) for row in rows] == [
        ("Mill bow, class", 0, None), ("Orchard bow, class", 0, None),
    ]  # fmt: skip


def test_the_class_s_sliders_answer_for_each_of_its_bows(classroom):
    from vireton_bench.whatif import Slid, slide

    for name in ("mill", "orchard"):
        path = classroom / "bows" / f"{name}.toml"
        still, moved, blown = (
            slide(path, "1", at, "us") for at in (Slid(), Slid(up=2), Slid(wind=10))
        )
        assert moved["spots"]["bare"][1] > still["spots"]["bare"][1]
        assert blown["spots"]["fletched"][0] > still["spots"]["fletched"][0]


def test_what_the_overview_says_of_the_bench_is_what_it_takes(classroom, vireton):
    text = (classroom / "README.md").read_text(encoding="utf-8")
    told = vireton("bench", "--help").out
    for option in re.findall(r"vireton bench class (--\w+)(?: (--\w+))?", text):
        assert all(one in told for one in option if one)
    static = (classroom.parents[1] / "cli" / "vireton_bench" / "static" / "main.js").read_text()
    assert "*What if*" in text and '"What if"' in static
