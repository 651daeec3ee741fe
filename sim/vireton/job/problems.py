"""What is wrong with the tables of a log, in words and with the line to look at."""

import difflib
from collections.abc import Iterator
from typing import Any

from pydantic_core import ErrorDetails

from vireton.files.places import KeyPath, line_of
from vireton.files.problems import Problem
from vireton.job.format import TABLES
from vireton.tuning.observations import OBSERVATION_KINDS
from vireton.units.kind import Kind, shown
from vireton.units.problems import printable


def _number(table: object, key: str) -> int | None:
    value = table.get(key) if isinstance(table, dict) else None
    return value if isinstance(value, int) and not isinstance(value, bool) else None


def _round_tables(data: dict[str, Any]) -> list[Any]:
    rounds = data.get("round")
    return rounds if isinstance(rounds, list) else []


def number_rounds(data: dict[str, Any]) -> list[int]:
    """The number of each round of a parsed file: the given one, or one more than the last."""
    numbers: list[int] = []
    highest = 0
    for table in _round_tables(data):
        given = _number(table, "number")
        numbers.append(highest + 1 if given is None else given)
        highest = max(highest, numbers[-1])
    return numbers


def order_problems(data: dict[str, Any]) -> Iterator[tuple[KeyPath, str, str]]:
    """Path, key as shown, and text of rounds whose numbers do not fit together.

    Looks at the parsed file itself, so that it finds what it can where single keys are wrong.
    """
    highest = 0
    undone: dict[int, int] = {}
    seen: dict[int, dict[str, Any]] = {}
    for place, (table, number) in enumerate(
        zip(_round_tables(data), number_rounds(data), strict=True), start=1
    ):
        path, key = ("round", str(place)), f"round {number}"
        if number <= highest:
            yield (
                (*path, "number"),
                f"{key}, number",
                f"does not come after round {highest}: numbers rise; leave it out to have it "
                "counted",
            )
        highest = max(highest, number)
        for what in _REFERS:
            about = _number(table, what)
            if about is not None:
                for text in _reference_problems(what, about, table, seen, undone):
                    yield (*path, what), f"{key}, {what}", text
                if what == "undoes":
                    undone.setdefault(about, number)
        seen[number] = table if isinstance(table, dict) else {}


#: Keys that name an earlier round, and what they do to it.
_REFERS = {
    "undoes": "takes one back",
    "corrects": "corrects one",
    "puts_back": "puts one back",
}


def _reference_problems(
    what: str,
    about: int,
    table: dict[str, Any],
    seen: dict[int, dict[str, Any]],
    undone: dict[int, int],
) -> Iterator[str]:
    if about not in seen:
        yield f"there is no round {about} before this one"
        return
    does = next((says for key, says in _REFERS.items() if key in seen[about]), None)
    if does is not None and what != "puts_back" and "puts_back" not in seen[about]:
        yield (
            f"round {about} {does} itself and cannot be taken back: record in a new round "
            "what holds now"
        )
    elif about in undone:
        yield f"round {about} has been taken back by round {undone[about]} already"
    if what == "undoes" and any(table.get(kind.key) for kind in OBSERVATION_KINDS):
        yield "a round that takes one back holds no shots: write them in a round of their own"


def table_problem(detail: ErrorDetails, data: dict[str, Any], lines: dict[KeyPath, int]) -> Problem:
    """One of pydantic's errors in words."""
    loc = detail["loc"]
    names = tuple(str(part) for part in loc if not isinstance(part, int))
    match detail["type"]:
        case "missing":
            text = _missing(names)
        case "extra_forbidden":
            text = _unknown(names)
        case "value_error":
            text = str(detail["ctx"]["error"])
        case _:  # only tables and their lists are left to pydantic itself
            text = (
                f"{shown(detail['input'])} where tables are needed: write "
                f"[[{'.'.join(names)}]] on a line of its own and the keys below"
            )
    # the tables of a list are counted from 1, as people do
    path = tuple(str(part + 1) if isinstance(part, int) else part for part in loc)
    return Problem(_said(loc, data), text, line_of(lines, path))


def _said(loc: tuple[int | str, ...], data: dict[str, Any]) -> str:
    """``"round 3, tear 1, right"``: rounds by their number, entries of a round as counted."""
    numbers = number_rounds(data)
    parts: list[str] = []
    for part in loc:
        if not isinstance(part, int):
            parts.append(printable(part, 40))
        elif len(parts) == 1 and parts[0] == "round":
            parts[0] = f"round {numbers[part] if part < len(numbers) else part + 1}"
        else:
            parts[-1] = f"{parts[-1]} {part + 1}"
    return ", ".join(parts)


def _keys_of(table: tuple[str, ...]) -> list[str]:
    model = TABLES.get(table)
    fields = model.model_fields if model else {}
    return [field.alias or name for name, field in fields.items()]


def _missing(names: tuple[str, ...]) -> str:
    model, key = TABLES[names[:-1]], names[-1]
    for name, field in model.model_fields.items():
        if (field.alias or name) == key:
            kind = next(one for one in field.metadata if isinstance(one, Kind))
            return f"is missing; write it like {key} = {kind.example} ({field.description})"
    raise KeyError(key)


def _unknown(names: tuple[str, ...]) -> str:
    here, key = _keys_of(names[:-1]), names[-1]
    near = difflib.get_close_matches(key, here, n=1, cutoff=0.6)
    if near:
        return f'unknown key; did you mean "{near[0]}"?'
    elsewhere = [table for table in TABLES if key in _keys_of(table)]
    if elsewhere:
        places = (f"[[{'.'.join(table)}]]" if table else "the top" for table in elsewhere)
        return f"unknown key here; it belongs under {' or '.join(places)}"
    return f"unknown key; known here: {', '.join(here)}"
