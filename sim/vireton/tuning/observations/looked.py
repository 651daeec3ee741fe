"""What was looked into: whether something went wrong in a round, as the tuning asked."""

from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Literal, Self, get_args

from vireton.tuning.observations.base import Observation
from vireton.units.bench_words import problem
from vireton.units.kinds import Choice, Count
from vireton.units.table import Table, need
from vireton.units.text import UnitSystem, as_typed

#: What may have gone wrong, see :mod:`vireton.tuning.stories`.
Mishap = Literal["contact", "reversed", "slipped", "swapped", "decimal", "changed"]
MISHAPS: tuple[Mishap, ...] = get_args(Mishap)

_WORDS: dict[Mishap, str] = {
    "contact": "something touches the arrow",
    "reversed": "the rest went the other way in round {round}",
    "slipped": "the rest slipped after its move in round {round}",
    "swapped": "left and right were mixed up in round {round}",
    "decimal": "a number in round {round} is ten times off",
    "changed": "something else changed before round {round}",
}
_SO = {"yes": True, "no": False}


class LookedTable(Table):
    """``[[round.looked]]``: a look at what may have gone wrong."""

    into: Annotated[Mishap, Choice(MISHAPS)] = need("What was looked into")
    round: Annotated[int, Count(1, 10**6, 1)] = need("The round in which it may have happened")
    found: Annotated[Literal["yes", "no"], Choice(("yes", "no"))] = need("Whether it was so")


@dataclass(frozen=True)
class Looked(Observation):
    """A look at what may have gone wrong in round ``round``, and whether it was so."""

    into: Mishap
    round: int
    found: bool

    key: ClassVar[str] = "looked"
    description: ClassVar[str] = "Looks at what may have gone wrong"
    table: ClassVar[type[Table]] = LookedTable
    json_key: ClassVar[str] = "looked"

    @classmethod
    def from_table(cls, table: LookedTable) -> Self:
        """As the file says it."""
        return cls(table.into, table.round, _SO[table.found])

    def to_table(self, units: UnitSystem) -> dict[str, Any]:
        """Yes or no."""
        return {"into": self.into, "round": self.round, "found": "yes" if self.found else "no"}

    def words(self, units: UnitSystem) -> str:
        """``looked: the move that began round 3 went the other way: no``."""
        return (
            f"looked whether {mishap_words(self.into, self.round)}: {'yes' if self.found else 'no'}"
        )

    def to_dict(self) -> dict[str, Any]:
        """As in the log."""
        return {"into": self.into, "round": self.round, "found": self.found}

    def measurement(self, spread_angle: float) -> None:
        """None: it says how to read the others, see :mod:`vireton.tuning.stories`."""


def mishap_words(into: Mishap, number: int) -> str:
    """``the move that began round 3 went the other way``."""
    return _WORDS[into].format(round=number)


def parse_looked(text: str, where: str = "") -> Looked:
    """``"reversed 3 no"``; contact needs no round. Raises InputProblem with ``where`` in front."""
    words = text.lower().split()
    if words[:1] == ["contact"] and len(words) == 2:
        words.insert(1, "1")
    if len(words) == 3 and words[0] in MISHAPS and words[1].isdecimal() and words[2] in _SO:
        number = int(words[1])
        if 1 <= number <= 10**6:
            return Looked(words[0], number, _SO[words[2]])
    raise problem(
        where,
        f"{as_typed(text)}: write what you looked at, which round, and yes or no, like "
        f'"reversed 3 no". What: {", ".join(MISHAPS)}',
    )
