"""Read a tuning log: the file, the rounds in it, or all that is wrong with it."""

import os
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from vireton.job.errors import LogError, refused
from vireton.job.format import GroupTable, LogFile, RoundTable
from vireton.job.places import element_lines
from vireton.job.problems import number_rounds, order_problems, table_problem
from vireton.setup.errors import Problem
from vireton.setup.load import DEEP_PATH, syntax_problem
from vireton.setup.mistaken import is_setup
from vireton.setup.places import line_of
from vireton.tuning.observations import (
    Observation,
    Round,
    Rounds,
    Tear,
    WalkbackPoint,
    group_of_center,
    group_of_shots,
)

LARGEST_FILE = 1 << 24  # bytes; a round takes some 300

#: Problems beyond this are not put in words.
_MOST_SAID = 200


@dataclass(frozen=True)
class TuningLog:
    """A tuning log in SI.

    ``path`` is where it was read from and ``setup_path`` the setup file of its bow, which reading
    the log neither opens nor needs. ``dates`` holds one text a round, empty where none is noted.
    """

    path: Path
    setup_path: Path
    name: str | None
    rounds: Rounds
    dates: tuple[str, ...] = ()

    @property
    def rest(self) -> tuple[float, float]:
        """Where the rest stands now: right and up of where it stood at the log's start, m."""
        last = self.rounds.all[-1] if self.rounds.all else None
        return (last.rest_right, last.rest_up) if last else (0.0, 0.0)


def read_log(path: Path | str) -> TuningLog:
    """Read a tuning log. Raises LogError with all that is wrong, each in one line."""
    path = Path(path)
    return parse_log(read_bytes(path), path)


def read_bytes(path: Path) -> bytes:
    """The bytes of a log. Raises LogError in words."""
    if os.path.isdir(path):  # noqa: PTH112 (a name that is too long is no folder)
        raise refused(path, "is a folder; give the log in it")
    try:
        with path.open("rb") as stream:
            raw = stream.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise refused(
            path, "there is no such log; `vireton record LOG --setup FILE` begins one"
        ) from None
    except PermissionError:
        raise refused(path, "may not be read; check the file's permissions") from None
    except (OSError, ValueError) as problem:  # ValueError: a NUL in the name
        reason = getattr(problem, "strerror", None) or problem
        raise refused(path, f"cannot be read: {reason}") from None
    if len(raw) > LARGEST_FILE:
        raise refused(path, "is larger than 16 MiB, so it is no log; begin a new one")
    return raw


def parse_log(raw: bytes, path: Path) -> TuningLog:
    """The log in these bytes; ``path`` is where they are from. Raises LogError as `read_log`."""
    text = _text(raw, path)
    try:
        return _log(text, path)
    except LogError:
        if is_setup(text):
            raise refused(
                path,
                "is a setup file, not a tuning log: `vireton record LOG --setup FILE` begins a log "
                "for its bow",
            ) from None
        raise


def _log(text: str, path: Path) -> TuningLog:
    data = _parse_toml(text, path)
    models, problems = _read_models(data, text)
    if models is None or problems:
        raise LogError(str(path), problems)
    rounds, problems = _build(models.round, number_rounds(data), text)
    if problems:
        raise LogError(str(path), problems)
    # a link to a log belongs to the folder that the log itself lies in
    folder = path.resolve().parent if path.is_symlink() else path.parent
    return TuningLog(
        path=path,
        setup_path=folder / models.setup,
        name=models.name,
        rounds=Rounds(rounds),
        dates=tuple(table.date or "" for table in models.round),
    )


def _text(raw: bytes, path: Path) -> str:
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as problem:
        line = raw.count(b"\n", 0, problem.start) + 1
        column = problem.start - (raw.rfind(b"\n", 0, problem.start) + 1) + 1
        raise refused(
            path, f"is not UTF-8 text at column {column}; save it as UTF-8 in your editor", line
        ) from None
    return text.removeprefix("\ufeff").replace("\r\n", "\n")


def _parse_toml(text: str, path: Path) -> dict[str, Any]:
    too_deep = "lists or tables are nested too deeply for a log"
    if DEEP_PATH.search(text):
        raise refused(path, too_deep)
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise refused(path, too_deep) from None
    except ValueError as problem:  # TOMLDecodeError is one; so is a number of 5000 digits
        # a file that was cut off ends at a place too
        last = text.rstrip().split("\n")
        end = f"(at line {len(last)}, column {len(last[-1]) + 1})"
        said = str(problem).replace("(at end of document)", end)
        raise LogError(str(path), [syntax_problem(said, text)]) from None


def _read_models(data: dict[str, Any], text: str) -> tuple[LogFile | None, list[Problem]]:
    models, details = None, []
    try:
        models = LogFile.model_validate(data)
    except ValidationError as error:
        details = error.errors(include_url=False)[:_MOST_SAID]
    disorder = list(order_problems(data))[:_MOST_SAID]
    if not details and not disorder:
        return models, []
    lines = element_lines(text)
    problems = [table_problem(one, data, lines) for one in details]
    for path, key, said in disorder:
        problems.append(Problem(key, said, line_of(lines, path)))
    return models, problems


def _build(
    tables: tuple[RoundTable, ...], numbers: list[int], text: str
) -> tuple[tuple[Round, ...], list[Problem]]:
    """The rounds with their rest settings carried on, and rounds that leave theirs open."""
    rounds: list[Round] = []
    problems = []
    before = {}  # where the rest stood before each round
    right = up = 0.0
    for place, (table, number) in enumerate(zip(tables, numbers, strict=True)):
        before[number] = (right, up)
        silent = table.rest_right is None and table.rest_up is None
        if table.undoes is not None and silent and before[table.undoes] != (right, up):
            problems.append(
                Problem(
                    f"round {number}",
                    f"takes back round {table.undoes}, since which the rest has moved: say where "
                    "it stands now with rest_right and rest_up",
                    line_of(element_lines(text), ("round", str(place))),
                )
            )
        right = right if table.rest_right is None else table.rest_right
        up = up if table.rest_up is None else table.rest_up
        rounds.append(
            Round(number, right, up, _observations(table), table.note or "", table.undoes)
        )
    return tuple(rounds), problems


def _observations(table: RoundTable) -> tuple[Observation, ...]:
    """Tears first, then groups, then walk-back points, each in file order."""
    return (
        *(Tear(one.arrow, one.at, one.right, one.up) for one in table.tear),
        *(_group(one) for one in table.group),
        *(WalkbackPoint(one.at, one.right) for one in table.walkback),
    )


def _group(table: GroupTable) -> Observation:
    if table.shots is not None:
        return group_of_shots(table.arrow, table.at, table.shots)
    right, up, count = table.center_right, table.center_up, table.count
    assert right is not None and up is not None and count is not None
    return group_of_center(table.arrow, table.at, (right, up), count, table.spread)
