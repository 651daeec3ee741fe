"""The JSON reference: every key of every command, read from the columns that make the JSON."""

from collections.abc import Iterator
from dataclasses import replace
from importlib import import_module

from vireton.answers.answer import Answer
from vireton.answers.arrow import ARROW, BROADHEAD
from vireton.answers.question import Question
from vireton.answers.table import Column

#: Module, question and answer of every command that is a question, in the order of help.
QUESTIONS = (
    ("fly", "Fly", "Flights"),
    ("rest", "MoveRest", "RestMoves"),
    ("tune", "Tune", "Tuned"),
    ("walkback", "WalkBack", "Walkback"),
    ("spine", "CompareShafts", "Shafts"),
    ("compare", "CompareArrows", "Comparison"),
    ("holds", "FindHolds", "Holds"),
    ("broadhead", "AimBroadhead", "BroadheadAim"),
    ("marks", "FindMarks", "SightMarks"),
    ("scatter", "ScatterShots", "ShotGroups"),
    ("hunt", "PlanHunt", "HuntingCard"),
    ("rules", "CheckRules", "RuleChecks"),
    ("measure", "PlanMeasurements", "MeasuringPlan"),
)


def questions() -> Iterator[tuple[type[Question], type[Answer[Question]]]]:
    """Each question with its answer."""
    for module, question, answer in QUESTIONS:
        found = import_module(f"vireton.answers.{module}")
        yield getattr(found, question), getattr(found, answer)


def reference() -> str:
    """The whole page."""
    lines = [
        "# What `--json` holds",
        "",
        "Read from the columns that make it. Every answer has `schema` (1), `warnings` (what can "
        "hurt someone) and `notes` (what parts and numbers disagree about). Units stand in the "
        "keys; right and up are positive. A number that is not known is `null`. `…_range` is the "
        "band over bows like yours, 5th to 95th percentile; `…_interval_95` what the shots leave "
        "open.",
        "",
        *_section("`arrow`, wherever an answer has it", ARROW),
        *_section("`broadhead`: the arrow with it", BROADHEAD),
    ]
    for question, answer in questions():
        lines += [f"## `vireton {question.command} --json`", ""]
        lines += _table(answer.head)
        if answer.columns:
            place = answer.rows_key or "the rows"
            lines += [f"`{place}`:" if answer.rows_key else "Rows:", "", *_table(answer.columns)]
        for name, columns in answer.inner.items():
            lines += [f"`{name}`:", "", *_table(columns)]
    lines += _section("`vireton record --json`", _record())
    return "\n".join(lines).rstrip() + "\n"


def _record() -> tuple[Column, ...]:
    """What is told of a recorded round, in the words of a tuning's own answer."""
    from vireton.answers.tune import Tuned

    advice = next(one for one in Tuned.head if one.key == "advice")
    return (
        Column("log", words="the job's file"),
        Column("round", words="as it was recorded; null where only a job was begun"),
        replace(advice, words=f"{advice.words}; null before any arrow"),
        Column("words", words="what was learned and what to do next, a list of sentences"),
    )


def _section(title: str, columns: tuple[Column, ...]) -> list[str]:
    return [f"## {title}", "", *_table(columns)]


def _table(columns: tuple[Column, ...]) -> list[str]:
    if not columns:
        return []
    lines = ["| key | what |", "|---|---|"]
    for one in columns:
        key = ".".join(one.path)
        band = f", and `{one.path[-1]}_{one.band}`" if one.band else ""
        words = one.words or one.title.rstrip(",")
        if one.rows:
            words = f"{words}; a list" if words else "a list"
        lines.append(f"| `{key}`{band} | {words} |")
    return [*lines, ""]
