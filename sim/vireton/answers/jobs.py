"""A shop's jobs as an answer: the list of ``vireton jobs``, for scripts and notebooks."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from vireton.answers.as_html import Shown
from vireton.answers.table import Grid, Lines, Part
from vireton.job.folder import jobs_in, search
from vireton.job.line import JobLine
from vireton.units.display import Display

_KEYS = ("file", "bow", "owner", "complaint", "taken_in", "last_date", "rounds", "visits")
_HEADS = ("bow", "owner", "complaint", "last date", "rounds", "visit", "state", "file")


@dataclass(frozen=True)
class ShopJobs(Shown):
    """What :func:`list_jobs` found: ``lines``, a :class:`~vireton.job.line.JobLine` each."""

    folder: str
    lines: tuple[JobLine, ...]

    def count(self) -> dict[str, int]:
        """How many are open, done and damaged."""
        states = [one.state for one in self.lines]
        return {state: states.count(state) for state in ("open", "done", "damaged")}

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row a job, open ones first, the latest on top; what is not noted is None."""
        return [_row(one) for one in self.lines]

    def to_dict(self) -> dict[str, Any]:
        """The same as the command's ``--json``."""
        return {"schema": 1, "folder": self.folder, **self.count(), "jobs": self.rows()}

    def page(self, _display: Display) -> list[Part]:
        """How many, and the list; damaged ones with what is wrong with them."""
        count = ", ".join(f"{number} {state}" for state, number in self.count().items())
        cells = tuple(
            (one.bow, one.owner, one.complaint, one.last_date, str(one.rounds), str(one.visits),
             one.state, one.file)
            for one in self.lines
            if not one.problem
        )  # fmt: skip
        wrong = tuple(f"{one.file}: {one.problem}" for one in self.lines if one.problem)
        return [Lines((count,)), Grid("", _HEADS, cells), Lines(wrong)]


def _row(line: JobLine) -> dict[str, Any]:
    known = asdict(line)
    row = {key: known[key] or None for key in _KEYS}
    numbers = {key: None if line.problem else known[key] for key in ("rounds", "visits")}
    return {**row, **numbers, "state": line.state, "problem": line.problem or None}


def list_jobs(folder: Path | str = ".", *, find: str = "", only_open: bool = False) -> ShopJobs:
    """List a folder's jobs: open ones first, the latest on top, damaged ones at the end.

    Args:
        folder: of job files.
        find: words that bow, owner, complaint or file name hold, all of them.
        only_open: leave out those that are done.

    Raises InputProblem where there is no such folder or it may not be read.

    >>> import vireton
    >>> shop = vireton.list_jobs("examples")
    >>> for row in shop.rows():
    ...     print(row["bow"], row["rounds"], row["state"])
    Mill bow, spring 4 open
    """
    found: Sequence[JobLine] = search(jobs_in(folder), find)
    lines = tuple(one for one in found if one.is_open or not only_open)
    return ShopJobs(str(folder), lines)
