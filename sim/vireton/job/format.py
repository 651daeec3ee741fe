"""The tables and keys of a job file: what each is and what it may be.

As in a setup file, every value is an annotation of a kind that reads it into SI. The tables of what
was seen are those of :data:`vireton.tuning.observations.OBSERVATION_KINDS`.
"""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated, Any, Literal, get_args

from pydantic import Field, create_model

from vireton.job.intake import JobTable, LookOverTable, MeasuresTable
from vireton.tuning.changes import Change
from vireton.tuning.changes_typed import ChangeTable, change_from_table
from vireton.tuning.observations import OBSERVATION_KINDS, Observation
from vireton.tuning.rounds import Stage
from vireton.units.kind import Kind, shown
from vireton.units.kinds import Choice, Count, Text, Version
from vireton.units.quantity import Quantity
from vireton.units.table import Table, may, need

LOG_SCHEMA = 1


@dataclass(frozen=True)
class Note(Kind):
    """Free text of a few lines."""

    longest: int = 2000

    def read(self, value: object) -> str:
        """The text as it is written."""
        if not isinstance(value, str):
            raise ValueError(f"{shown(value)} is no text; write it like {self.example}")
        if len(value) > self.longest:
            raise ValueError(f"a note of {len(value)} characters; keep it to {self.longest}")
        if not all(c.isprintable() or c in "\n\t" for c in value):
            raise ValueError(f"{shown(value)} holds characters that cannot be shown")
        return value

    @property
    def example(self) -> str:
        """A note, quoted."""
        return '"wind from the left"'


@dataclass(frozen=True)
class Day(Kind):
    """A date, as TOML's own or as any text of one line."""

    def read(self, value: object) -> str:
        """The date as text; TOML's own in the order year, month, day."""
        if isinstance(value, date | datetime):
            return value.isoformat()
        return Text("2026-05-01", 40).read(value)

    @property
    def example(self) -> str:
        """A date, quoted."""
        return '"2026-05-01"'


@dataclass(frozen=True)
class SetupText(Kind):
    """A setup file as it stood, without its comments."""

    longest: int = 100_000

    def read(self, value: object) -> str:
        """The text."""
        if not isinstance(value, str) or len(value) > self.longest:
            raise ValueError(f"{shown(value)} is no setup file")
        return value

    @property
    def example(self) -> str:
        """How it begins."""
        return "'''schema = 1 …'''"


#: Why the numbers of bow and arrow are other ones from a round on.
SetupIs = Literal["changed", "corrected"]

_REST = Quantity("length", "-1 in", "1 in", "1/32 in")


class RoundKeys(Table):
    """``[[round]]`` without what was seen: which round, and where the bow's parts stand."""

    number: Annotated[int | None, Count(1, 10**6, 1)] = may(
        "Of this round; without it one more than the round before"
    )
    date: Annotated[str | None, Day()] = may("When it was shot")
    rest_right: Annotated[float | None, _REST] = may(
        "Rest right of where it stood at the start of the job; without it as the round before"
    )
    rest_up: Annotated[float | None, _REST] = may(
        "Rest above where it stood at the start of the job; without it as the round before"
    )
    nock_height: Annotated[float | None, _REST] = may(
        "Nocking point above where it was at the start of the job; without it as the round before"
    )
    note: Annotated[str | None, Note()] = may("Anything else")
    entry: Annotated[str | None, Text("3f9a", 64)] = may(
        "Id that a phone gave it: what is sent twice is recorded once"
    )
    undoes: Annotated[int | None, Count(1, 10**6, 1)] = may("Number of the round it takes back")
    corrects: Annotated[int | None, Count(1, 10**6, 1)] = may(
        "Number of the round in which something was typed wrong: what stands here stands there"
    )
    puts_back: Annotated[int | None, Count(1, 10**6, 1)] = may(
        "Number of the round whose change was put back on the bow before this one"
    )
    stage: Annotated[Stage | None, Choice(get_args(Stage))] = may(
        "visit: the bow came back; done: it was handed over"
    )
    complaint: Annotated[str | None, Text("groups open up", 500)] = may(
        "What is complained of, on a return visit"
    )
    setup_text: Annotated[str | None, SetupText()] = may(
        "The setup file as it is from this round on"
    )
    setup_is: Annotated[SetupIs | None, Choice(get_args(SetupIs))] = may(
        "changed: from this round on, corrected: it was wrong from the start"
    )
    change: tuple[ChangeTable, ...] = Field(
        default=(), description="What was changed beside rest and nocking point"
    )
    measures: MeasuresTable | None = may("The bow as it was measured")  # type: ignore[valid-type]
    look_over: LookOverTable | None = may("What was looked over")  # type: ignore[valid-type]

    @property
    def changes(self) -> tuple[Change, ...]:
        """What was changed, in file order."""
        return tuple(change_from_table(one) for one in self.change)

    def observations(self) -> tuple[Observation, ...]:
        """What was seen, kind by kind, each in file order."""
        return tuple(
            kind.from_table(table)
            for kind in OBSERVATION_KINDS
            for table in getattr(self, kind.key)
        )


def _list_of(kind: type[Observation]) -> Any:
    """The field of a round that holds what was seen of this kind."""
    table = kind.table
    return tuple[table, ...], Field(default=(), description=kind.description)  # type: ignore[valid-type]


#: ``[[round]]``: all that was seen at one setting of the bow, a list of tables for each kind.
RoundTable: type[RoundKeys] = create_model(
    "RoundTable",
    __base__=RoundKeys,
    **{kind.key: _list_of(kind) for kind in OBSERVATION_KINDS},
)


class LogFile(Table):
    """The whole file."""

    # `schema` itself would hide a method of every model
    version: Annotated[int, Version(LOG_SCHEMA)] = Field(
        alias="schema", description="Version of this file's layout"
    )
    setup: Annotated[str, Text("mill_bow.toml", 500)] = need(
        "Setup file of this bow, seen from the folder of the job"
    )
    name: Annotated[str | None, Text("Mill bow, spring")] = may("What you call this job")
    setup_text: Annotated[str | None, SetupText()] = may(
        "The setup file as it was when the job began"
    )
    job: JobTable | None = may("Whose bow, and why it came")
    round: tuple[RoundTable, ...] = Field(default=(), description="The rounds, in order")


#: The table that each list of tables holds, by the names of the keys that lead to it.
TABLES: dict[tuple[str, ...], type[Table]] = {
    (): LogFile,
    ("job",): JobTable,
    ("round",): RoundTable,
    ("round", "change"): ChangeTable,
    ("round", "measures"): MeasuresTable,
    ("round", "look_over"): LookOverTable,
    **{("round", kind.key): kind.table for kind in OBSERVATION_KINDS},
}
