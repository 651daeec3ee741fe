"""The rounds of a log: what was seen, each at one setting of the bow, and which of them count."""

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal, TypeVar

from vireton.bow.setting import AT_START, BowSetting
from vireton.tuning.changes import Change
from vireton.tuning.observations import OBSERVATION_KINDS, Observation

_Kind = TypeVar("_Kind", bound=Observation)


Stage = Literal["visit", "done"]


@dataclass(frozen=True)
class Round:
    """All that was changed before and seen at one setting of the bow, counted from the log's start.

    ``undoes`` is the number of the round that this one takes back, None otherwise: what that round
    saw then no longer counts, and its setting neither. ``corrects``: of the round that this one
    amends, which then stands as it should have; as it was typed is ``was``. ``puts_back``: of the
    round whose change is put back on the bow. ``stage``: a return visit begins, or the job is done;
    ``years`` since the round before. ``version``: of the numbers of bow and arrow. Raises TypeError
    for an observation that is none of :data:`~vireton.tuning.observations.OBSERVATION_KINDS`.
    """

    number: int
    setting: BowSetting = AT_START
    observations: tuple[Observation, ...] = ()
    note: str = ""
    undoes: int | None = None
    changes: tuple[Change, ...] = ()
    stage: Stage | None = None
    years: float | None = None
    puts_back: int | None = None
    corrects: int | None = None
    version: int = 0
    was: "Round | None" = None

    def __post_init__(self) -> None:
        check_kinds(self.observations)

    @property
    def measures(self) -> bool:
        """Whether anything in it speaks of the launch."""
        return any(one.speaks_of is not None for one in self.observations)

    def seen(self, kind: type[_Kind]) -> tuple[_Kind, ...]:
        """The observations of one kind, in order."""
        return tuple(one for one in self.observations if isinstance(one, kind))


def check_kinds(observations: Iterable[Observation]) -> None:
    """Raise TypeError for one that no log and no fit would know what to do with."""
    for one in observations:
        if type(one) not in OBSERVATION_KINDS:
            raise TypeError(f"{type(one).__name__} is no kind of observation")


def all_seen(rounds: Iterable[Round], kind: type[_Kind]) -> tuple[_Kind, ...]:
    """The observations of one kind from all these rounds, in order."""
    return tuple(seen for one in rounds for seen in one.seen(kind))


@dataclass(frozen=True)
class Rounds:
    """The rounds of a log in order, and which of them still count."""

    all: tuple[Round, ...] = field(default=())

    def place(self, number: int) -> int:
        """Where in ``all`` the round of this number is, or would be."""
        return bisect_left(self.all, number, key=lambda one: one.number)

    @property
    def counting(self) -> tuple[Round, ...]:
        """Rounds that no later one took back, without those that only take back or amend."""
        undone = {one.undoes for one in self.all if one.undoes is not None}
        return tuple(
            r
            for r in self.all
            if r.number not in undone and r.undoes is None and r.corrects is None
        )
