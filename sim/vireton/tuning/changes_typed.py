"""Changes as a job file holds them and as they are typed at the bench."""

import re
from typing import Annotated, Any

from pydantic import Field

from vireton.tuning.changes import CHANGE_KINDS, Change, ChangeKind, What
from vireton.units.bench_words import names_side, parse_side, problem
from vireton.units.kinds import Choice, Number, Text
from vireton.units.numbers import INCH, number
from vireton.units.quantity import Quantity
from vireton.units.spelling import spelled
from vireton.units.table import Table, may, need
from vireton.units.text import UnitError, UnitSystem, as_typed, split

_SIZE = Quantity("length", "-10 in", "10 in", "1/32 in")
_TURNS = Number(-50.0, 50.0, 0.5)
_MOST_LENGTH, _MOST_TURNS, _MOST_TYPED = 10.0 * INCH, 50.0, 300

_EXAMPLE = 'write it like "cam spacer right 1/32 in" or "draw weight 1 turn out, 58 lb"'
_PARTS = "½¼¾⅓⅔⅛⅜⅝⅞"
_TURNED = re.compile(
    r"(?:\ban? (?=half|quarter))?"
    rf"(?P<size>[-+−]?(?:\d+[ -]\d+/\d+|\d+ ?/ ?\d+|\d+ ?[{_PARTS}]|\d*\.?\d+|[{_PARTS}])"
    r"|\b(?:half|quarter|an?|one|two|three|four)\b|)"
    r"\s*(?:(?:of )?an? )?(?<![a-z])(?:turn|twist)s?(?![a-z])",
    re.I,
)
_COUNTED = {"": 1.0, "half": 0.5, "quarter": 0.25, "a": 1.0, "an": 1.0, "one": 1.0}
_COUNTED |= {"two": 2.0, "three": 3.0, "four": 4.0}
_OUT = {"out", "less", "down", "looser"}
_WAYS = _OUT | {"in", "more", "up", "tighter", "by"}
#: Pieces end at commas, and at an "and" before another number or side.
_BETWEEN = re.compile(r",|\band\b(?=\s*(?:[-+−]?[\d.½¼¾]|(?:right|left|up|down)\b))", re.I)
_PLACE = re.compile(r"(left|right|top|bottom|upper|lower)\s+(?=[a-z])", re.I)


class ChangeTable(Table):
    """``[[round.change]]``: one thing that was changed before the round was shot."""

    what: Annotated[What, Choice(tuple(CHANGE_KINDS))] = need("What was changed")
    right: Annotated[float | None, _SIZE] = may("By how much to the right, left negative")
    up: Annotated[float | None, _SIZE] = may("By how much up, down negative")
    turns: Annotated[float | None, _TURNS] = may(
        "By how many turns of the limb bolts, or twists of a cable; out is negative"
    )
    sets: dict[str, Annotated[str, Text("58 lb", 100)]] = Field(
        default_factory=dict,
        description="Numbers of the setup file that hold from here on, by their dotted keys",
    )
    note: Annotated[str | None, Text("left yoke", 200)] = may("Anything else about it")


def change_from_table(table: ChangeTable) -> Change:
    """As the file says it."""
    return Change(
        table.what,
        table.right or 0.0,
        table.up or 0.0,
        table.turns or 0.0,
        tuple(table.sets.items()),
        table.note or "",
    )


def change_table(change: Change, units: UnitSystem) -> dict[str, Any]:
    """As TOML holds it, read back exactly."""
    told: dict[str, Any] = {"what": change.what}
    for name in ("right", "up"):
        if value := getattr(change, name):
            told[name] = spelled(value, "bench", units)
    if change.turns:
        told["turns"] = change.turns
    if change.sets:
        told["sets"] = dict(change.sets)
    return told | ({"note": change.note} if change.note else {})


def change_json(change: Change) -> dict[str, Any]:
    """For JSON: inches and turns."""
    return {
        "what": change.what,
        "right_in": number(change.right / INCH),
        "up_in": number(change.up / INCH),
        "turns": number(change.turns),
        "sets": dict(change.sets),
        "note": change.note,
    }


def parse_change(text: str, where: str = "") -> Change:
    """``"cam spacer right 1/32 in"``, ``"draw weight 1 turn out, 58 lb"``, ``"new string"``.

    What was changed first; then, with commas between: a side and a size, turns, a number that holds
    from now on (``58 lb``, or ``arrow.shaft.spine=0.300 in``), or anything else as a note. Raises
    InputProblem with ``where`` in front.
    """
    typed = re.sub(r"(\d) and (\d+/\d)", r"\1 \2", " ".join(text.split()))
    if len(typed) > _MOST_TYPED:
        raise problem(where, f"{len(typed)} characters; keep it to {_MOST_TYPED}")
    if re.search(r"\d,\d", typed):
        raise problem(where, f"{as_typed(text)} has a comma in a number: decimals take a point")
    place = _PLACE.match(typed)  # "left yoke 1/2 turn"
    what, rest = _what(typed[place.end() :] if place else typed, where)
    kind = CHANGE_KINDS[what]
    amounts = {"right": 0.0, "up": 0.0, "turns": 0.0}
    sets: dict[str, str] = {}
    notes = [place[1].lower()] if place else []
    for piece in filter(None, (one.strip(" :") for one in _BETWEEN.split(rest))):
        found = _piece(piece, kind, where)
        if isinstance(found, str):
            notes.append(found)
            continue
        name, value, beside = found
        if beside:
            notes.append(beside)
        if name in sets or amounts.get(name):
            raise problem(where, f"{as_typed(text)} says {name} twice; {_EXAMPLE}")
        if isinstance(value, str):
            sets[name] = value
        else:
            amounts[name] = _allowed(name, value, kind, where)
    return Change(what, **amounts, sets=tuple(sets.items()), note=", ".join(notes))


def _what(typed: str, where: str) -> tuple[What, str]:
    names = sorted(
        ((word, what) for what, kind in CHANGE_KINDS.items() for word in (what, *kind.aliases)),
        key=lambda pair: -len(pair[0]),
    )
    low = typed.lower()
    for word, what in names:
        if low == word or low.startswith((f"{word} ", f"{word},", f"{word}:")):
            return what, typed[len(word) :]
    raise problem(
        where,
        f"{as_typed(typed)}: begin with what was changed; {_EXAMPLE}. "
        f"What: {', '.join(CHANGE_KINDS)}",
    )


def _piece(piece: str, kind: ChangeKind, where: str) -> str | tuple[str, float | str, str]:
    """A note; or name and value of an amount or of a number of the setup file, and a note."""
    key, equals, value = piece.partition("=")
    if equals:
        return _key(key.strip(), kind, where), value.strip(), ""
    turned = _turns(piece, where)
    if turned is not None:
        return "turns", *turned
    if names_side(piece) and any(one.isdigit() or one in _PARTS for one in piece):
        if not {"right", "up"} & set(kind.takes):
            sideways = re.search(r"\b(?:right|left)\b", piece, re.I)
            raise problem(where, _not_taken("right" if sideways else "up", kind))
        axis, size = parse_side(piece, where, _EXAMPLE)
        return ("right", "up")[axis], size, ""
    if piece[0].isdigit() or piece[0] in f".{_PARTS}":
        if not kind.number:
            raise problem(
                where, f"{as_typed(piece)}: say of what, like bow.arrow_speed={piece}; {_EXAMPLE}"
            )
        return kind.number, piece, ""
    if piece.lower() in {"off", "none"} and kind.number:
        return kind.number.rpartition(".")[0], "none", ""
    return piece


def _allowed(name: str, value: float, kind: ChangeKind, where: str) -> float:
    if value and name not in kind.takes:
        raise problem(where, _not_taken(name, kind))
    if name == "turns" and abs(value) > _MOST_TURNS:
        raise problem(where, f"{abs(value):g} turns; at most {_MOST_TURNS:g}")
    if name != "turns" and abs(value) > _MOST_LENGTH:
        raise problem(where, f"{abs(value) / INCH:.4g} in; at most {_MOST_LENGTH / INCH:g} in")
    return value


def _turns(piece: str, where: str) -> tuple[float, str] | None:
    """Turns of ``"1 turn out"``, ``"-1/2 twist"``, and what else it says; None where of none."""
    match = _TURNED.search(piece)
    if match is None:
        return None
    size = match["size"].lower()
    try:
        value = _COUNTED[size] if size in _COUNTED else split(size)[0]
    except UnitError as wrong:
        raise problem(where, f"{as_typed(piece)}: {wrong}; {_EXAMPLE}") from None
    said = f"{piece[: match.start()]} {piece[match.end() :]}".split()
    is_out = any(one.lower() in _OUT for one in said)
    beside = " ".join(one for one in said if one.lower() not in _WAYS)
    return (-abs(value) if is_out else value), beside


def _key(key: str, kind: ChangeKind, where: str) -> str:
    inside = any(key == one or key.startswith(f"{one}.") for one in kind.sets)
    if inside:
        return key
    if kind.number.endswith(f".{key}"):  # of a point "mass" is its own, not the whole arrow's
        return kind.number
    near = [one for one in kind.sets if one.endswith(f".{key}")]
    if len(near) == 1:
        return near[0]
    allowed = ", ".join(kind.sets) or "none"
    raise problem(where, f"{as_typed(key)} is nothing that this change sets: {allowed}; {_EXAMPLE}")


def _not_taken(name: str, kind: ChangeKind) -> str:
    said = {"right": "no way right or left", "up": "no way up or down", "turns": "no turns"}[name]
    may_be = " or ".join(
        {"right": "right or left", "up": "up or down", "turns": "turns"}[one] for one in kind.takes
    )
    now = f"; say what it is now; {_EXAMPLE}" if kind.number else ""
    return f"{kind.words}: takes {said}" + (f"; it takes {may_be}" if may_be else "") + now
