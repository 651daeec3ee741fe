"""Append rounds to a tuning log and take the last one back. What is there is never rewritten."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import tomlkit
from pydantic import ValidationError

from vireton.job.errors import LogError, refused
from vireton.job.files import create_bytes, locked, replace_bytes
from vireton.job.format import SCHEMA_VERSION, RoundTable
from vireton.job.problems import table_problem
from vireton.job.read import LARGEST_FILE, TuningLog, parse_log, read_bytes
from vireton.job.spelling import spelled, tidy
from vireton.setup import load_setup
from vireton.tuning.observations import Group, Observation, Round, Tear, group_of_shots
from vireton.units.text import UnitSystem

_HEAD = """\
# Tuning log. `vireton record` adds rounds at the end and changes nothing above; edit it freely.
# Right and up are positive, as the archer sees them. rest_right and rest_up say where the rest
# stands, counted from the start of this log. A tear is the tail's hole seen from the point's hole.
"""


@dataclass(frozen=True)
class NewRound:
    """What is to be recorded. Lengths m.

    The rest moves by ``move_right``, ``move_up`` from where it stands, or an axis of it now stands
    at ``rest_right``, ``rest_up`` from where it was at the start of the log. A group whose every
    shot is given has its own middle and no spread
    (:func:`vireton.tuning.observations.group_of_shots`).
    """

    observations: tuple[Observation, ...] = ()
    move_right: float = 0.0
    move_up: float = 0.0
    rest_right: float | None = None
    rest_up: float | None = None
    note: str = ""
    date: str = ""

    def __post_init__(self) -> None:
        for move, rest in ((self.move_right, self.rest_right), (self.move_up, self.rest_up)):
            if move and rest is not None:
                raise ValueError("an axis of the rest is moved or set, not both")
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
        raise refused(path, there)
    load_setup(setup)
    document = {"schema": SCHEMA_VERSION, "setup": _seen_from(path.parent, setup)}
    text = _HEAD + "\n" + tomlkit.dumps(document)
    raw = text.encode("utf-8")
    log = parse_log(raw, path)
    with locked(path):
        try:
            create_bytes(path, raw)
        except FileExistsError:
            raise refused(path, there) from None
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
        rest = _moved(log.rest, new)
        return _table(_next_number(log), rest, units, new.date) | _seen(new, units)

    return _append(Path(path), make)


def check_round(path: Path | str, new: NewRound) -> None:
    """Raise the LogError with which a log at ``path`` without rounds would refuse this one."""
    rest = _moved((0.0, 0.0), new)
    _check(Path(path), _table(1, rest, "us", new.date) | _seen(new, "us"))


def undo_last(path: Path | str, date: str = "", units: UnitSystem = "us") -> Round:
    """Take back the last round that still counts, by appending one that says so.

    The rest is then back where the counting round before left it, or where the log began. Called
    again it takes back the round before. An undo cannot be undone: record what holds now. Raises
    LogError as :func:`append_round`, and where no round is left.
    """

    def make(log: TuningLog) -> dict[str, Any]:
        counting = log.rounds.counting
        if not counting:
            raise refused(path, "no round is left to undo")
        before = counting[-2] if len(counting) > 1 else None
        rest = (before.rest_right, before.rest_up) if before else (0.0, 0.0)
        undoes = {"undoes": counting[-1].number}
        return _table(_next_number(log), rest, units, date) | undoes

    return _append(Path(path), make)


def _append(path: Path, make: Callable[[TuningLog], dict[str, Any]]) -> Round:
    read_bytes(path)  # says that there is no such log, rather than that it cannot be locked
    real = Path(os.path.realpath(path))  # one lock for a log of two names
    with locked(real):
        raw = read_bytes(path)
        before = parse_log(raw, path)
        table = make(before)
        _check(path, table)
        longer = raw + _as_text(table, raw).encode("utf-8")
        after = _read_back(path, longer, before)
        replace_bytes(real, longer)
    return after.rounds.all[-1]


def _moved(rest: tuple[float, float], new: NewRound) -> tuple[float, float]:
    right = tidy(rest[0] + new.move_right) if new.move_right else rest[0]
    up = tidy(rest[1] + new.move_up) if new.move_up else rest[1]
    return (
        right if new.rest_right is None else new.rest_right,
        up if new.rest_up is None else new.rest_up,
    )


def _next_number(log: TuningLog) -> int:
    return log.rounds.all[-1].number + 1 if log.rounds.all else 1


def _table(number: int, rest: tuple[float, float], units: UnitSystem, date: str) -> dict[str, Any]:
    return {
        "number": number,
        **({"date": date} if date else {}),
        "rest_right": spelled(rest[0], "bench", units),
        "rest_up": spelled(rest[1], "bench", units),
    }


def _seen(new: NewRound, units: UnitSystem) -> dict[str, Any]:
    table: dict[str, Any] = {"note": new.note} if new.note else {}
    for one in new.observations:
        at = {"at": spelled(one.distance, "distance", units)}
        match one:
            case Tear():
                sides = {
                    "right": spelled(one.right, "bench", units),
                    "up": spelled(one.up, "bench", units),
                }
                table.setdefault("tear", []).append({"arrow": one.arrow} | at | sides)
            case Group():
                entry = {"arrow": one.arrow} | at | _group(one, units)
                table.setdefault("group", []).append(entry)
            case _:
                entry = at | {"right": spelled(one.right, "impact", units)}
                table.setdefault("walkback", []).append(entry)
    return table


def _group(group: Group, units: UnitSystem) -> dict[str, Any]:
    def spell(value: float) -> str:
        return spelled(value, "impact", units)

    if group.shots:
        shots = tomlkit.array()
        shots.extend(f"{spell(right)}, {spell(up)}" for right, up in group.shots)
        return {"shots": shots.multiline(len(shots) > 1)}
    spread = {} if group.spread is None else {"spread": spell(group.spread)}
    return {
        "center_right": spell(group.center[0]),
        "center_up": spell(group.center[1]),
        "count": group.count,
    } | spread


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
    if len(longer) > LARGEST_FILE:
        raise refused(path, "is full: 16 MiB; nothing was recorded. Begin a new log")
    try:
        after = parse_log(longer, path)
    except LogError as error:
        raise refused(
            path,
            "no round can be put behind its last line; nothing was recorded. Begin each round with "
            f"[[round]] on a line of its own ({error.problems[0].text})",
        ) from None
    if after.rounds.all[:-1] != before.rounds.all:
        raise refused(path, "would no longer read the same; nothing was recorded")
    return after
