"""Odd names, odd places, odd contents of files."""

import contextlib
import errno
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from faults.conftest import MAIN
from vireton.job import NewRound, append_round, read_log
from vireton.job.errors import LogError
from vireton.setup import SetupError, load_setup, parse_setup, template_text
from vireton.units.problems import InputProblem

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="files of POSIX")

NAMES = ["my bow.toml", "Bögen ün ŏ 弓.toml", "-bow.toml", "--json", "'quoted' \"bow\".toml",
         "$HOME.toml", "[b]bow[bold].toml", "%s.toml", ":bow:"]  # fmt: skip
STEERING = ["a\nb.toml", "x\x1b[31m.toml"]


@POSIX
@pytest.mark.parametrize("name", NAMES + STEERING)
def test_a_file_may_be_called_anything(call, tmp_path, name):
    for command, file in (("new", name), ("fly", name), ("tune", name)):
        code, out, err = call(command, *(["--draws", "8"] * (command == "fly")), "--", file)
        assert code == (2 if command == "tune" else 0), err
        assert (out + err).replace("\n", "").isprintable()
        assert (tmp_path / file).is_file()
    assert len(err.splitlines()) < 40
    code, out, err = call("record", f"--setup={name}", "--note", "calm", "--", f"log {name}")
    assert (out + err).replace("\n", "").isprintable()
    assert (code, (tmp_path / f"log {name}").exists()) == (
        (2, False) if name in STEERING else (0, True)
    )


@POSIX
def test_the_command_that_is_shown_can_be_run(shell, tmp_path):
    told = shell("new", "--", "-my bow.toml").stdout
    copied = told.splitlines()[-1].strip().replace("vireton", f"{MAIN[0]} -m vireton_cli.main", 1)
    done = subprocess.run(
        f"{copied} --draws 8", shell=True, check=False, cwd=tmp_path, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr


@POSIX
def test_a_link_to_a_log_stays_a_link(shell, tmp_path, log):
    (tmp_path / "other").mkdir()
    link = tmp_path / "other" / "link.toml"
    link.symlink_to(log)
    done = shell("record", link, "--note", "through the link", "--setup", "bow.toml")
    assert done.returncode == 0, done.stderr
    assert link.is_symlink()
    assert read_log(log).rounds.all[-1].note == "through the link"
    assert read_log(link).setup_path == tmp_path / "bow.toml"


@POSIX
def test_links_that_lead_nowhere_are_told(call, tmp_path):
    (tmp_path / "nowhere").symlink_to("gone")
    (tmp_path / "round").symlink_to("round")
    for name in ("nowhere", "round"):
        for arguments in (
            ["fly", name],
            ["tune", name],
            ["new", name],
            ["record", name, "--note", "x"],
            ["record", name, "--note", "x", "--setup", "bow.toml"],
            ["record", "log.toml", "--note", "x", "--setup", name],
        ):
            code, out, err = call(*arguments)
            assert (code, out) == (2, ""), (arguments, err)
            assert len(err.splitlines()) == 1


@POSIX
def test_a_folder_in_the_place_of_a_file(call, tmp_path):
    for name in ("folder", "folder.png", "folder.html", "folder.toml"):
        (tmp_path / name).mkdir()
    for arguments in (
        ["fly", "folder"],
        ["tune", "folder"],
        ["new", "folder"],
        ["record", "folder", "--note", "x"],
        ["record", "folder.toml", "--note", "x", "--setup", "bow.toml"],
        ["record", "new.toml", "--note", "x", "--setup", "folder"],
        ["fly", "bow.toml", "--draws", "8", "--plot", "folder.png"],
        ["report", "bow.toml", "-o", "folder.html"],
        ["compare", "folder", "bow.toml"],
    ):
        code, out, err = call(*arguments)
        assert (code, out) == (2, ""), (arguments, err)
    assert {one.name for one in tmp_path.iterdir() if one.is_file()} == {"bow.toml", "log.toml"}


WRITERS = [
    ["new", "{}/bow.toml"],
    ["record", "{}/log.toml", "--setup", "bow.toml", "--note", "x"],
    ["fly", "bow.toml", "--draws", "8", "--plot", "{}/p.png"],
    ["report", "bow.toml", "-o", "{}/p.html"],
    ["target", "tear", "-o", "{}/p.svg"],
]


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="nothing that even root cannot write")
@pytest.mark.parametrize("arguments", WRITERS, ids=lambda one: one[0])
def test_where_nobody_may_write_is_told(call, arguments):
    """Root may write into any read-only folder, but not into /proc."""
    for place in ("/proc", "/dev/null", "no/such/folder"):
        code, out, err = call(*(one.format(place) for one in arguments))
        assert (code, out) == (2, ""), err
        assert place in err


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="root may write anywhere")
@pytest.mark.parametrize("arguments", WRITERS, ids=lambda one: one[0])
def test_a_read_only_folder_is_told(shell, tmp_path, bow, arguments):
    folder = tmp_path / "locked"
    folder.mkdir(mode=0o555)
    done = shell(*(one.format("locked") for one in arguments))
    assert done.returncode == 2, done.stderr
    assert not list(folder.iterdir())


def without_room(folder: Path, *arguments: str) -> "subprocess.CompletedProcess[str]":
    """Run the command where no file may grow, which stands for a disk that has no more room."""
    return subprocess.run(
        ["sh", "-c", 'ulimit -f 0; exec "$@"', "sh", *MAIN, *arguments],
        check=False,
        cwd=folder,
        capture_output=True,
        text=True,
    )


@POSIX
@pytest.mark.parametrize("arguments", WRITERS, ids=lambda one: one[0])
def test_a_full_disk_leaves_nothing(tmp_path, bow, arguments):
    (tmp_path / "place").mkdir()
    done = without_room(tmp_path, *(one.format("place") for one in arguments))
    assert done.returncode == 2, done.stderr
    assert "Traceback" not in done.stderr
    assert not list((tmp_path / "place").iterdir())


@POSIX
def test_a_full_disk_keeps_the_old_log(tmp_path, log):
    old = log.read_bytes()
    done = without_room(tmp_path, "record", "log.toml", "--note", "x")
    assert done.returncode == 2
    assert "nothing was recorded" in done.stderr
    assert log.read_bytes() == old
    assert {one.name for one in tmp_path.iterdir()} == {"bow.toml", "log.toml"}


def test_a_disk_that_fills_up_while_a_template_is_written(tmp_path, monkeypatch):
    from vireton.setup import write_template

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(SetupError, match="No space left"):
        write_template(tmp_path / "bow.toml")
    assert not list(tmp_path.iterdir())


HOMES = [{"HOME": "/dev/null/home"}, {"HOME": "/proc"}, {"HOME": None, "USER": None}]


@POSIX
@pytest.mark.parametrize("home", HOMES, ids=str)
def test_no_home_is_no_reason_to_fail(shell, tmp_path, bow, home):
    environment = {k: v for k, v in (os.environ | home).items() if v is not None}
    environment.pop("XDG_CACHE_HOME", None)
    done = shell("fly", "bow.toml", "--draws", "8", "--plot", "p.png", env=environment)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "p.png").exists()


def refused(text: str, seconds: float = 5.0) -> str:
    started = time.process_time()
    with pytest.raises(SetupError) as caught:
        parse_setup(text)
    assert time.process_time() - started < seconds
    assert str(caught.value).replace("\n", "").isprintable()
    return str(caught.value)


SOUND = template_text()
BOMBS = {
    "nested lists": "a = " + "[" * 100_000,
    "closed nested lists": "a = " + "[" * 5_000 + "]" * 5_000,
    "nested tables": "a = " + "{b = " * 5_000 + "1" + "}" * 5_000,
    "a deep header": "[" + ".".join(["a"] * 50_000) + "]",
    "a deep key": ".".join(["a"] * 50_000) + " = 1",
    "a long string": 'name = "' + "x" * 1_000_000 + '"\n',
    "a long quantity": SOUND.replace('"28 1/2 in"', '"' + "2" * 900_000 + ' in"'),
    "a huge integer": SOUND.replace('"28 1/2 in"', "9" * 4_000),
    "an integer of too many digits": SOUND.replace('"28 1/2 in"', "9" * 900_000),
    "a huge hexadecimal": SOUND.replace("schema = 1", "schema = 0x" + "f" * 900_000),
    "a huge float": SOUND.replace("count = 3", "count = 1e400"),
    "nan": SOUND.replace('"200 g"', "nan"),
    "infinity": SOUND.replace('"200 g"', "-inf"),
    "huge in quotes": SOUND.replace('"28 1/2 in"', '"1e308 km"'),
    "a thousand rules": SOUND + '\n[[rules]]\nname = "x"\n' * 20_000,
    "a thousand keys": "".join(f"k{i} = 1\n" for i in range(60_000)),
    "quotes": 'a = "' * 100_000,
    "escapes": 'name = "' + "\\u0041" * 100_000 + '"',
    "dates": "schema = 9999-12-31T23:59:60Z",
}


@pytest.mark.parametrize("name", BOMBS)
def test_bombs_are_refused_in_seconds(name):
    assert len(refused(BOMBS[name])) < 20_000


LOG = 'schema = 1\nsetup = "bow.toml"\n'
LOG_BOMBS = {
    "numbers": LOG + "".join(f"[[round]]\nnumber = {9 * 10**i}\n" for i in range(4_000)),
    "wrong numbers": LOG + "[[round]]\nnumber = 1\n" * 50_000,
    "undoings": LOG + "".join(f"[[round]]\nundoes = {i}\n" for i in range(20_000)),
    "shots": LOG + '[[round]]\n[[round.group]]\narrow = "bare"\nat = "20 yd"\nshots = ['
    + '"1 in, 1 in", ' * 300_000 + "]\n",
    "a note": LOG + '[[round]]\nnote = "' + "x" * 5_000_000 + '"\n',
    "nested": LOG + "round = " + "[" * 1_000_000,
}  # fmt: skip


@pytest.mark.parametrize("name", LOG_BOMBS)
def test_bombs_for_a_log_are_refused_in_seconds(tmp_path, name):
    path = tmp_path / "log.toml"
    path.write_text(LOG_BOMBS[name], encoding="utf-8")
    started = time.process_time()
    with pytest.raises(LogError) as caught:
        append_round(path, NewRound(note="x"))
    assert time.process_time() - started < 15.0
    assert len(str(caught.value)) < 20_000
    assert path.read_text(encoding="utf-8") == LOG_BOMBS[name]


@pytest.mark.parametrize("raw", [b"\xff\xfe[\x00b\x00", b'name = "B\xf6gen"\n', b"\x00" * 5000])
def test_what_is_not_utf_8_is_told(tmp_path, raw):
    path = tmp_path / "file.toml"
    path.write_bytes(raw)
    for read in (load_setup, read_log):
        with pytest.raises(InputProblem, match=r"UTF-8|TOML"):
            read(path)


def test_windows_files_with_a_mark_are_logs_too(call, log):
    raw = b"\xef\xbb\xbf" + log.read_bytes().replace(b"\n", b"\r\n")
    log.write_bytes(raw)
    assert call("record", "log.toml", "--note", "calm")[0] == 0
    after = log.read_bytes()
    assert after.startswith(raw)
    assert after.count(b"\n") == after.count(b"\r\n")
    assert call("tune", "log.toml")[0] == 0


def test_a_log_that_is_edited_while_it_is_tuned(log, warm_tuner):
    """It is read once: the answer belongs to what was there at that moment."""
    from vireton.answers.tune import tune_log

    read = read_log(log)
    before = tune_log(read).advice_json()
    log.write_text("half a li", encoding="utf-8")
    assert tune_log(read).advice_json() == before


def long_log(path: Path, rounds: int) -> None:
    """Rounds as a bench writes them, at four settings in turn."""
    text = ['schema = 1\nsetup = "bow.toml"\n']
    for number in range(1, rounds + 1):
        text.append(
            f'\n[[round]]\nnumber = {number}\ndate = "2026-05-01"\n'
            f'rest_right = "{number % 4}/32 in"\nrest_up = "0 in"\n'
            '\n[[round.group]]\narrow = "bare"\nat = "20 yd"\n'
            'shots = ["-2.6 in, -0.9 in", "-3.5 in, 0.2 in", "-2.9 in, -0.4 in"]\n'
            '\n[[round.tear]]\narrow = "bare"\nat = "6 ft"\nright = "1/8 in"\nup = "1/16 in"\n'
        )
    path.write_text("".join(text), encoding="utf-8")


def test_ten_thousand_rounds_can_still_be_recorded(log):
    long_log(log, 10_000)
    started = time.process_time()
    assert append_round(log, NewRound(note="one more")).number == 10_001
    assert time.process_time() - started < 20.0  # 3 s on the machine it was written on


def test_a_long_log_can_still_be_tuned(log, warm_tuner):
    """Of 400 rounds the fit once took half a minute, in solving with one and the same factor."""
    from vireton.answers.tune import tune_log

    long_log(log, 400)
    read = read_log(log)
    started = time.process_time()
    tune_log(read)
    assert time.process_time() - started < 10.0


def test_the_lock_of_a_log_goes_with_its_holder(call, log):
    """A lock file that somebody left is nobody's lock."""
    lock = log.with_name(f".{log.name}.lock")
    lock.touch()
    assert call("record", "log.toml", "--note", "calm")[0] == 0
    with contextlib.suppress(FileNotFoundError):
        assert lock.stat().st_size == 0
