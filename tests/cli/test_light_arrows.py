"""An arrow too light for the bow is named by every command that flies it, before any result."""

import io
import json
import sys

import pytest

from vireton_cli.main import app, run

#: These fly nothing that anyone owns.
FLY_NOTHING = {"new", "jobs", "rules", "target", "schema", "validate"}
#: Its page says them: tests/bench_page/test_app.py.
FLY_NOTHING |= {"bench"}

FEW = ("--draws", "8")
COMMANDS = [
    ("fly", "SETUP", *FEW, "--distances", "20 yd"),
    ("rest", "SETUP", *FEW, "--up", "1/32 in"),
    ("record", "LOG", "--tear", "bare", "left 1/8 in"),
    ("record", "NEW", "--setup", "SETUP"),
    ("tune", "LOG"),
    ("walkback", "LOG"),
    ("report", "LOG", "-o", "PAGE"),
    ("report", "SETUP", "-o", "PAGE"),
    ("spine", "SETUP", *FEW, "--spine", "0.34 in"),
    ("compare", "SETUP", *FEW, "--vary", "vanes.count=3,4"),
    ("holds", "SETUP", *FEW, "--distances", "20,40 yd"),
    ("measure", "SETUP", *FEW),
    ("marks", "SETUP", *FEW, "--radius", "33 in", "--distances", "20,40 yd"),
    ("broadhead", "HEADED", *FEW, "--distances", "20 yd"),
    ("scatter", "SETUP", *FEW, "--aim", "1 in at 20 yd", "--arrows", "256"),
    ("hunt", "SETUP", *FEW, "--distances", "20 yd"),
    ("hunt", "LOG", *FEW, "--distances", "20 yd"),
    ("animate", "SETUP", "--frames", "2", "-o", "FILM"),
    ("demo", "SETUP", "--plot", "WINDOW"),
]

#: They print no caution of their own in JSON: the film and the window are the answer.
WITHOUT_KEY = {"animate", "demo"}


@pytest.fixture
def files(pytestconfig, tmp_path):
    """The examples with a bow that asks for heavier arrows than theirs of 6.9 gr/lbf."""
    for name in ("mill_bow", "mill_broadhead", "mill_log"):
        text = (pytestconfig.rootpath / "examples" / f"{name}.toml").read_text(encoding="utf-8")
        heavier = text.replace('minimum_arrow_mass = "5 gr/lbf"', 'minimum_arrow_mass = "8 gr/lbf"')
        assert (heavier == text) is (name == "mill_log")
        (tmp_path / f"{name}.toml").write_text(heavier, encoding="utf-8")
    return {
        "SETUP": tmp_path / "mill_bow.toml",
        "HEADED": tmp_path / "mill_broadhead.toml",
        "LOG": tmp_path / "mill_log.toml",
        "NEW": tmp_path / "new_log.toml",
        "PAGE": tmp_path / "page.html",
        "FILM": tmp_path / "film.gif",
        "WINDOW": tmp_path / "window.png",
    }


def test_no_command_that_flies_is_left_out():
    names = {one.name for one in app.registered_commands}
    assert {command[0] for command in COMMANDS} | FLY_NOTHING == names


@pytest.mark.parametrize("command", COMMANDS, ids=lambda one: " ".join(one[:2]))
def test_danger_is_said_before_any_result(files, monkeypatch, command):
    # both streams in one, so that their order is seen
    both = io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True)
    monkeypatch.setattr(sys, "stdout", both)
    monkeypatch.setattr(sys, "stderr", both)
    monkeypatch.setattr(sys, "argv", ["vireton", *(str(files.get(one, one)) for one in command)])
    with pytest.raises(SystemExit) as end:
        run()
    assert not end.value.code
    both.seek(0)
    said = [one for one in both.read().splitlines() if "first run" not in one]
    assert "DANGER" in said[0]
    assert "8.0" in said[0]
    assert any("DANGER" not in one for one in said)


@pytest.mark.parametrize(
    "command",
    [one for one in COMMANDS if one[0] not in WITHOUT_KEY],
    ids=lambda one: " ".join(one[:2]),
)
def test_danger_is_in_json_and_on_stderr(vireton, files, command):
    done = vireton(*(files.get(one, one) for one in command), "--json")
    assert done.code == 0, done.err
    assert "DANGER" in done.err
    answer = json.loads(done.out)
    answer = answer["variants"][0] if "variants" in answer else answer
    assert "DANGER" in answer["warnings"][0]


@pytest.mark.parametrize(
    ("shot", "then", "words"),
    [
        (("-t", "bare", "left 1/8 in"), "tune", "Shoot bare shafts close at first"),
        (("-w", "20yd 0in, 40yd 0.2in"), "walkback", "Shoot only at a backstop"),
    ],
)
def test_who_begins_a_job_is_told_how_to_shoot(vireton, files, shot, then, words):
    vireton("record", files["NEW"], "--setup", files["SETUP"], *shot)
    assert words in " ".join(vireton(then, files["NEW"]).out.split())
