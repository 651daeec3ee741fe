"""Ctrl-C and sudden death in the middle of work: one line, whole files, nothing left behind."""

import json
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from faults.conftest import MAIN
from vireton.job import read_log

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")

#: Runs the command with one function of it replaced by ``stand_in``.
PREFACE = """
import importlib, sys, time
from vireton_cli.main import run
where, name = sys.argv[1].rsplit(".", 1)
module = importlib.import_module(where)
real = getattr(module, name)
def stand_in(*arguments, **named):
    print("here", file=sys.stderr, flush=True)
    {body}
setattr(module, name, stand_in)
sys.argv = ["vireton", *sys.argv[2:]]
run()
"""
FOREVER = "while True: real(*arguments, **named)"


def interrupted(folder: Path, place: str, *arguments: str) -> tuple[int, str, list[str]]:
    """Send Ctrl-C when the command has come to ``place``: exit code, output, lines of errors."""
    with subprocess.Popen(
        [sys.executable, "-c", PREFACE.format(body=FOREVER), place, *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=folder,
    ) as process:
        assert process.stderr is not None
        said = []
        for line in process.stderr:
            said.append(line)
            if line == "here\n":
                break
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
    return process.returncode, out, [line for line in err.splitlines() if line != "here"]


@pytest.mark.parametrize(
    ("place", "arguments"),
    [
        ("vireton.setup.load.build_setup", ["fly", "bow.toml"]),
        (
            "vireton.studies.rest_moves.answer_flights",
            ["fly", "bow.toml", "--draws", "8", "--plot", "p.png"],
        ),
        (
            "vireton.studies.compare.compare",
            ["compare", "bow.toml", "--vary", "vanes.count=3,4", "--json"],
        ),
        ("vireton.tuning.loop.fit", ["tune", "log.toml", "--plot", "p.svg"]),
        ("vireton.plots.saving.replace_whole", ["fly", "bow.toml", "--draws", "8", "--plot",
                                                "p.png"]),
    ],
)  # fmt: skip
def test_ctrl_c_ends_it_with_one_line_and_130(tmp_path, bow, log, place, arguments):
    before = {one.name for one in tmp_path.iterdir()}
    code, out, err = interrupted(tmp_path, place, *arguments)
    assert (code, out, err) == (130, "", ["vireton: stopped"])
    assert {one.name for one in tmp_path.iterdir()} - before <= {"p.png"}
    for picture in tmp_path.glob("p.png"):
        # the last one stood in for the writing itself, which had been done when Ctrl-C came
        assert place.endswith("replace_whole")
        assert picture.read_bytes().endswith(b"IEND\xaeB`\x82")


def test_ctrl_c_during_the_advice_says_that_the_round_is_recorded(tmp_path, log):
    place = "vireton_cli.record.advised"
    code, _, err = interrupted(tmp_path, place, "record", "log.toml", "--note", "calm")
    assert code == 130
    assert err == ["vireton: round 2 is recorded; its advice was stopped", "vireton: stopped"]
    assert [one.note for one in read_log(log).rounds.all] == ["", "calm"]


def test_ctrl_c_while_many_arrows_fly(tmp_path, bow):
    """In compiled code and threads: what has not begun never does."""
    code, out, err = interrupted(
        tmp_path, "vireton.kernel.door.fly_many", "fly", "bow.toml", "--draws", "8"
    )
    assert (code, out, err) == (130, "", ["vireton: stopped"])


DEATHS = [
    ("os.fsync", ["new", "made.toml"]),
    ("os.link", ["new", "made.toml"]),
    ("os.fsync", ["fly", "bow.toml", "--draws", "8", "--plot", "made.png"]),
    ("os.fsync", ["record", "log.toml", "--note", "calm"]),
    ("os.replace", ["record", "log.toml", "--note", "calm"]),
    ("os.fsync", ["record", "made.toml", "--setup", "bow.toml", "--note", "calm"]),
    ("os.fsync", ["report", "bow.toml", "-o", "made.html"]),
]


@pytest.mark.parametrize(("place", "arguments"), DEATHS)
def test_a_death_between_the_writing_and_the_name_leaves_the_old(
    shell, tmp_path, bow, log, place, arguments
):
    before = log.read_bytes()
    code = PREFACE.format(body="import os; os._exit(9)")
    done = subprocess.run(
        [sys.executable, "-c", code, place, *arguments], check=False, cwd=tmp_path, timeout=60
    )
    assert done.returncode == 9
    assert not list(tmp_path.glob("made*"))
    assert log.read_bytes() == before
    # what it left behind is in nobody's way
    again = shell(*arguments)
    assert again.returncode == 0, again.stderr


def test_half_a_page_is_never_seen(tmp_path, bow, shell):
    assert shell("report", "bow.toml", "-o", "page.html").returncode == 0
    page = tmp_path / "page.html"
    old = page.read_bytes()
    code = PREFACE.format(body="import os; os._exit(9)")
    arguments = ["report", "bow.toml", "-o", "page.html", "--units", "metric"]
    subprocess.run([sys.executable, "-c", code, "os.fsync", *arguments], check=False, cwd=tmp_path)
    assert page.read_bytes() == old


def test_processes_that_record_at_once_lose_nothing(tmp_path, log):
    writers = [
        subprocess.Popen(
            [*MAIN, "record", "log.toml", "--walkback", f"{20 + k}yd 0.{k}in", "--json"],
            cwd=tmp_path,
            stdout=subprocess.PIPE,
            text=True,
        )
        for k in range(6)
    ]
    told = [json.loads(one.communicate(timeout=120)[0]) for one in writers]
    assert [one.returncode for one in writers] == [0] * 6
    assert sorted(one["round"]["number"] for one in told) == list(range(2, 8))
    rounds = read_log(log).rounds.all
    assert sorted(one.observations[0].distance for one in rounds[1:]) == pytest.approx(
        [0.9144 * (20 + k) for k in range(6)]
    )
