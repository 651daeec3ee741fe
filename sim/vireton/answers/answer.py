"""An answer: what was found, and every way to read it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Generic, TypeVar

from vireton.answers.as_html import Shown
from vireton.answers.question import Question
from vireton.answers.table import Column, Grid, Lines, Part, flat, json_row
from vireton.units.display import Display

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.units.text import UnitSystem

Q = TypeVar("Q", bound=Question)


class Caution(UserWarning):
    """What can hurt someone, such as an arrow that is too light for the bow."""


@dataclass(frozen=True, repr=False)
class Answer(Shown, Generic[Q]):
    """What a question found. ``rows()`` is a table for pandas, ``to_dict()`` the command's JSON.

    The JSON is :attr:`head` with the values of :meth:`facts`, then a list of :attr:`columns` with
    those of :meth:`values`, then what :meth:`body` adds. A kind of answer says the columns once and
    gives the values in SI; units, bands and keys are put in here. A notebook shows its words and
    tables; :func:`plot` draws it.
    """

    question: Q

    #: Its columns, said once: printed tables, JSON, pages and the JSON reference read them here.
    columns: ClassVar[tuple[Column, ...]] = ()
    #: What the JSON tells once, in front of the rows.
    head: ClassVar[tuple[Column, ...]] = ()
    #: Columns of the objects inside of head and body, by their key, for the JSON reference.
    inner: ClassVar[Mapping[str, tuple[Column, ...]]] = {}
    #: The name of the list of rows in the JSON; empty where head or body put them elsewhere.
    rows_key: ClassVar[str] = "rows"

    @property
    def warnings(self) -> tuple[str, ...]:
        """What can hurt someone: every face says it first."""
        return self.question.warnings

    @property
    def notes(self) -> tuple[str, ...]:
        """What parts and numbers of the setup disagree about, and what asks for care."""
        return tuple(
            dict.fromkeys(text for rig in self.question.rigs.values() for text in rig.notes)
        )

    def facts(self) -> dict[str, Any]:
        """Values of :attr:`head`."""
        return {}

    def values(self) -> Iterable[dict[str, Any]]:
        """Values of :attr:`columns`, a row each, SI."""
        return ()

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row each, units in the keys, inner objects flattened."""
        return [flat(json_row(self.columns, row)) for row in self.values()]

    def to_dict(self) -> dict[str, Any]:
        """The same as the command's ``--json``."""
        found = {
            "schema": 1,
            "warnings": list(self.warnings),
            "notes": list(self.notes),
            **json_row(self.head, self.facts()),
        }
        if self.rows_key:
            found[self.rows_key] = [json_row(self.columns, row) for row in self.values()]
        return found | self.body()

    def body(self) -> dict[str, Any]:
        """What the JSON holds besides head and rows."""
        return {}

    def page(self, display: Display) -> Sequence[Part]:
        """What people read, in order: lines and tables."""
        raise NotImplementedError

    def words(self, display: Display) -> list[str]:
        """The answer in sentences, without its tables."""
        return [
            line for part in self.page(display) if isinstance(part, Lines) for line in part.lines
        ]

    def tables(self, display: Display) -> list[Grid]:
        """The tables alone."""
        return [part for part in self.page(display) if isinstance(part, Grid)]

    @property
    def title(self) -> str:
        """What heads it on a sheet of paper."""
        raise NotImplementedError

    #: Whether :meth:`figure` draws something.
    has_figure: ClassVar[bool] = True

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """The picture."""
        raise NotImplementedError


def plot(answer: Answer[Any], file: Any = None, units: "UnitSystem" = "us") -> "Figure":
    """Draw an answer; with a ``file`` (.png, .svg or .pdf) write it there, whole or not at all.

    Args:
        answer: of any question that has a picture.
        file: an older one of that name is replaced.
        units: ``"us"`` or ``"metric"``.

    Returns the matplotlib figure, which a notebook shows as it stands. Raises InputProblem for a
    file that cannot be and for an answer without a picture.

    >>> import vireton
    >>> figure = vireton.plot(vireton.fly(vireton.load(), "20,60 yd", draws=8))
    >>> len(figure.axes)
    2
    """
    from vireton.plots import check_suffix, save, shown_by_itself
    from vireton.units.problems import InputProblem

    if not getattr(answer, "has_figure", False):
        raise InputProblem(f"a {type(answer).__name__} has no picture")
    if file is not None:
        check_suffix(file)
    figure = answer.figure(units)
    if file is not None:
        save(figure, file)
    return shown_by_itself(figure)
