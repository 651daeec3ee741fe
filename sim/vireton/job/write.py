"""Begin a job and append rounds to it. What is there is never rewritten."""

import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any, Literal

import tomlkit
from pydantic import ValidationError

from vireton.bow.setting import AT_START, BowSetting
from vireton.files.lock import locked
from vireton.files.toml import read_bytes
from vireton.files.whole import create_whole, replace_whole
from vireton.job.errors import LOG_FILE, LogError
from vireton.job.format import LOG_SCHEMA, RoundTable, SetupIs
from vireton.job.intake import Intake
from vireton.job.problems import table_problem
from vireton.job.read import TuningLog, parse_log
from vireton.job.setups import without_comments
from vireton.setup import load_setup
from vireton.setup.load import setup_file_text
from vireton.tuning.changes import Change
from vireton.tuning.changes_typed import change_table
from vireton.tuning.observations import OBSERVATION_KINDS, Group, Observation, group_of_shots
from vireton.tuning.rounds import Round, Stage, check_kinds
from vireton.units.spelling import spelled, tidy
from vireton.units.text import UnitSystem

_HEAD = """\
# A job: one bow. `vireton record` adds rounds at the end and changes nothing above; edit it freely.
# Right and up are positive, as the archer sees them. rest_right and rest_up say where the rest
# stands, counted from the start of this job. A tear is the tail's hole seen from the point's hole.
# setup_text is the setup file as it was then: editing the file does not change earlier rounds.
"""


@dataclass(frozen=True)
class NewRound:
    """What is to be recorded. Lengths m.

    The bow is moved by ``move`` from where it stands, or what ``stands`` names (a field of
    :class:`~vireton.bow.setting.BowSetting`) now stands there, from where it was at the start of
    the log. ``changes`` beside that, ``measures``, ``look_over``, ``stage`` and ``complaint`` as in
    :mod:`vireton.job.format`. ``refers``: key and number of an earlier round, such as
    ``("puts_back", 3)``. ``setup``: the setup file's text from here on, and why it is another one
    ("" for the first that is kept). A group whose every shot is given has its own middle and no
    spread (:func:`vireton.tuning.observations.group_of_shots`). ``entry``: an id; a job that has a
    round of it already keeps that one, and records nothing.
    """

    observations: tuple[Observation, ...] = ()
    move: BowSetting = AT_START
    stands: Mapping[str, float] = field(default_factory=dict)
    note: str = ""
    date: str = ""
    changes: tuple[Change, ...] = ()
    measures: Mapping[str, str] = field(default_factory=dict)
    look_over: Mapping[str, str] = field(default_factory=dict)
    stage: Stage | None = None
    complaint: str = ""
    refers: tuple[Literal["corrects", "puts_back"], int] | None = None
    setup: tuple[str, SetupIs | Literal[""]] | None = None
    entry: str = ""

    @property
    def moves(self) -> bool:
        """Whether rest or nocking point move."""
        return bool(self.stands) or self.move != AT_START

    def __post_init__(self) -> None:
        if any(getattr(self.move, name) for name in self.stands):
            raise ValueError("an axis of the rest is moved or set, not both")
        check_kinds(self.observations)
        for one in self.observations:
            if not (isinstance(one, Group) and one.shots):
                continue
            if one != group_of_shots(one.arrow, one.distance, one.shots):
                raise ValueError("the middle of a group does not fit its shots")


def create_log(path: Path | str, setup: Path | str, intake: Intake | None = None) -> TuningLog:
    """Begin a job for the bow of a setup file, without rounds yet; it keeps the file's numbers.

    Raises LogError where something of that name is there already or cannot be written, SetupError
    where the setup file cannot be used.
    """
    path, setup = Path(path), Path(setup)
    there = "is there already and is left as it is; give another name, or record in it"
    if os.path.lexists(path):
        raise LOG_FILE.refused(path, there)
    load_setup(setup)
    document: dict[str, Any] = {"schema": LOG_SCHEMA, "setup": _seen_from(path.parent, setup)}
    document["setup_text"] = multiline(without_comments(setup_file_text(setup)))
    job = {key: value for key, value in vars(intake or Intake()).items() if value}
    if job:
        document["job"] = job
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
        setting = setting_after(log.setting, new)
        return setting_table(next_number(log), setting, log.setting, units, new.date) | _told(
            new, units
        )

    return append(Path(path), make, new.entry)


def check_round(path: Path | str, new: NewRound) -> None:
    """Raise the LogError with which a log at ``path`` without rounds would refuse this one."""
    setting = setting_after(AT_START, new)
    _check(Path(path), setting_table(1, setting, AT_START, "us", new.date) | _told(new, "us"))


def append(path: Path, make: Callable[[TuningLog], dict[str, Any]], entry: str = "") -> Round:
    """Append the round that ``make`` makes of the job as it is under its lock, read back.

    Where the job has a round with the id ``entry``, that is returned and nothing is written: the
    id and the round are one write, so that no kill comes between them.
    """
    read_bytes(path, LOG_FILE)  # says that there is no such job, not that it cannot be locked
    real = Path(os.path.realpath(path))  # one lock for a log of two names
    with locked(real, LOG_FILE):
        raw = read_bytes(path, LOG_FILE)
        before = parse_log(raw, path)
        if (known := recorded_as(before, entry)) is not None:
            return known
        table = make(before) | ({"entry": entry} if entry else {})
        _check(path, table)
        longer = raw + _as_text(table, raw).encode("utf-8")
        after = _read_back(path, longer, before)
        _replace(real, longer)
    return after.rounds.all[-1]


def recorded_as(log: TuningLog, entry: str) -> Round | None:
    """The round that was recorded under this id; None where there is none."""
    pairs = zip(log.rounds.all, log.tables, strict=True)
    return next((one for one, table in pairs if entry and table.entry == entry), None)


def _replace(path: Path, raw: bytes) -> None:
    if not os.access(path, os.W_OK):
        raise LOG_FILE.refused(path, f"is write-protected; {LOG_FILE.kept}")
    try:
        replace_whole(path, raw, is_locked=True)
    except OSError as problem:
        reason = problem.strerror or problem
        raise LOG_FILE.refused(path, f"cannot be written: {reason}; {LOG_FILE.kept}") from None


def setting_after(setting: BowSetting, new: NewRound) -> BowSetting:
    """How the bow is set once the round is recorded; ``setting``: before it."""
    after = setting.moved(new.move)
    # what was not moved keeps every digit that somebody wrote
    tidied = {
        one.name: tidy(getattr(after, one.name))
        for one in fields(new.move)
        if getattr(new.move, one.name)
    }
    return replace(after, **{**tidied, **new.stands})


def next_number(log: TuningLog) -> int:
    """Of a round that is appended."""
    return log.rounds.all[-1].number + 1 if log.rounds.all else 1


#: The nocking point is seldom moved: it is said once it was.
_ALWAYS_SAID = ("rest_right", "rest_up")


def setting_table(
    number: int, setting: BowSetting, before: BowSetting, units: UnitSystem, date: str
) -> dict[str, Any]:
    """The beginning of a round's table: its number, its day and how the bow is set."""
    table = {"number": number, **({"date": date} if date else {})}
    for one in fields(setting):
        value = getattr(setting, one.name)
        if value or getattr(before, one.name) or one.name in _ALWAYS_SAID:
            table[one.name] = spelled(value, "bench", units)
    return table


def _told(new: NewRound, units: UnitSystem) -> dict[str, Any]:
    said = {"stage": new.stage, "complaint": new.complaint, "note": new.note}
    table: dict[str, Any] = {key: value for key, value in said.items() if value}
    if new.refers is not None:
        table[new.refers[0]] = new.refers[1]
    if new.setup is not None:
        text, why = new.setup
        table |= {"setup_text": multiline(text), **({"setup_is": why} if why else {})}
    for key in ("measures", "look_over"):
        if kept := dict(getattr(new, key)):
            table[key] = kept
    if new.changes:
        table["change"] = [change_table(one, units) for one in new.changes]
    return table | entries(new.observations, units)


def entries(seen: Iterable[Observation], units: UnitSystem) -> dict[str, Any]:
    """What was seen as tables of the file, kind by kind."""
    table: dict[str, Any] = {}
    for one in seen:
        table.setdefault(type(one).key, []).append(one.to_table(units))
    return {kind.key: table[kind.key] for kind in OBSERVATION_KINDS if kind.key in table}


def multiline(text: str) -> Any:
    """A text of several lines, readable in the file."""
    return tomlkit.string(text, multiline=True, literal="'''" not in text and "\r" not in text)


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
        raise LOG_FILE.refused(path, "is full: 16 MiB; nothing was recorded. Begin a new job")
    try:
        after = parse_log(longer, path)
    except LogError as error:
        raise LOG_FILE.refused(
            path,
            "no round can be put behind its last line; nothing was recorded. Begin each round with "
            f"[[round]] on a line of its own ({error.problems[0].text})",
        ) from None
    if after.tables[:-1] != before.tables:
        raise LOG_FILE.refused(path, "would no longer read the same; nothing was recorded")
    return after
