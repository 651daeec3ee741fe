"""Append rounds to a tuning log and take the last one back. What is there is never rewritten."""

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

import tomlkit
from pydantic import ValidationError

from vireton.bow.setting import AT_START, BowSetting
from vireton.files.lock import locked
from vireton.files.toml import read_bytes
from vireton.files.whole import create_whole, replace_whole
from vireton.job.errors import LOG_FILE, LogError
from vireton.job.format import LOG_SCHEMA, RoundTable
from vireton.job.problems import table_problem
from vireton.job.read import TuningLog, parse_log
from vireton.setup import load_setup
from vireton.tuning.observations import OBSERVATION_KINDS, Group, Observation, group_of_shots
from vireton.tuning.rounds import Round, check_kinds
from vireton.units.spelling import spelled, tidy
from vireton.units.text import UnitSystem

_HEAD = """\
# Tuning log. `vireton record` adds rounds at the end and changes nothing above; edit it freely.
# Right and up are positive, as the archer sees them. rest_right and rest_up say where the rest
# stands, counted from the start of this log. A tear is the tail's hole seen from the point's hole.
"""


@dataclass(frozen=True)
class NewRound:
    """What is to be recorded. Lengths m.

    The bow is moved by ``move`` from where it stands, or what ``stands`` names (a field of
    :class:`~vireton.bow.setting.BowSetting`) now stands there, from where it was at the start of
    the log. A group whose every shot is given has its own middle and no spread
    (:func:`vireton.tuning.observations.group_of_shots`).
    """

    observations: tuple[Observation, ...] = ()
    move: BowSetting = AT_START
    stands: Mapping[str, float] = field(default_factory=dict)
    note: str = ""
    date: str = ""

    def __post_init__(self) -> None:
        if any(getattr(self.move, name) for name in self.stands):
            raise ValueError("an axis of the rest is moved or set, not both")
        check_kinds(self.observations)
        for one in self.observations:
            if not (isinstance(one, Group) and one.shots):
                continue
            if one != group_of_shots(one.arrow, one.distance, one.shots):
                raise ValueError("the middle of a group does not fit its shots")


def create_log(path: Path | str, setup: Path | str) -> TuningLog:
    """Begin a log for the bow of a setup file, without rounds yet.

    Raises LogError where something of that name is there already or cannot be written, SetupError
    where the setup file cannot be used.
    """
    path, setup = Path(path), Path(setup)
    there = "is there already and is left as it is; give another name, or record in it"
    if os.path.lexists(path):
        raise LOG_FILE.refused(path, there)
    load_setup(setup)
    document = {"schema": LOG_SCHEMA, "setup": _seen_from(path.parent, setup)}
    text = _HEAD + "\n" + tomlkit.dumps(document)
    raw = text.encode("utf-8")
    log = parse_log(raw, path)
    with locked(path, LOG_FILE):
        try:
            create_whole(path, raw, is_locked=True)
        except FileExistsError:
            raise LOG_FILE.refused(path, there) from None
        except OSError as problem:
            raise LOG_FILE.refused(path, f"cannot be written: {problem.strerror}") from None
    return log


def _seen_from(folder: Path, file: Path) -> str:
    try:
        return Path(os.path.relpath(file.resolve(), folder.resolve())).as_posix()
    except ValueError:  # another drive
        return file.resolve().as_posix()


def append_round(path: Path | str, new: NewRound, units: UnitSystem = "us") -> Round:
    """Append a round; the bytes that are there stay as they are.

    Reads the log anew under its lock, so that moves add up whoever else writes. A kill at any
    moment leaves the old log or the new one.

    Args:
        path: a log.
        new: what to record.
        units: whose spelling the new lines prefer. Whatever they are, they read back exactly.

    Returns:
        The round as it was read back.

    Raises LogError, and leaves the file untouched, where the log is damaged, the round holds what a
    log cannot, another program keeps the lock, or the disk refuses.
    """

    def make(log: TuningLog) -> dict[str, Any]:
        setting = _moved(log.setting, new)
        return _table(_next_number(log), setting, log.setting, units, new.date) | _seen(new, units)

    return _append(Path(path), make)


def check_round(path: Path | str, new: NewRound) -> None:
    """Raise the LogError with which a log at ``path`` without rounds would refuse this one."""
    setting = _moved(AT_START, new)
    _check(Path(path), _table(1, setting, AT_START, "us", new.date) | _seen(new, "us"))


def undo_last(path: Path | str, date: str = "", units: UnitSystem = "us") -> Round:
    """Take back the last round that still counts, by appending one that says so.

    The rest is then back where the counting round before left it, or where the log began. Called
    again it takes back the round before. An undo cannot be undone: record what holds now. Raises
    LogError as :func:`append_round`, and where no round is left.
    """

    def make(log: TuningLog) -> dict[str, Any]:
        counting = log.rounds.counting
        if not counting:
            raise LOG_FILE.refused(path, "no round is left to undo")
        setting = counting[-2].setting if len(counting) > 1 else AT_START
        undoes = {"undoes": counting[-1].number}
        return _table(_next_number(log), setting, log.setting, units, date) | undoes

    return _append(Path(path), make)


def _append(path: Path, make: Callable[[TuningLog], dict[str, Any]]) -> Round:
    read_bytes(path, LOG_FILE)  # says that there is no such log, not that it cannot be locked
    real = Path(os.path.realpath(path))  # one lock for a log of two names
    with locked(real, LOG_FILE):
        raw = read_bytes(path, LOG_FILE)
        before = parse_log(raw, path)
        table = make(before)
        _check(path, table)
        longer = raw + _as_text(table, raw).encode("utf-8")
        after = _read_back(path, longer, before)
        _replace(real, longer)
    return after.rounds.all[-1]


def _replace(path: Path, raw: bytes) -> None:
    if not os.access(path, os.W_OK):
        raise LOG_FILE.refused(path, f"is write-protected; {LOG_FILE.kept}")
    try:
        replace_whole(path, raw, is_locked=True)
    except OSError as problem:
        reason = problem.strerror or problem
        raise LOG_FILE.refused(path, f"cannot be written: {reason}; {LOG_FILE.kept}") from None


def _moved(setting: BowSetting, new: NewRound) -> BowSetting:
    after = setting.moved(new.move)
    # what was not moved keeps every digit that somebody wrote
    tidied = {
        one.name: tidy(getattr(after, one.name))
        for one in fields(new.move)
        if getattr(new.move, one.name)
    }
    return replace(after, **{**tidied, **new.stands})


def _next_number(log: TuningLog) -> int:
    return log.rounds.all[-1].number + 1 if log.rounds.all else 1


#: The nocking point is seldom moved: it is said once it was.
_ALWAYS_SAID = ("rest_right", "rest_up")


def _table(
    number: int, setting: BowSetting, before: BowSetting, units: UnitSystem, date: str
) -> dict[str, Any]:
    table = {"number": number, **({"date": date} if date else {})}
    for one in fields(setting):
        value = getattr(setting, one.name)
        if value or getattr(before, one.name) or one.name in _ALWAYS_SAID:
            table[one.name] = spelled(value, "bench", units)
    return table


def _seen(new: NewRound, units: UnitSystem) -> dict[str, Any]:
    table: dict[str, Any] = {"note": new.note} if new.note else {}
    for kind in OBSERVATION_KINDS:
        seen = [one.to_table(units) for one in new.observations if type(one) is kind]
        if seen:
            table[kind.key] = seen
    return table


def _check(path: Path, table: dict[str, Any]) -> None:
    """Refuse what a log cannot hold, by the same rules that read it."""
    try:
        RoundTable.model_validate(table)
    except ValidationError as error:
        data = {"round": [table]}
        problems = [
            table_problem({**one, "loc": ("round", 0, *one["loc"])}, data, {})
            for one in error.errors(include_url=False)
        ]
        raise LogError(f"{path}, not recorded", problems) from None


def _as_text(table: dict[str, Any], raw: bytes) -> str:
    """The round in TOML, to stand behind ``raw`` and with line ends like its own."""
    text = "\n" + tomlkit.dumps({"round": [table]})
    if raw and not raw.endswith(b"\n"):
        text = "\n" + text
    windows = 2 * raw.count(b"\r\n") > raw.count(b"\n")
    return text.replace("\n", "\r\n") if windows else text


def _read_back(path: Path, longer: bytes, before: TuningLog) -> TuningLog:
    """The longer log, once it is sure that it holds the old rounds and one more."""
    if len(longer) > LOG_FILE.largest:
        raise LOG_FILE.refused(path, "is full: 16 MiB; nothing was recorded. Begin a new log")
    try:
        after = parse_log(longer, path)
    except LogError as error:
        raise LOG_FILE.refused(
            path,
            "no round can be put behind its last line; nothing was recorded. Begin each round with "
            f"[[round]] on a line of its own ({error.problems[0].text})",
        ) from None
    if after.rounds.all[:-1] != before.rounds.all:
        raise LOG_FILE.refused(path, "would no longer read the same; nothing was recorded")
    return after
