"""One line of a list of jobs: what a file says of its bow, and whether the job is open.

It looks at little more than a list needs, without pydantic and numpy, so a file that has a line may
still be refused when it is opened.
"""

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from vireton.job.errors import LOG_FILE, LogError

#: Layout of job files that is known here, as `vireton.job.format` has it.
_SCHEMA = 1


@dataclass(frozen=True)
class JobLine:
    """One job as a list shows it. Texts are of one line, and empty where nothing is noted.

    ``bow`` is never empty: without one it is the job's name, or the file's without its ending.
    ``complaint`` is that of the latest visit, ``last_date`` of the latest round with a date, else
    ``taken_in``. ``rounds`` are those that count, ``visits`` at least 1. ``problem``: why the file
    cannot be read, and then all else is empty and ``is_open`` true.
    """

    file: str
    bow: str
    owner: str = ""
    complaint: str = ""
    taken_in: str = ""
    last_date: str = ""
    rounds: int = 0
    visits: int = 1
    is_open: bool = True
    problem: str = ""

    @property
    def state(self) -> str:
        """``"open"``, ``"done"``, or ``"damaged"`` where nobody knows."""
        return "damaged" if self.problem else "open" if self.is_open else "done"


def damaged(name: str, problem: str) -> JobLine:
    """The line of a file that cannot be read."""
    return JobLine(name, Path(name).stem, problem=problem)


def read_line(path: Path) -> tuple[JobLine | None, bool]:
    """The line of a file, None for no job, and whether it holds until the file changes."""
    # a list of jobs that have not changed reads none
    from vireton.files.toml import as_text, parse_toml, read_bytes  # noqa: PLC0415

    try:
        raw = read_bytes(path, LOG_FILE)
    except LogError as error:
        # permissions and disks change without the file; one that has just gone is no job
        return (damaged(path.name, _said(error)) if os.path.lexists(path) else None), False
    try:
        data = parse_toml(as_text(raw, path, LOG_FILE), path, LOG_FILE)
    except LogError as error:
        from vireton.setup.mistaken import is_setup  # noqa: PLC0415 (brings pydantic)

        if is_setup(raw.decode("utf-8", "replace")):
            return None, True
        return damaged(path.name, _said(error)), True
    if "setup" not in data:
        return None, True
    try:
        return _line(path.name, data), True
    except ValueError as problem:
        return damaged(path.name, str(problem)), True


def _said(error: LogError) -> str:
    first = error.problems[0]
    return first.text if first.line is None else f"line {first.line}: {first.text}"


def _line(file: str, data: dict[str, Any]) -> JobLine:
    """Raises ValueError with what is wrong in words."""
    from vireton.units.kind import shown  # noqa: PLC0415

    if data.get("schema") != _SCHEMA:
        raise ValueError(
            f"schema: this Vireton reads job files of schema {_SCHEMA}; here it is "
            f"{shown(data['schema']) if 'schema' in data else 'missing'}"
        )
    job, rounds = data.get("job", {}), data.get("round", [])
    if not isinstance(job, dict):
        raise ValueError("job: write [job] on a line of its own and its keys below")
    if not isinstance(rounds, list) or not all(isinstance(one, dict) for one in rounds):
        raise ValueError("round: begin each round with [[round]] on a line of its own")
    said, counting, visits, is_open = _course(rounds)
    complaints = [_text(one, "complaint", "round.") for one in said]
    dates = [_text(one, "date", "round.") for one in rounds]
    taken_in = _text(job, "date", "job.")
    return JobLine(
        file=file,
        bow=_text(job, "bow", "job.") or _text(data, "name") or Path(file).stem,
        owner=_text(job, "owner", "job."),
        complaint=_last([_text(job, "complaint", "job."), *complaints]),
        taken_in=taken_in,
        last_date=_last([taken_in, *dates]),
        rounds=counting,
        visits=visits,
        is_open=is_open,
    )


def _last(texts: list[str]) -> str:
    return next((one for one in reversed(texts) if one), "")


def _text(table: dict[str, Any], key: str, place: str = "") -> str:
    from vireton.units.kind import shown  # noqa: PLC0415

    value = table.get(key, "")
    if hasattr(value, "isoformat"):
        value = value.isoformat()
    if not isinstance(value, str):
        raise ValueError(f"{place}{key}: {shown(value)} is no text; put it in quotes")
    return " ".join(value.split())


def _course(rounds: list[dict[str, Any]]) -> tuple[list[dict[str, Any]], int, int, bool]:
    """The rounds that were not taken back, how many of them count, visits, and whether it is open.

    A round that takes one back or corrects one does not open a job again.
    """
    undone = {one["undoes"] for one in rounds if isinstance(one.get("undoes"), int)}
    said: list[dict[str, Any]] = []
    counting, visits, is_open, number = 0, 1, True, 0
    for one in rounds:
        given = one.get("number")
        number = given if isinstance(given, int) else number + 1
        if number in undone:
            continue
        said.append(one)
        amends = "undoes" in one or "corrects" in one
        stage = one.get("stage")
        if not amends:
            counting += 1
            visits += stage == "visit"
            is_open = True
        if stage == "done":
            is_open = False
    return said, counting, visits, is_open
