"""An entry as a phone sends it: what was tapped, in the words of ``vireton record``."""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from vireton_cli.recording import Typed, joined

_Said = Annotated[str, StringConstraints(max_length=4000, pattern=r"^[^\x00-\x08\x0b-\x1f\x7f]*$")]
_Several = Annotated[list[_Said], Field(min_length=2, max_length=3)]
_Many = Annotated[list[_Said], Field(max_length=20)]
_ManySeveral = Annotated[list[_Several], Field(max_length=20)]


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
        return Typed(**told)
