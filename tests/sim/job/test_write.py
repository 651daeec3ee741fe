"""Rounds that are appended and taken back, and nothing that is lost, whatever happens."""

import errno
import fcntl
import math
import os
import random
import subprocess
import sys
import time
import tomllib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from vireton.bow.setting import BowSetting
from vireton.job import (
    LogError,
    NewRound,
    append_round,
    check_round,
    create_log,
    read_log,
    withdraw_last,
)
from vireton.job.errors import LOG_FILE
from vireton.job.write import multiline
from vireton.setup import SetupError
from vireton.tuning.observations import (
    Group,
    Tear,
    WalkbackPoint,
    group_of_center,
    group_of_shots,
)
from vireton.tuning.rounds import Round
from vireton.units.text import UnitSystem

INCH, YARD, FOOT = 0.0254, 0.9144, 0.3048
STEP = INCH / 32
TEAR = Tear("bare", 6 * FOOT, -INCH / 16, INCH / 8)
SHOTS = group_of_shots("fletched", 20 * YARD, ((0.2 * INCH, 0.1 * INCH), (-0.3 * INCH, 0.4 * INCH)))
MIDDLE = group_of_center("bare", 20 * YARD, (INCH, -2 * INCH), 3, 0.01)
POINT = WalkbackPoint(40 * YARD, -0.4 * INCH)


def test_a_new_log_names_its_bow_and_has_no_rounds(tmp_path: Path, setup_file: Path) -> None:
    path = tmp_path / "bench" / "log.toml"
    path.parent.mkdir()
    log = create_log(path, setup_file)
    assert log == read_log(path)
    assert log.setup_path.resolve() == setup_file.resolve()
    assert log.rounds.all == ()
    assert 'setup = "../bow.toml"' in path.read_text(encoding="utf-8")
    assert list(path.parent.iterdir()) == [path]


@pytest.mark.parametrize(
    ("text", "quotes"), [("a = 1\nb = 2\n", "'''"), ("a = '''x'''\n", '"""'), ("a = 1\r\n", '"""')]
)
def test_a_setup_is_kept_as_it_reads_where_it_can_be(text: str, quotes: str) -> None:
    kept = multiline(text).as_string()
    assert kept.startswith(quotes)
    assert kept.endswith(quotes)
    assert tomllib.loads(f"kept = {kept}")["kept"] == text.replace("\r\n", "\n")


def test_a_new_log_replaces_nothing_and_needs_a_setup(tmp_path: Path, setup_file: Path) -> None:
    path = tmp_path / "log.toml"
    with pytest.raises(SetupError, match="there is no such file"):
        create_log(path, tmp_path / "no.toml")
    assert not path.exists()
    with pytest.raises(LogError, match="there is no folder"):
        create_log(tmp_path / "no" / "log.toml", setup_file)
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(LogError, match="is there already and is left as it is"):
        create_log(path, setup_file)
    assert path.read_text(encoding="utf-8") == "mine"


def test_a_round_is_text_that_people_would_write(log: Path) -> None:
    before = log.read_bytes()
    new = NewRound(
        (TEAR, SHOTS, MIDDLE, POINT), move=BowSetting(STEP), note='"quoted"', date="2026-04-11"
    )
    done = append_round(log, new)
    assert done == Round(1, BowSetting(STEP), (TEAR, SHOTS, MIDDLE, POINT), '"quoted"')
    assert read_log(log).rounds.all == (done,)
    assert read_log(log).dates == ("2026-04-11",)
    after = log.read_bytes()
    assert after.startswith(before)
    assert after[len(before) :].decode() == (
        """
[[round]]
number = 1
date = "2026-04-11"
rest_right = "1/32 in"
rest_up = "0 in"
note = "\\"quoted\\""

[[round.tear]]
arrow = "bare"
at = "6 ft"
right = "-1/16 in"
up = "1/8 in"

[[round.group]]
arrow = "fletched"
at = "20 yd"
shots = [
    "0.2 in, 0.1 in",
    "-0.3 in, 0.4 in",
]

[[round.group]]
arrow = "bare"
at = "20 yd"
center_right = "1 in"
center_up = "-2 in"
count = 3
spread = "1 cm"

[[round.walkback]]
at = "40 yd"
right = "-0.4 in"
"""
    )


def test_moves_add_up_from_where_the_rest_stands_without_rounding(log: Path) -> None:
    for _ in range(3):
        append_round(log, NewRound(move=BowSetting(0.1 * INCH, -STEP)))
    last = append_round(log, NewRound((TEAR,)))
    assert last.setting == BowSetting(0.3 * INCH, -3 * STEP)
    last = append_round(
        log, NewRound(move=BowSetting(rest_up=3 * STEP), stands={"rest_right": STEP})
    )
    assert last.setting == BowSetting(STEP)
    last = append_round(log, NewRound(stands={"rest_up": 0.0}))
    assert last.setting == BowSetting(STEP)


@pytest.mark.parametrize("units", ["us", "metric"])
def test_both_systems_read_back_exactly(log: Path, units: UnitSystem) -> None:
    odd = (Tear("fletched", 1.8, 0.0011, -1 / 300), WalkbackPoint(math.pi * 10, 1 / 7))
    done = append_round(log, NewRound(odd, stands={"rest_right": 0.0007}), units)
    assert done == Round(1, BowSetting(0.0007), odd)


def test_observations_are_kept_tears_first(log: Path) -> None:
    done = append_round(log, NewRound((POINT, MIDDLE, TEAR, SHOTS)))
    assert done.observations == (TEAR, MIDDLE, SHOTS, POINT)


def test_a_round_that_no_log_can_hold_is_refused(log: Path) -> None:
    before = log.read_bytes()
    far = Tear("bare", 6 * FOOT, 20 * INCH, 0.0)
    for call in (append_round, check_round):
        with pytest.raises(LogError) as caught:
            call(log, NewRound((TEAR, far), note="\x1b"))
        assert str(caught.value).split("\n") == [
            f'{log}, not recorded: round 1, note: "?" holds characters that cannot be shown',
            f'{log}, not recorded: round 1, tear 2, right: "20 in" is outside -12 in to 12 in',
        ]
    with pytest.raises(LogError, match='rest_right: "2 in" is outside -1 in to 1 in'):
        append_round(log, NewRound(move=BowSetting(2 * INCH)))
    assert log.read_bytes() == before


def test_moves_that_add_up_too_far_are_refused(log: Path) -> None:
    append_round(log, NewRound(move=BowSetting(rest_up=0.6 * INCH)))
    before = log.read_bytes()
    with pytest.raises(LogError, match=r'round 2, rest_up: "1\.2 in" is outside'):
        append_round(log, NewRound(move=BowSetting(rest_up=0.6 * INCH)))
    assert log.read_bytes() == before


def test_a_write_protected_log_is_left_alone(log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = log.read_bytes()
    monkeypatch.setattr(os, "access", lambda *_: False)  # root may write everything
    with pytest.raises(LogError, match="is write-protected; nothing was recorded"):
        append_round(log, NewRound((TEAR,)))
    assert log.read_bytes() == before


def test_every_part_that_is_moved_is_written_and_carried_on(log: Path) -> None:
    append_round(log, NewRound(move=BowSetting(STEP, -STEP, 2 * STEP)))
    append_round(log, NewRound((TEAR,)))
    assert read_log(log).setting == BowSetting(STEP, -STEP, 2 * STEP)
    append_round(log, NewRound(move=BowSetting(nock_height=-2 * STEP)))
    assert read_log(log).setting == BowSetting(STEP, -STEP, 0.0)


def test_what_a_log_has_no_kind_for_is_refused_not_dropped() -> None:
    with pytest.raises(TypeError, match="str is no kind of observation"):
        NewRound(("a bullet hole",))  # type: ignore[arg-type]


def test_a_round_that_contradicts_itself_is_a_bug() -> None:
    with pytest.raises(ValueError, match="moved or set, not both"):
        NewRound(move=BowSetting(STEP), stands={"rest_right": STEP})
    with pytest.raises(ValueError, match="does not fit its shots"):
        NewRound((Group("bare", 18.0, (0.1, 0.0), 1, ((0.0, 0.0),)),))


HAND = """\
# my bow\r
schema=1
'setup'  =  'bow.toml'   # where
\t
[[ round ]]   # a round
number   = 2
  rest_right = "1/64 in" # half a step
tear = [ {arrow="bare", at='6 ft', right="0 in",up="0 in"}, ]
# the end, without a newline"""


def test_hand_written_text_stays_byte_for_byte(log: Path) -> None:
    log.write_bytes(HAND.encode())
    done = append_round(log, NewRound(move=BowSetting(STEP)))
    assert (done.number, done.setting.rest_right) == (3, 1.5 * STEP)
    assert log.read_bytes().startswith(HAND.encode() + b"\n\n[[round]]\n")


def test_windows_line_ends_are_kept_up(log: Path) -> None:
    raw = b"\xef\xbb\xbf" + log.read_bytes().replace(b"\n", b"\r\n")
    log.write_bytes(raw)
    append_round(log, NewRound((SHOTS,), note="a\nb"))
    after = log.read_bytes()
    assert after.startswith(raw)
    assert after.count(b"\n") == after.count(b"\r\n") > raw.count(b"\n")
    assert read_log(log).rounds.all[0].note == "a\nb"


@pytest.mark.parametrize(
    "damage",
    [
        lambda raw: raw[:-3],
        lambda raw: raw + b"\xff",
        lambda raw: raw.replace(b"rest_up", b"rest_upp"),
        lambda raw: raw + b"\n[[round]]\nnumber = 1\n",
        lambda raw: b"",
    ],
)
@pytest.mark.parametrize(
    "change", [lambda path: append_round(path, NewRound((TEAR,))), withdraw_last]
)
def test_a_damaged_log_is_never_touched(
    log: Path, damage: Callable[[bytes], bytes], change: Callable[[Path], Round]
) -> None:
    append_round(log, NewRound((TEAR,)))
    raw = damage(log.read_bytes())
    log.write_bytes(raw)
    with pytest.raises(LogError):
        change(log)
    assert log.read_bytes() == raw
    assert {one.name for one in log.parent.iterdir()} == {"log.toml", "bow.toml"}


@pytest.mark.parametrize("inline", ["round = []", 'round = [{ note = "x" }]'])
def test_rounds_in_one_inline_list_cannot_be_appended_to(log: Path, inline: str) -> None:
    raw = log.read_bytes() + inline.encode()
    log.write_bytes(raw)
    with pytest.raises(LogError, match=r"Begin each round with \[\[round\]\] on a line of its own"):
        append_round(log, NewRound((TEAR,)))
    assert log.read_bytes() == raw


def test_a_log_that_is_not_there_is_not_made(tmp_path: Path) -> None:
    with pytest.raises(LogError, match="there is no such job"):
        append_round(tmp_path / "no.toml", NewRound((TEAR,)))
    with pytest.raises(LogError, match="there is no such job"):
        withdraw_last(tmp_path / "no.toml")
    assert list(tmp_path.iterdir()) == []


def test_a_link_stays_a_link(log: Path) -> None:
    link = log.parent / "bench" / "link.toml"
    link.parent.mkdir()
    link.symlink_to(log)
    append_round(link, NewRound((TEAR,)))
    assert link.is_symlink()
    assert len(read_log(log).rounds.all) == 1
    assert list(link.parent.iterdir()) == [link]


def test_a_full_log_is_refused(log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    small = replace(LOG_FILE, largest=log.stat().st_size + 10)
    monkeypatch.setattr("vireton.job.write.LOG_FILE", small)
    with pytest.raises(LogError, match="is full"):
        append_round(log, NewRound((TEAR,)))
    assert read_log(log).rounds.all == ()


def test_undo_appends_the_way_back(log: Path) -> None:
    append_round(log, NewRound((TEAR,), move=BowSetting(STEP)))
    append_round(log, NewRound((SHOTS,), move=BowSetting(rest_up=STEP)))
    before = log.read_bytes()
    assert withdraw_last(log, "2026-04-12") == Round(3, BowSetting(STEP), undoes=2)
    assert log.read_bytes().startswith(before)
    assert [one.number for one in read_log(log).rounds.counting] == [1]
    assert read_log(log).setting == BowSetting(STEP)
    assert read_log(log).dates[-1] == "2026-04-12"


def test_undo_again_takes_back_the_round_before(log: Path) -> None:
    for _ in range(3):
        append_round(log, NewRound(move=BowSetting(STEP)))
    undone = [withdraw_last(log) for _ in range(3)]
    assert [one.undoes for one in undone] == [3, 2, 1]
    assert [one.setting.rest_right for one in undone] == [2 * STEP, STEP, 0.0]
    before = log.read_bytes()
    with pytest.raises(LogError, match="there is no round left to take back"):
        withdraw_last(log)
    assert log.read_bytes() == before


def test_after_an_undo_moves_start_where_the_rest_is_back(log: Path) -> None:
    append_round(log, NewRound(move=BowSetting(STEP)))
    append_round(log, NewRound(move=BowSetting(STEP)))
    withdraw_last(log)
    assert append_round(log, NewRound(move=BowSetting(-STEP))) == Round(4, BowSetting())
    assert withdraw_last(log) == Round(5, BowSetting(STEP), undoes=4)
    assert withdraw_last(log) == Round(6, BowSetting(), undoes=1)


class Crash(BaseException):
    """The process ends here: nothing that it would still have done is done."""


class Doom:
    """Ends the process at the ``fatal``-th call of those that reach the disk.

    What opens after that is closed as the system would, so that the lock is free.
    """

    def __init__(self, fatal: int, monkeypatch: pytest.MonkeyPatch, torn: bool) -> None:
        self.fatal, self.calls, self.torn = fatal, 0, torn
        self.open: set[int] = set()
        self.close = os.close
        for module, name in [
            *((os, name) for name in ("open", "write", "fsync", "close", "replace", "link")),
            *((os, name) for name in ("unlink", "chmod", "access")),
            (fcntl, "flock"),
        ]:
            monkeypatch.setattr(module, name, self.wrapped(name, getattr(module, name)))

    def wrapped(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*arguments: Any, **named: Any) -> Any:
            self.calls += 1
            if self.calls > self.fatal:
                raise Crash
            if self.calls == self.fatal:
                if name == "write" and self.torn:
                    real(arguments[0], arguments[1][: len(arguments[1]) // 2])
                raise Crash
            found = real(*arguments, **named)
            if name == "open":
                self.open.add(found)
            elif name == "close":
                self.open.discard(arguments[0])
            return found

        return call

    def bury(self) -> None:
        for descriptor in self.open:
            self.close(descriptor)


@pytest.mark.parametrize("torn", [False, True])
@pytest.mark.parametrize(
    "change",
    [lambda path: append_round(path, NewRound((SHOTS,), move=BowSetting(STEP))), withdraw_last],
    ids=["append", "undo"],
)
def test_a_crash_at_any_call_loses_no_earlier_round(
    log: Path, change: Callable[[Path], Round], torn: bool
) -> None:
    append_round(log, NewRound((TEAR,), move=BowSetting(STEP)))
    earlier = read_log(log).rounds.all
    outcomes = []
    for fatal in range(1, 100):
        kept = log.read_bytes()
        with pytest.MonkeyPatch.context() as patch:
            doom = Doom(fatal, patch, torn)
            try:
                change(log)
            except Crash:
                done = False
            else:
                done = True
        doom.bury()
        after = read_log(log).rounds.all
        assert after[: len(earlier)] == earlier
        assert len(after) - len(earlier) in ((1,) if done else (0, 1))
        assert log.read_bytes().startswith(kept)
        outcomes.append(len(after) - len(earlier))
        # what the crash left behind is in nobody's way
        append_round(log, NewRound(note="alive"))
        earlier = read_log(log).rounds.all
        if done:
            break
    assert done
    assert len(outcomes) > 10
    assert set(outcomes) == {0, 1}
    assert {one.name for one in log.parent.iterdir()} == {"log.toml", "bow.toml"}


@pytest.mark.parametrize("name", ["open", "write", "fsync", "close", "replace", "unlink", "chmod"])
def test_a_disk_that_fails_is_told_and_changes_nothing(log: Path, name: str) -> None:
    append_round(log, NewRound((TEAR,)))
    real = getattr(os, name)
    told = 0
    for failing in range(1, 20):
        kept, calls = log.read_bytes(), 0

        def call(*arguments: Any, failing: int = failing, **named: Any) -> Any:
            nonlocal calls
            calls += 1
            if calls == failing:
                if name == "close":
                    real(*arguments)
                raise OSError(errno.EIO, "Input/output error")
            return real(*arguments, **named)

        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(os, name, call)
            try:
                append_round(log, NewRound(move=BowSetting(STEP / 100)))
            except LogError as problem:
                told += 1
                assert "Input/output error" in str(problem)
                assert log.read_bytes() == kept
            else:
                assert len(log.read_bytes()) > len(kept)
        if calls < failing:
            break
    assert calls < failing
    assert told or name == "unlink"


WRITER = """
import sys
from vireton.bow.setting import BowSetting
from vireton.job import NewRound, append_round
from vireton.tuning.observations import Tear
path, name, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
print("ready", flush=True)
sys.stdin.readline()
for turn in range(count):
    step = 0.0254 / 64 / 32
    append_round(path, NewRound((Tear("bare", 1.8288, 0.001, 0.002),), move=BowSetting(step),
                                note=f"{name} {turn}"))
    print(turn, flush=True)
"""


def start_writer(path: Path, name: str, count: int) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path), name, str(count)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def test_two_writers_at_once_lose_no_round(log: Path) -> None:
    writers = [start_writer(log, name, 20) for name in ("a", "b")]
    for one in writers:
        assert one.stdout is not None
        assert one.stdout.readline() == "ready\n"
    for one in writers:
        assert one.stdin is not None
        one.stdin.write("go\n")
        one.stdin.flush()
    for one in writers:
        one.communicate(timeout=120)
        assert one.returncode == 0
    rounds = read_log(log).rounds.all
    assert [one.number for one in rounds] == list(range(1, 41))
    notes = [one.note for one in rounds]
    for name in ("a", "b"):
        assert [note for note in notes if note[0] == name] == [f"{name} {n}" for n in range(20)]
    # every move counted, whoever made it
    assert rounds[-1].setting.rest_right == pytest.approx(40 * INCH / 64 / 32, rel=1e-12)
    assert {one.name for one in log.parent.iterdir()} == {"log.toml", "bow.toml"}


@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL is of POSIX")
def test_killing_writers_in_a_loop_loses_no_recorded_round(log: Path) -> None:
    dice = random.Random(14)
    told: list[str] = []
    for life in range(6):
        with start_writer(log, str(life), 10_000) as writer:
            assert writer.stdin is not None
            assert writer.stdout is not None
            assert writer.stdout.readline() == "ready\n"
            writer.stdin.write("go\n")
            writer.stdin.flush()
            writer.stdout.readline()
            time.sleep(dice.uniform(0.0, 0.05))
            writer.kill()
            lines = writer.stdout.read().splitlines()
        told += [f"{life} 0", *(f"{life} {line}" for line in lines if line)]
        notes = [one.note for one in read_log(log).rounds.all]
        assert [note for note in notes if note in set(told)] == told
        # one more than it had time to tell of, at most, in each life
        assert len(notes) <= len(told) + life + 1
    assert append_round(log, NewRound(note="alive")).number == len(notes) + 1
