"""Terminals, pipes and redirections that fail."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from faults.conftest import MAIN

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="a shell of POSIX")
FULL = pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")


@FULL
@pytest.mark.parametrize(
    "arguments", [["--help"], ["schema"], ["fly", "bow.toml", "--draws", "8"], ["tune", "log.toml"]]
)
def test_a_full_disk_behind_the_output_is_told(shell, bow, log, arguments):
    with Path("/dev/full").open("w") as full:
        done = shell(*arguments, capture_output=False, stdout=full, stderr=subprocess.PIPE)
    assert done.returncode == 2
    told = done.stderr.splitlines()
    assert told[-1].startswith("vireton: the output could not be written: ")
    assert "Traceback" not in done.stderr


@FULL
def test_errors_that_nobody_can_read_still_have_their_exit_code(shell, bow):
    with Path("/dev/full").open("w") as full:
        for arguments in (["fly", "none.toml"], ["fly", "bow.toml", "--units", "x"]):
            assert shell(*arguments, capture_output=False, stderr=full).returncode == 2


@POSIX
@pytest.mark.parametrize("closed", [">&-", "2>&-", "<&-", ">&- 2>&- <&-"])
def test_closed_streams_are_nobodys(bow, closed):
    command = f"'{MAIN[0]}' -m vireton_cli.main"
    for rest, code in ((f"fly '{bow}' --draws 8", 0), (f"fly '{bow}' --units x", 2)):
        done = subprocess.run(
            f"{command} {rest} {closed}", shell=True, check=False, capture_output=True, text=True
        )
        assert done.returncode == code, done.stderr
        assert "Traceback" not in done.stderr


@POSIX
def test_what_is_recorded_with_closed_streams_is_all_that_is_in_the_log(log):
    """An open file may take the place of a closed stream: nothing else may be printed into it."""
    before = log.read_text(encoding="utf-8")
    subprocess.run(
        f"'{MAIN[0]}' -m vireton_cli.main record '{log}' --note calm >&- 2>&- <&-",
        shell=True,
        check=True,
    )
    after = log.read_text(encoding="utf-8")
    assert after.startswith(before)
    added = after.removeprefix(before)
    round_, _, rest = added.partition("setup_text = '''")
    # the round, and the setup file that a job of an older version takes in
    assert round_.count("\n") == 7
    assert 'note = "calm"' in round_
    assert rest.rstrip().endswith("'''")


@POSIX
@pytest.mark.parametrize("rest", ["fly bow.toml --draws 8", "fly bow.toml --draws 8 --json"])
def test_a_reader_who_is_gone_ends_it_in_silence(tmp_path, bow, rest):
    done = subprocess.run(
        f"({MAIN[0]} -m vireton_cli.main {rest}; echo $? >code) | true",
        shell=True,
        check=False,
        cwd=tmp_path,
        capture_output=True,
        text=True,
    )
    assert done.stderr == ""
    assert (tmp_path / "code").read_text().strip() == "141"


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437"])
def test_an_old_terminal_gets_plain_signs(shell, bow, log, encoding):
    environment = os.environ | {"PYTHONIOENCODING": encoding}
    for arguments in (["fly", bow, "--draws", "8", "--wind", "10 mph from 3"], ["tune", log]):
        shown = shell(*arguments, env=environment, encoding=encoding)
        usual = shell(*arguments)
        assert shown.returncode == 0, shown.stderr
        assert "Traceback" not in shown.stderr
        # every number is there, with its sign
        plain = usual.stdout.replace("−", "-").replace("…", "~").replace("°", "")
        numbers = [word for word in plain.split() if any(c.isdigit() for c in word)]
        told = shown.stdout.replace("…", "~").replace("deg", "").replace("°", "")
        assert [w for w in told.replace("|", " ").replace("│", " ").split()
                if any(c.isdigit() for c in w)] == numbers  # fmt: skip


def test_a_poor_language_is_no_reason_to_fail(shell, bow):
    environment = os.environ | {"LANG": "C", "LC_ALL": "C", "PYTHONCOERCECLOCALE": "0"}
    done = shell("fly", bow, "--draws", "8", env=environment | {"PYTHONUTF8": "0"})
    assert done.returncode == 0, done.stderr
    assert "fletched" in done.stdout


def test_a_wrong_option_on_an_old_terminal(shell, bow):
    done = shell("fly", bow, "--units", "x", env=os.environ | {"PYTHONIOENCODING": "ascii"})
    assert done.returncode == 2
    assert "--units" in done.stderr
