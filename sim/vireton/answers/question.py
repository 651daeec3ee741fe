"""A question: a frozen dataclass whose fields say what may be asked, in kinds that read it.

From one come the command with its options and help, the Python function with its arguments and
docstring, and a page's form. A module of questions imports physics inside its methods only, so that
``--help`` stays quick.
"""

import dataclasses
import inspect
import textwrap
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar, Self, TypeVar

from vireton.answers.kinds import File, SetupSources, allowed
from vireton.units.kind import Kind
from vireton.units.problems import InputProblem

if TYPE_CHECKING:
    from vireton.answers.answer import Answer
    from vireton.rig import Rig
    from vireton.units.text import UnitSystem

A = TypeVar("A")

#: Wraps what a long answer works through, to show how far it is: the things and what is done.
Progress = Callable[[Sequence[Any], str], Iterable[Any]]


def in_silence(items: Sequence[Any], _doing: str) -> Iterable[Any]:
    """How far a long answer is, shown to nobody."""
    return items


@dataclass(frozen=True)
class Asked:
    """What is said of one field of a question.

    ``usual`` is what holds without it, as typed; ``...``: it must be given. ``metric`` is the same
    for those who read metric. ``option`` names it on the command line where that is not the field's
    own name, ``name`` in Python; ``flag`` says how the typed value is called in help.
    """

    kind: Kind
    help: str
    usual: Any = None
    metric: Any = None
    option: str = ""
    name: str = ""
    flag: str = ""

    def usual_in(self, system: "UnitSystem") -> Any:
        """What holds without it."""
        return self.usual if system == "us" or self.metric is None else self.metric


def asked(
    kind: Kind,
    usual: Any,
    text: str,
    *,
    metric: Any = None,
    option: str = "",
    name: str = "",
    flag: str = "",
) -> Any:
    """A field of a question, see :class:`Asked`."""
    about = Asked(kind, text, usual, metric, option, name, flag)
    return dataclasses.field(metadata={"asked": about})


def about(question: "type[Question]") -> dict[str, Asked]:
    """What each field of a question says of itself, in order."""
    return {one.name: one.metadata["asked"] for one in dataclasses.fields(question)}


@dataclass(frozen=True)
class Question:
    """What every question has. Fields hold what was read, in SI."""

    #: The command, the function in Python, and a command line that runs.
    command: ClassVar[str]
    function: ClassVar[str]
    example: ClassVar[str]
    #: Fields that Python may give without their name, behind the file.
    by_place: ClassVar[tuple[str, ...]] = ()
    #: Whether the answer needs slopes of flights, which are compiled apart.
    needs_derivatives: ClassVar[bool] = False

    @classmethod
    def read(
        cls,
        given: Mapping[str, Any],
        *,
        spelled: Callable[[str], str] = str,
        system: "UnitSystem" = "us",
    ) -> Self:
        """The question of what was given by field: texts as typed, or numbers in SI.

        None stands for what is usual. ``spelled`` says how the caller spells a field's name, for
        errors. Raises InputProblem.
        """
        values = {}
        for name, one in about(cls).items():
            value = given.get(name)
            value = one.usual_in(system) if value is None else value
            if value is ...:
                raise InputProblem(f"{spelled(name)} is missing; write it like {one.kind.example}")
            try:
                values[name] = None if value is None else one.kind.read(value)
            except ValueError as problem:
                if isinstance(one.kind, File) and isinstance(problem, InputProblem):
                    raise  # a file's own reader names the place
                text = str(problem).removeprefix(": ")
                raise InputProblem(f"{spelled(name)}: {text}") from None
        return cls(**values)

    @cached_property
    def rigs(self) -> "dict[str, Rig]":
        """The bows that are shot, by a label where there are several."""
        raise NotImplementedError

    @cached_property
    def cautions(self) -> dict[str, tuple[str, ...]]:
        """What can hurt someone with each of :attr:`rigs`, by its label."""
        from vireton.bow.cautions import cautions

        return {label: cautions(rig.bow, *rig.arrows) for label, rig in self.rigs.items()}

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """What can hurt someone, known before anything is shot."""
        return tuple(
            f"{label}: {text}" if label else text
            for label, texts in self.cautions.items()
            for text in texts
        )

    def prepare(self, progress: Progress) -> None:
        """Work out what :attr:`warnings` rest on, where that takes long. Raises InputProblem."""

    def demand_drawable(self) -> None:
        """Before the long calculation: raise InputProblem for more than one picture can show."""

    def answer(self, progress: Progress = in_silence) -> "Answer[Any]":
        """Work it out. Raises InputProblem where that cannot be."""
        raise NotImplementedError


def option_of(name: str, one: Asked) -> str:
    """``"--sight-in"`` of ``sight_in``."""
    return one.option or f"--{name.replace('_', '-')}"


def function_of(question: type[Question], _answer: type[A]) -> Callable[..., A]:
    """The Python function that asks this question: fields as arguments, texts or numbers in SI."""
    names = {name: one.name or name for name, one in about(question).items()}
    signature = inspect.Signature(list(_parameters(question)))

    def ask(*given: Any, **named: Any) -> Any:
        import warnings

        from vireton.answers.answer import Caution

        arguments = signature.bind(*given, **named).arguments
        values = {name: arguments.get(argument) for name, argument in names.items()}
        read = question.read(values, spelled=names.__getitem__)
        for text in read.warnings:
            warnings.warn(text, Caution, stacklevel=2)
        return read.answer()

    ask.__signature__ = signature  # type: ignore[attr-defined]
    ask.__name__ = ask.__qualname__ = question.function
    ask.__doc__ = _docstring(question)
    return ask


def _parameters(question: type[Question]) -> Iterable[inspect.Parameter]:
    """Files and what stands in ``by_place`` may be given by place, the rest by name only."""
    for name, one in about(question).items():
        needed = isinstance(one.kind, File) or one.usual is ...
        usual = inspect.Parameter.empty if needed else one.usual
        kind: Any = inspect.Parameter.KEYWORD_ONLY
        if isinstance(one.kind, SetupSources):
            kind, usual = inspect.Parameter.VAR_POSITIONAL, inspect.Parameter.empty
        elif isinstance(one.kind, File) or name in question.by_place:
            kind = inspect.Parameter.POSITIONAL_OR_KEYWORD
        yield inspect.Parameter(one.name or name, kind, default=usual)


def _docstring(question: type[Question]) -> str:
    lines = [inspect.getdoc(question) or "", "", "Args:"]
    for name, one in about(question).items():
        text = f"{one.name or name}: {one.help.rstrip('.')}{allowed(one.kind)}."
        lines += textwrap.wrap(text, 96, initial_indent="    ", subsequent_indent="        ")
    lines += [
        "",
        "Quantities are text with their unit, or numbers in SI. Raises InputProblem for what",
        "cannot be used and for a distance that is never reached. Warns with a Caution of what can",
        "hurt someone.",
    ]
    return "\n".join(lines)
