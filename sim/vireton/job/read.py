"""Read a tuning log: the file, the rounds in it, or all that is wrong with it."""

from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from vireton.bow.setting import AT_START, BowSetting
from vireton.files.places import key_lines, line_of
from vireton.files.problems import Problem
from vireton.files.toml import as_text, parse_toml, read_bytes
from vireton.job.errors import LOG_FILE, LogError
from vireton.job.format import LogFile, RoundKeys
from vireton.job.problems import number_rounds, order_problems, table_problem
from vireton.setup.mistaken import is_setup
from vireton.tuning.rounds import Round, Rounds

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
    def setting(self) -> BowSetting:
        """Where the bow's parts stand now, from where they stood at the log's start."""
        return self.rounds.all[-1].setting if self.rounds.all else AT_START


def read_log(path: Path | str) -> TuningLog:
    """Read a tuning log. Raises LogError with all that is wrong, each in one line."""
    path = Path(path)
    return parse_log(read_bytes(path, LOG_FILE), path)


def parse_log(raw: bytes, path: Path) -> TuningLog:
    """The log in these bytes; ``path`` is where they are from. Raises LogError as `read_log`."""
    text = as_text(raw, path, LOG_FILE)
    try:
        return _log(text, path)
    except LogError:
        if is_setup(text):
            raise LOG_FILE.refused(
                path,
                "is a setup file, not a tuning log: `vireton record LOG --setup FILE` begins a log "
                "for its bow",
            ) from None
        raise


def _log(text: str, path: Path) -> TuningLog:
    data = parse_toml(text, path, LOG_FILE)
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


def _read_models(data: dict[str, Any], text: str) -> tuple[LogFile | None, list[Problem]]:
    models, details = None, []
    try:
        models = LogFile.model_validate(data)
    except ValidationError as error:
        details = error.errors(include_url=False)[:_MOST_SAID]
    disorder = list(order_problems(data))[:_MOST_SAID]
    if not details and not disorder:
        return models, []
    lines = key_lines(text)
    problems = [table_problem(one, data, lines) for one in details]
    for path, key, said in disorder:
        problems.append(Problem(key, said, line_of(lines, path)))
    return models, problems


def _build(
    tables: tuple[RoundKeys, ...], numbers: list[int], text: str
) -> tuple[tuple[Round, ...], list[Problem]]:
    """The rounds with their settings carried on, and rounds that leave theirs open."""
    rounds: list[Round] = []
    problems = []
    before = {}  # how the bow was set before each round
    setting = AT_START
    for place, (table, number) in enumerate(zip(tables, numbers, strict=True), start=1):
        before[number] = setting
        said = {
            one.name: value
            for one in fields(setting)
            if (value := getattr(table, one.name, None)) is not None
        }
        if table.undoes is not None and not said and before[table.undoes] != setting:
            problems.append(
                Problem(
                    f"round {number}",
                    f"takes back round {table.undoes}, since which the rest has moved: say where "
                    "it stands now with rest_right and rest_up",
                    line_of(key_lines(text), ("round", str(place))),
                )
            )
        setting = replace(setting, **said)
        rounds.append(Round(number, setting, table.observations(), table.note or "", table.undoes))
    return tuple(rounds), problems
