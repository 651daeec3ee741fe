"""``vireton new``: ask for a bow's numbers and write a short setup file, or write the template."""

import contextlib
import io
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from vireton.setup.intake import Question

EXAMPLE = "Example: vireton new my_bow.toml"

_UNKNOWN, _BACK, _HELP = "-", "<", "?"


def new(
    file: Annotated[
        Path | None,
        typer.Argument(metavar="FILE", help="Where to write it.", show_default=False),
    ] = None,
    template: Annotated[
        bool,
        typer.Option(
            "--template",
            help="Ask nothing: write the commented file with every key, of an invented bow; "
            "without FILE, print it.",
        ),
    ] = False,
) -> None:
    """Begin a setup file: asks for what a bench knows of the bow, and writes it.

    Six numbers matter; what you do not know stays open. Where nobody is at a terminal, answers may
    come one a line on standard input; without any, the commented file of --template is written. An
    existing file is never overwritten.
    """
    from vireton.setup import check_new, template_text
    from vireton.units.problems import InputProblem

    if file is None:
        if not template:
            raise InputProblem("FILE is missing: where to write it, such as my_bow.toml")
        typer.echo(template_text(), nl=False)
        return
    check_new(file)
    _take_any_bytes()
    if template:
        _write_template(file)
    elif _at_terminal():
        _ask_at_terminal(file)
    elif lines := _piped():
        _take(file, lines)
    else:
        _write_template(file)


def _take_any_bytes() -> None:
    """Let an answer in another encoding be refused like any other, with nothing of the rest lost.

    Else it would be a traceback at a terminal, and would pass for no answers at all in a pipe.
    """
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(errors="surrogateescape")


def _at_terminal() -> bool:
    """Whether somebody reads the questions and types the answers."""
    return sys.stdin is not None and sys.stdin.isatty() and sys.stdout.isatty()


def _piped() -> list[str]:
    """The lines of standard input where that is no terminal; none where it is closed."""
    if sys.stdin is None or sys.stdin.isatty():
        return []
    try:
        # a pipe of Windows may begin with a mark of its encoding
        return sys.stdin.read().removeprefix("\ufeff").splitlines()
    except (OSError, ValueError):  # closed, or nothing to read from
        return []


def _write_template(file: Path) -> None:
    from vireton.setup import write_template
    from vireton.units.problems import named
    from vireton_cli.terminal import as_argument

    write_template(file)
    typer.echo(f"wrote {named(file)}: an invented bow and arrow. Put in your own numbers, then run")
    typer.echo(f"  vireton rest {as_argument(file)} --up 1/32in")


def _ask_at_terminal(file: Path) -> None:
    from vireton.setup.intake import QUESTIONS

    typer.echo(
        "Type what you know. Enter takes what is in [ ]; the numbers there are an invented bow's.\n"
        f"{_UNKNOWN} don't know   {_HELP} help   {_BACK} back one question   Ctrl-C stop, nothing "
        "written\n"
    )
    with contextlib.suppress(ImportError):
        import readline  # noqa: F401 (arrow keys move in the line; Windows has its own)
    answers: dict[str, str] = {}
    try:
        place = 0
        while place < len(QUESTIONS):
            place += _ask(QUESTIONS[place], answers, f"{place + 1} of {len(QUESTIONS)}", place == 0)
        _finish(file, answers)
    except EOFError:
        _keep(answers)
        raise KeyboardInterrupt from None
    except BaseException:
        _keep(answers)
        raise


def _ask(question: "Question", answers: dict[str, str], number: str, is_first: bool) -> int:
    """Ask until there is an answer; 1 to go on, -1 to go back."""
    usual = answers.get(question.key, question.usual)
    shown = usual or "Enter leaves it open"
    example = "" if shown == question.like else f", such as {question.like}"
    while True:
        typed = input(f"{number}  {question.ask}{example} [{shown}]: ").strip()
        if typed == _HELP:
            typer.echo(f"  {question.help}")
        elif typed == _BACK and is_first:
            typer.echo("  This is the first question.")
        elif typed == _BACK:
            return -1
        else:
            problem = _answer(question, typed or usual or _UNKNOWN, answers)
            if not problem:
                return 1
            typer.echo(f"  {problem.rstrip('.')}. Once more:")


def _answer(question: "Question", typed: str, answers: dict[str, str]) -> str:
    """Put an answer to the others; what is wrong with it, empty where nothing is."""
    from vireton.setup.intake import QUESTIONS, taken
    from vireton.units.problems import InputProblem

    # whoever went back is asked the later ones once more, and they are looked at then
    before = [one.key for one in QUESTIONS[: QUESTIONS.index(question)]]
    others = {key: answers[key] for key in before if key in answers}
    if typed == _UNKNOWN:
        if question.needed:
            return f"Nothing runs without it. Allowed: {question.allowed}, such as {question.like}."
        answers.pop(question.key, None)
        return ""
    try:
        answers[question.key] = taken(question.key, typed, others)
    except InputProblem as error:
        return str(error)
    return ""


def _take(file: Path, lines: list[str]) -> None:
    """Answers one a line: an empty one takes what is usual, lines that are not there are open."""
    from vireton.setup.intake import QUESTIONS
    from vireton.units.problems import InputProblem

    answers: dict[str, str] = {}
    if len(lines) > len(QUESTIONS):
        raise InputProblem(
            f"there are {len(lines)} answers to {len(QUESTIONS)} questions; nothing was written"
        )
    for number, (question, typed) in enumerate(_paired(lines), start=1):
        problem = _answer(question, typed, answers)
        if problem:
            raise InputProblem(
                f"line {number}, {question.ask}: {problem.rstrip('.')}; nothing was written"
            )
    _finish(file, answers)


def _paired(lines: list[str]) -> "Iterator[tuple[Question, str]]":
    from vireton.setup.intake import QUESTIONS

    for place, question in enumerate(QUESTIONS):
        if place < len(lines):
            yield question, lines[place].strip() or question.usual or _UNKNOWN
        else:
            yield question, _UNKNOWN


def _finish(file: Path, answers: dict[str, str]) -> None:
    from vireton.setup import write_new
    from vireton.setup.intake import left_open, setup_text
    from vireton.units.problems import named
    from vireton_cli.terminal import as_argument

    text = setup_text(answers)
    opened = left_open(text)
    write_new(file, text)
    answers.clear()  # they are on the disk: nothing is lost any more
    typer.echo(f"\n{text}")
    if opened:
        typer.echo(
            f"Left open; usual values stand in, so answers are less sure: {', '.join(opened)}."
        )
    typer.echo(f"wrote {named(file)}. Next:")
    typer.echo(f"  vireton rest {as_argument(file)} --up 1/32in")


def _keep(answers: dict[str, str]) -> None:
    """Show what was typed and is not written, as the file that it would be."""
    from vireton.setup.intake import setup_text

    if answers:
        said = "nothing was written. What you answered, to keep as a file:"
        print(f"\nvireton: {said}\n{setup_text(answers)}", file=sys.stderr)
    else:
        print("\nvireton: nothing was written", file=sys.stderr)
