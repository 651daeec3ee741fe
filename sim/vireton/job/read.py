"""Read a job file: the rounds in it, or all that is wrong with it."""

from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from vireton.bow.setting import AT_START, BowSetting
from vireton.files.places import key_lines, line_of
from vireton.files.problems import Problem
from vireton.files.toml import as_text, parse_toml, read_bytes
from vireton.job.building import Numbers, build
from vireton.job.errors import LOG_FILE, LogError
from vireton.job.format import LogFile, RoundKeys
from vireton.job.intake import Intake, Paperwork
from vireton.job.problems import number_rounds, order_problems, table_problem
from vireton.setup.mistaken import has_log_keys, is_setup
from vireton.tuning.rounds import Rounds

#: Problems beyond this are not put in words.
_MOST_SAID = 200


@dataclass(frozen=True)
class TuningLog:
    """A job in SI: a bow from its intake to the hand-over, and every time that it comes back.

    ``path`` is where it was read from and ``setup_path`` the setup file of its bow, which reading
    the job neither opens nor needs. ``paperwork``: one a round. ``versions``: the numbers of bow
    and arrow that rounds refer to. ``tables``: the rounds as they stand in the file.
    """

    path: Path
    setup_path: Path
    name: str | None
    rounds: Rounds
    paperwork: tuple[Paperwork, ...] = ()
    intake: Intake = field(default_factory=Intake)
    versions: tuple[Numbers, ...] = (Numbers(),)
    tables: tuple[RoundKeys, ...] = field(default=(), repr=False)

    @property
    def dates(self) -> tuple[str, ...]:
        """One text a round, empty where none is noted."""
        return tuple(one.date for one in self.paperwork)

    @property
    def setting(self) -> BowSetting:
        """Where the bow's parts stand now, from where they stood at the log's start."""
        return self.rounds.all[-1].setting if self.rounds.all else AT_START

    @property
    def version(self) -> int:
        """Of the numbers that hold now."""
        return self.rounds.all[-1].version if self.rounds.all else 0

    @property
    def is_done(self) -> bool:
        """Whether the bow was handed over, and nothing was recorded since."""
        return bool(self.rounds.counting) and self.rounds.counting[-1].stage == "done"

    @property
    def is_new(self) -> bool:
        """Whether one round at most says how an arrow flew: then it is told how to shoot safely."""
        return sum(one.measures for one in self.rounds.counting) <= 1


def is_job_file(path: Path) -> bool:
    """Whether the file names its setup file or holds rounds, even a job that is damaged."""
    try:
        with path.open("rb") as stream:
            return has_log_keys(stream.read(LOG_FILE.largest).decode("utf-8", "replace"))
    except (OSError, ValueError):
        return False  # the reader of setup files says what is wrong


def read_log(path: Path | str) -> TuningLog:
    """Read a tuning log. Raises LogError with all that is wrong, each in one line."""
    path = Path(path)
    return parse_log(read_bytes(path, LOG_FILE), path)


def parse_log(raw: bytes, path: Path) -> TuningLog:
    """The log in these bytes; ``path`` is where they are from. Raises LogError as `read_log`."""
    # a link to a log belongs to the folder that the log itself lies in
    folder = path.resolve().parent if path.is_symlink() else path.parent
    return _parsed(raw, path, folder)


@lru_cache(maxsize=4)
def _parsed(raw: bytes, path: Path, folder: Path) -> TuningLog:
    """The same bytes are the same log: one entry at the bench reads its job eight times."""
    text = as_text(raw, path, LOG_FILE)
    try:
        return _log(text, path, folder)
    except LogError:
        if is_setup(text):
            raise LOG_FILE.refused(
                path,
                "is a setup file, not a job file: `vireton record JOB --setup FILE` begins a job "
                "for its bow",
            ) from None
        raise


def _log(text: str, path: Path, folder: Path) -> TuningLog:
    data = parse_toml(text, path, LOG_FILE)
    models, problems = _read_models(data, text)
    if models is None or problems:
        raise LogError(str(path), problems)
    built = build(models.round, number_rounds(data), text, models.setup_text)
    if built.problems:
        raise LogError(str(path), built.problems)
    return TuningLog(
        path=path,
        setup_path=folder / models.setup,
        name=models.name,
        rounds=Rounds(built.rounds),
        paperwork=built.paperwork,
        intake=Intake(**_said(models.job)),
        versions=built.versions,
        tables=models.round,
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


def _said(table: Any) -> dict[str, str]:
    return {} if table is None else {key: one for key, one in vars(table).items() if one}
