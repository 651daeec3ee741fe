"""``vireton jobs``: the shop's list as a technician reads it."""

import json
import re
import shutil
import subprocess
import sys
import unicodedata

import pytest

from vireton_cli import jobs as module

HEAD = 'schema = 1\nsetup = "bow.toml"\n'
DONE = '[[round]]\nnumber = 1\ndate = "2026-11-09"\nstage = "done"\n'


@pytest.fixture
def shop(tmp_path):
    """Two open jobs, one done, one damaged, and a setup file."""
    folder = tmp_path / "shop"
    folder.mkdir()
    texts = {
        "mill": '[job]\nbow = "Mill bow"\nowner = "A. Customer"\ndate = "2026-11-02"\n'
        'complaint = "bare shafts fly left"\n',
        "orchard": 'name = "Orchard bow"\n[job]\nowner = "Zoë B."\n[[round]]\ndate = 2026-11-05\n'
        '[[round]]\nstage = "visit"\ndate = 2026-11-07\n',
        "done": f'name = "Birch bow"\n{DONE}',
        "damaged": "[[round]]\nnumber =\n",
    }
    for name, text in texts.items():
        (folder / f"{name}.toml").write_text(HEAD + text, encoding="utf-8")
    (folder / "bow.toml").write_text("[bow]\n", encoding="utf-8")
    return folder


def rows(out):
    lines = out.splitlines()
    start = next(place for place, line in enumerate(lines) if line.startswith("─"))
    end = next((place for place in range(start, len(lines)) if not lines[place]), len(lines))
    return lines[start + 1 : end]


def test_open_ones_first_then_done_then_damaged(vireton, shop):
    done = vireton("jobs", shop)
    assert done.code == 0, done.err
    assert done.err == ""
    assert done.out.startswith("2 open, 1 done, 1 damaged\n")
    orchard, mill, birch = rows(done.out)
    assert re.split(r"  +", orchard) == [
        *("Orchard bow", "Zoë B.", "2026-11-07", "2", "2", "open", "orchard.toml"),
    ]
    assert re.split(r"  +", mill) == [
        *("Mill bow", "A. Customer", "bare shafts fly left", "2026-11-02", "0", "1", "open"),
        "mill.toml",
    ]
    assert re.split(r"  +", birch)[-2:] == ["done", "done.toml"]
    assert done.out.index("done.toml") < done.out.index("damaged.toml: line 4: not valid TOML")


def test_json_has_stable_keys(vireton, shop):
    answer = json.loads(vireton("jobs", shop, "--json", "--units", "metric").out)
    assert list(answer) == ["schema", "folder", "open", "done", "damaged", "jobs"]
    assert (answer["schema"], answer["folder"]) == (1, str(shop))
    assert (answer["open"], answer["done"], answer["damaged"]) == (2, 1, 1)
    assert answer["jobs"][1] == {
        "file": "mill.toml",
        "bow": "Mill bow",
        "owner": "A. Customer",
        "complaint": "bare shafts fly left",
        "taken_in": "2026-11-02",
        "last_date": "2026-11-02",
        "rounds": 0,
        "visits": 1,
        "state": "open",
        "problem": None,
    }
    damaged = answer["jobs"][3]
    assert (damaged["state"], damaged["rounds"], damaged["owner"]) == ("damaged", None, None)
    assert "not valid TOML" in damaged["problem"]


@pytest.mark.parametrize(
    ("options", "files"),
    [
        (["--find", "MILL left"], ["mill"]),
        (["--find", "zoe"], ["orchard"]),
        (["--find", "bow"], ["orchard", "mill", "done"]),
        (["--find", "bow", "--open"], ["orchard", "mill"]),
        (["--open"], ["orchard", "mill", "damaged"]),
        (["--all"], ["orchard", "mill", "done", "damaged"]),
        (["--find", "damaged"], ["damaged"]),
    ],
)
def test_some_of_them(vireton, shop, options, files):
    answer = json.loads(vireton("jobs", shop, *options, "--json").out)
    assert [one["file"] for one in answer["jobs"]] == [f"{name}.toml" for name in files]
    out = vireton("jobs", shop, *options).out
    for name in ("orchard", "mill", "done", "damaged"):
        assert (f"{name}.toml" in out) is (name in files)


def test_nothing_found_says_what_to_do(vireton, shop):
    done = vireton("jobs", shop, "--find", "mill  wind\x1b[31m")
    assert done.code == 0
    assert done.out.startswith("no job among 4 has all of: mill wind?[31m. Try fewer words")
    assert "leave out --open" in vireton("jobs", shop, "--find", "birch", "--open").out
    for name in ("mill", "orchard", "damaged"):
        (shop / f"{name}.toml").unlink()
    said = vireton("jobs", shop, "--open").out
    assert said == f"no open job among 1. `vireton jobs {shop}` lists those that are done.\n"


def test_an_empty_folder_says_how_to_begin(vireton, tmp_path, setup_file, monkeypatch):
    """The command that it shows begins a job."""
    monkeypatch.chdir(tmp_path)
    setup_file.rename("my_bow.toml")
    told = vireton("jobs").out.splitlines()
    assert told[0] == "no jobs in . yet. To begin one:"
    command = told[1].split()
    assert command[:3] == ["vireton", "record", "mill.toml"]
    assert vireton("record", "mill.toml", "--setup", "my_bow.toml", "--note", "taken in").code == 0
    assert vireton("jobs").out.startswith("1 open, 0 done\n")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["nowhere"], "nowhere: there is no such folder"),
        ([""], "FOLDER: it is empty"),
        (["{}/mill.toml"], "is a file; give the folder"),
        (["{}", "--find", " "], "--find: there is no word in it"),
    ],
)
def test_what_cannot_be_listed_is_refused(vireton, shop, arguments, said):
    done = vireton("jobs", *(one.format(shop) for one in arguments))
    assert (done.code, done.out) == (2, "")
    assert said in done.err


def columns_of(text):
    wide = {"W": 2, "F": 2}
    return sum(
        0 if unicodedata.combining(one) else wide.get(unicodedata.east_asian_width(one), 1)
        for one in text
    )


@pytest.mark.parametrize("width", [72, 80, 100, 200])
def test_it_fits_the_terminal_and_cuts_no_number(vireton, shop, monkeypatch, width):
    (shop / "mill_bow_of_a_very_faithful_customer_2026.toml").write_text(
        HEAD + '[job]\nbow = "Mill bow 123456789 123456789"\nowner = "Customer 0123456789 0123"\n'
        f'complaint = "{"groups open at 40 yd, " * 10}"\n{DONE}'
        + "".join(f"[[round]]\nnumber = {number}\n" for number in range(2, 1200)),
        encoding="utf-8",
    )
    (shop / "wide.toml").write_text(HEAD + f'name = "{"弓" * 30}e\u0301"\n', encoding="utf-8")
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    monkeypatch.setenv("COLUMNS", str(width))
    out = vireton("jobs", shop).out
    shown = rows(out)
    assert max(map(columns_of, shown)) <= width
    # every column begins at one place
    places = {columns_of(line[: re.search(r"\d  (open|done) ", line).start()]) for line in shown}
    assert len(places) == 1
    (long,) = (line for line in shown if "1199" in line)
    assert long.endswith("_2026.toml")
    for number in re.findall(r"\d+", long):
        assert number in {"0123456789", "0123", "123456789", "40", "2026", "11", "09", "1199", "1"}


@pytest.mark.parametrize(
    ("text", "width", "cut"),
    [
        ("Mill bow", 8, "Mill bow"),
        ("Mill bow", 7, "Mill b…"),
        ("Mill bow", 6, "Mill…"),
        ("bow 1234", 7, "bow…"),
        ("bow 1234 x", 9, "bow 1234…"),
        ("at 1/32 in", 6, "at…"),
        ("12345", 3, "…"),
        ("弓弓弓", 5, "弓弓…"),
        ("弓弓弓", 4, "弓…"),
    ],
)
def test_a_text_is_cut_at_its_end_and_never_in_a_number(text, width, cut):
    assert module._cut(text, width, from_front=False) == cut


def test_a_name_of_a_file_is_cut_at_its_front():
    assert module._cut("mill_bow_2026.toml", 10, from_front=True) == "…2026.toml"


def test_what_could_steer_the_terminal_is_shown_as_question_marks(vireton, shop):
    (shop / "a\nb\x1b.toml").write_text(
        HEAD + '[job]\nbow = "\\u001b[31mred"\nowner = "\\u0007"\n', encoding="utf-8"
    )
    done = vireton("jobs", shop)
    assert done.out.replace("\n", "").isprintable()
    assert "?[31mred" in done.out
    assert "a?b?.toml" in done.out


def test_it_imports_nothing_heavy_of_ours(shop):
    """What typer itself brings depends on its version."""
    code = (
        "import sys\n"
        "from vireton_cli.main import run\n"
        "sys.argv = ['vireton', *sys.argv[1:]]\n"
        "try:\n    run()\n"
        "except SystemExit as end:\n    assert not end.code\n"
        "heavy = {'numba', 'scipy', 'matplotlib', 'numpy', 'pint', 'tomlkit', 'vireton.setup',\n"
        "         'vireton.answers.fly', 'vireton.job.read'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    (shop / "damaged.toml").unlink()
    (shop / "bow.toml").unlink()
    done = subprocess.run(
        [sys.executable, "-c", code, "jobs", str(shop)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("2 open, 1 done\n")


def test_the_example_log_is_a_job(vireton, pytestconfig, tmp_path):
    shutil.copytree(pytestconfig.rootpath / "examples", tmp_path / "examples")
    out = vireton("jobs", tmp_path / "examples").out
    assert "Mill bow, spring" in out
    assert "mill_log.toml" in out
