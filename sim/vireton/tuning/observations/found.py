"""What was found at the bow or the arrows without a shot: contact, a crack, something loose."""

from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Literal, Self, get_args

from vireton.tuning.observations.base import ArrowKind, Observation
from vireton.units.bench_words import problem
from vireton.units.kinds import Choice, Text
from vireton.units.table import Table, may, need
from vireton.units.text import UnitSystem, as_typed

Finding = Literal[
    "contact", "contact gone", "cracked arrow", "loose part", "timing off", "timing set"
]
FINDINGS: tuple[Finding, ...] = get_args(Finding)

#: What to do about it, before anything is moved.
CURES: dict[Finding, str] = {
    "contact": "Cure the contact first",
    "cracked arrow": "Take that arrow out and break it, so that nobody shoots it again",
    "loose part": "Tighten it, and check what else is loose",
    "timing off": "Set the timing first",
}
#: The finding that ends one that stands in the way of all else.
CURED_BY: dict[Finding, Finding] = {"contact": "contact gone", "timing off": "timing set"}
_ARROWS: tuple[ArrowKind, ...] = ("bare", "fletched")


class FoundTable(Table):
    """``[[round.found]]``: what was found without a shot."""

    what: Annotated[Finding, Choice(FINDINGS)] = need("What was found")
    where: Annotated[str | None, Text("lower left vane", 200)] = may("Where")
    how: Annotated[str | None, Text("powder", 200)] = may("How it was seen")
    arrow: Annotated[ArrowKind | None, Choice(_ARROWS)] = may("Which arrow, of a cracked one")


@dataclass(frozen=True)
class Found(Observation):
    """Something found: ``where``, ``how`` it was seen, which ``arrow`` is cracked."""

    what: Finding
    where: str = ""
    how: str = ""
    arrow: ArrowKind | None = None

    key: ClassVar[str] = "found"
    description: ClassVar[str] = "What was found without a shot"
    table: ClassVar[type[Table]] = FoundTable
    json_key: ClassVar[str] = "found"

    @classmethod
    def from_table(cls, table: FoundTable) -> Self:
        """As the file says it."""
        return cls(table.what, table.where or "", table.how or "", table.arrow)

    def to_table(self, units: UnitSystem) -> dict[str, Any]:
        """What is said of it."""
        said = {"what": self.what, "where": self.where, "how": self.how, "arrow": self.arrow}
        return {key: value for key, value in said.items() if value}

    def words(self, units: UnitSystem) -> str:
        """``found: contact, lower left vane, powder``."""
        parts = (self.what, self.arrow or "", self.where, self.how)
        return f"found: {', '.join(one for one in parts if one)}"

    def to_dict(self) -> dict[str, Any]:
        """As in the file."""
        return {"what": self.what, "where": self.where, "how": self.how, "arrow": self.arrow}

    def measurement(self, spread_angle: float) -> None:
        """None: it says which rounds count, see :mod:`vireton.tuning.segments`."""


def parse_found(text: str, where: str = "") -> Found:
    """``"contact, lower left vane, powder"``, ``"cracked arrow bare"``.

    What was found; then where and how with commas. Raises InputProblem with ``where`` in front.
    """
    what, *told = (" ".join(one.split()) for one in text.split(","))
    low = what.lower()
    for finding in sorted(FINDINGS, key=len, reverse=True):
        if low == finding or low.startswith(f"{finding} "):
            rest = what[len(finding) :].strip()
            break
    else:
        raise problem(
            where,
            f'{as_typed(text)} is nothing that can be found; write it like "contact, lower left '
            f'vane, powder". What: {", ".join(FINDINGS)}',
        )
    arrow = None
    if finding == "cracked arrow":
        rest, arrow = _arrow_of(rest)
        if arrow is None and told:  # "cracked arrow, bare"
            told[0], arrow = _arrow_of(told[0])
    told = [one for one in (rest, *told) if one]
    place, how = told[0] if told else "", ", ".join(told[1:])
    return Found(finding, place, how, arrow)


def _arrow_of(text: str) -> tuple[str, ArrowKind | None]:
    """What else is said, and which arrow of it."""
    words = text.split()
    arrow = next((one for one in _ARROWS if one in text.lower().split()), None)
    return " ".join(word for word in words if word.lower() != arrow), arrow
