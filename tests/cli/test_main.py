"""The command as a whole: quick help, runnable examples, honest exits."""

import os
import re
import shlex
import shutil
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

from vireton.setup import template_text
from vireton_cli import main

ROOT = Path(__file__).parent.parent.parent
EXAMPLES = {c.name: c.epilog for c in main.app.registered_commands}
#: Ends with Ctrl-C alone; tests/bench_page/test_serve.py runs it.
ENDLESS = {"bench"}


def python(code: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code, *arguments],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.mark.parametrize(
    "arguments", [["--help"], ["--version"], ["fly", "--help"], ["rest", "-h"], ["scatter", "-h"]]
)
def test_help_and_version_import_nothing_heavy(arguments):
    code = (
        "import sys\n"
        "from vireton_cli.main import run\n"
        "sys.argv = ['vireton', *sys.argv[1:]]\n"
        "try:\n    run()\n"
        "except SystemExit as end:\n    assert not end.code\n"
        "heavy = {'numba', 'scipy', 'matplotlib', 'numpy', 'pint'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    done = python(code, *arguments)
    assert done.returncode == 0, done.stderr
    assert done.stdout


def test_fly_imports_neither_scipy_nor_matplotlib(setup_file):
    code = (
        "import sys\n"
        "from vireton_cli.main import run\n"
        "sys.argv = ['vireton', *sys.argv[1:]]\n"
        "run_ = run\n"
        "try:\n    run()\n"
        "except SystemExit as end:\n    assert not end.code\n"
        "heavy = {'scipy.optimize', 'scipy.stats', 'matplotlib', 'pint'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    done = python(code, "fly", str(setup_file), "--draws", "8")
    assert done.returncode == 0, done.stderr


def test_version(vireton):
    assert vireton("--version").out.strip() == f"vireton {version('vireton')}"


def test_every_command_is_in_the_example_list():
    assert set(EXAMPLES) == set(main.COMMANDS)
    assert all(epilog.startswith(f"Example: vireton {name}") for name, epilog in EXAMPLES.items())


@pytest.mark.parametrize("name", [one for one in EXAMPLES if one not in ENDLESS])
def test_help_ends_with_an_example_that_runs(name, vireton, tmp_path, monkeypatch):
    shown = re.sub(r"\s+", " ", vireton(name, "--help").out).strip()
    assert shown.endswith(EXAMPLES[name])
    command = EXAMPLES[name].removeprefix("Example: ").split(">")[0]
    (tmp_path / "examples").mkdir()
    (tmp_path / "examples" / "mill_bow.toml").write_text(template_text(), encoding="utf-8")
    shutil.copy(ROOT / "examples" / "mill_log.toml", tmp_path / "examples")
    # those that write do so elsewhere
    out = {"new", "record", "animate", "demo", "target", "report"}
    monkeypatch.chdir(tmp_path if name in out else ROOT)
    done = vireton(*shlex.split(command)[1:])
    assert done.code == 0, done.err
    assert done.out


def test_an_unknown_command_and_option_exit_with_2(vireton):
    assert vireton("flly").code == 2
    assert vireton("fly", "x.toml", "--wimd", "3").code == 2


def test_a_bug_keeps_its_traceback(vireton, monkeypatch, setup_file):
    def broken(*_, **__):
        raise ZeroDivisionError

    monkeypatch.setattr("vireton.studies.rest_moves.answer_flights", broken)
    with pytest.raises(ZeroDivisionError):
        vireton("fly", setup_file)


def test_a_reader_that_stops_reading_is_no_error(setup_file):
    done = subprocess.run(
        f"{shlex.quote(sys.executable)} -m vireton_cli.main fly {shlex.quote(str(setup_file))} "
        "--draws 8 --json | head -n 1",
        shell=True,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stdout == "{\n"
    assert "Traceback" not in done.stderr


def test_an_old_terminal_gets_question_marks_and_no_traceback(setup_file):
    # PYTHONPATH: the sources under test, if they are not the installed ones
    kept = {key: os.environ[key] for key in ("PYTHONPATH",) if key in os.environ}
    done = subprocess.run(
        [sys.executable, "-m", "vireton_cli.main", "fly", str(setup_file), "--draws", "8"],
        capture_output=True,
        env={"PYTHONIOENCODING": "ascii", "PATH": "/usr/bin", "HOME": str(Path.home()), **kept},
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert b"fletched" in done.stdout


def test_help_keeps_what_stands_in_brackets(vireton):
    """Square brackets are markup to the screen's library, unless they are escaped."""
    assert "[[rules]]" in vireton("rules", "--help").out
    for name in ("broadhead", "fly"):
        assert "[arrow.broadhead]" in vireton(name, "--help").out


@pytest.mark.parametrize(
    ("command", "default"),
    [
        *((name, "every 10 to 100") for name in ("fly", "rest", "holds", "marks", "broadhead")),
        ("compare", "20, 40 and 60"),
        ("report", "20, 40 and 60"),
        ("scatter", "'20,40,60 yd'"),
        ("tune", "40,60,100 yd"),
    ],
)
def test_help_shows_which_distances_are_meant_without_any(vireton, command, default):
    # square brackets and colons are markup there: a default was lost in them, or became a picture
    shown = " ".join(vireton(command, "--help").out.replace("│", " ").split())
    said = shown[shown.index("--distances LIST") :][:200]
    assert default in said
    assert all(ord(one) < 0x2E80 for one in shown)
