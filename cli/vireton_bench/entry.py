"""An entry as a phone sends it: what was tapped, in the words of ``vireton record``."""

from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from vireton_cli.recording import Typed, joined

if TYPE_CHECKING:
    from vireton.tuning.observations import Film

_Said = Annotated[str, StringConstraints(max_length=4000, pattern=r"^[^\x00-\x08\x0b-\x1f\x7f]*$")]
_Several = Annotated[list[_Said], Field(min_length=2, max_length=3)]
_Many = Annotated[list[_Said], Field(max_length=20)]
_ManySeveral = Annotated[list[_Several], Field(max_length=20)]
#: As ``--film`` has it, but for the table itself in place of its file: no phone names a file.
Marked = tuple[Literal["fletched", "bare"], Literal["above", "beside"], _Said]


class Told(BaseModel):
    """The fields of :class:`vireton_cli.recording.Typed` that a phone fills."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)

    rest: _Said | None = None
    nock: _Said | None = None
    changed: _Many = []
    tear: _ManySeveral = []
    at: _Said | None = None
    group: _ManySeveral = []
    walkback: _Said | None = None
    film: Annotated[list[Marked], Field(max_length=4)] = []
    found: _Many = []
    looked: _Many = []
    measured: _Said | None = None
    look_over: _Said | None = None
    note: _Said | None = None


class Entry(BaseModel):
    """One tap on "Record": ``id`` made by the phone, ``date`` by its clock.

    ``round``: which one is corrected or withdrawn. ``reading``, ``edited``: answers to what was
    asked before it was taken.
    """

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)

    id: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{32}$")]
    do: Literal["add", "correct", "back", "undo", "visit", "done"]
    date: Annotated[str, StringConstraints(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$")]
    typed: Told = Told()
    round: Annotated[int, Field(ge=1, le=10**6)] | None = None
    complaint: Annotated[_Said, StringConstraints(max_length=500)] = ""
    reading: Literal["typed", "meant"] | None = None
    edited: Literal["changed", "wrong"] | None = None

    def as_typed(self) -> Typed:
        """As the command line would have it."""
        told: dict[str, Any] = dict(self.typed)
        for key in ("tear", "group"):
            told[key] = tuple(joined(*one) for one in told[key])
        del told["film"]
        return Typed(**told)

    @property
    def films(self) -> "tuple[Film, ...]":
        """Those that were marked. Raises InputProblem."""
        return tuple(film_of(one) for one in self.typed.film)


def film_of(marked: Marked) -> "Film":
    """The film that was marked. Raises InputProblem."""
    from vireton.film.marks import read_marks
    from vireton.tuning.observations import Film

    arrow, view, table = marked
    return Film(arrow, read_marks(table, view))
