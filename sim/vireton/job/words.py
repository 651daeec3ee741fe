"""What people say at the bench, in SI: ``"left 1/16 in, high 1/8 in"``, ``"0.2,0.1 -0.3,0.4"``.

Every function raises InputProblem with what was said, what is right, and ``where`` in front: an
option or a key. Lengths are m, right and up positive.
"""

import re

from vireton.tuning.observations import ArrowKind, WalkbackPoint
from vireton.units.problems import InputProblem
from vireton.units.text import as_typed, parse

Pair = tuple[float, float]

_MOST_SHOTS = 200

#: Axis (0 right, 1 up) and sign of each word.
_SIDES = {
    "right": (0, 1.0),
    "left": (0, -1.0),
    "up": (1, 1.0),
    "down": (1, -1.0),
    "high": (1, 1.0),
    "low": (1, -1.0),
    "above": (1, 1.0),
    "below": (1, -1.0),
}
_AXES = ("right or left", "up or down")
_SIDE = rf"(?P<tail>(?:tail|nock)(?:\s+|\s*-\s*))?(?P<side>{'|'.join(_SIDES)})"
_SIDE_FIRST = re.compile(rf"{_SIDE}(?![a-z])[\s:]*(?P<size>.*)", re.I | re.S)
_SIDE_LAST = re.compile(rf"(?P<size>.*?)\s*(?<![a-z]){_SIDE}", re.I | re.S)
_CLEAN = ("clean", "clean hole", "bullet hole")
_MINUS = ("-", "−")
_UNIT_AT_END = re.compile(r"(?<=[0-9.\s½¼¾⅓⅔⅛⅜⅝⅞])[A-Za-zµ]+$")


def _problem(where: str, text: str) -> InputProblem:
    return InputProblem(f"{where}: {text}" if where else text)


def parse_arrow(text: str, where: str = "") -> ArrowKind:
    """``bare`` or ``fletched``, in any case."""
    match text.strip().lower():
        case "bare":
            return "bare"
        case "fletched":
            return "fletched"
    raise _problem(where, f'{as_typed(text)} is no arrow of a log; write "bare" or "fletched"')


def _sides(text: str, where: str, example: str, *, tail: bool) -> list[float | None]:
    """Right and up of comma-separated pieces, None for an axis that is not named."""
    found: list[float | None] = [None, None]
    for piece in re.split(r",|\band\b", text):
        axis, value = _side(piece.strip(), where, example, tail=tail)
        if found[axis] is not None:
            raise _problem(where, f"{as_typed(text)} says {_AXES[axis]} twice; {example}")
        found[axis] = value
    return found


def _side(piece: str, where: str, example: str, *, tail: bool) -> tuple[int, float]:
    match = _SIDE_FIRST.fullmatch(piece) or _SIDE_LAST.fullmatch(piece)
    if match is None:
        said = f"{as_typed(piece)} names no side" if piece else f"{as_typed(piece)} is empty"
        raise _problem(where, f"{said}: right, left, up or down as the archer sees it; {example}")
    if match["tail"] and not tail:
        raise _problem(where, f"{as_typed(piece)}: only a tear has a tail; {example}")
    size = match["size"].strip()
    if not size:
        raise _problem(where, f"{as_typed(piece)} says no size; {example}")
    if size.startswith(_MINUS):
        raise _problem(
            where, f"{as_typed(piece)} has a side and a minus sign; name the side only; {example}"
        )
    axis, sign = _SIDES[match["side"].lower()]
    return axis, sign * parse(size, "length", where=where, like="1/32 in") + 0.0


def parse_rest(text: str, where: str = "") -> tuple[float | None, float | None]:
    """Right and up of ``"right 1/32 in, up 1/16 in"``; None for an axis that is not named.

    ``in`` and ``out`` are refused: they depend on the hand.
    """
    right, up = _sides(text, where, 'write it like "right 1/32 in, up 1/16 in"', tail=False)
    return right, up


def parse_tear(text: str, where: str = "") -> Pair:
    """The tail hole seen from the point hole: ``"left 1/16 in, high 1/8 in"``, ``"clean"``.

    ``tail-left`` is ``left``. An axis that is not named has no tear.
    """
    if text.strip().lower() in _CLEAN:
        return 0.0, 0.0
    example = 'say where the tail hole is, like "left 1/16 in, high 1/8 in" or "clean"'
    right, up = _sides(text, where, example, tail=True)
    return right or 0.0, up or 0.0


def parse_center(text: str, where: str = "", unit: str = "") -> Pair:
    """The middle of a group: ``"right 1 in, low 2 in"`` or ``"1 in, -2 in"``, both axes named."""
    if not any(re.search(rf"\b{side}\b", text, re.I) for side in _SIDES):
        return parse_pair(text, where, unit)
    right, up = _sides(text, where, 'write it like "right 1 in, low 2 in"', tail=False)
    if right is None or up is None:
        silent = _AXES[0] if right is None else _AXES[1]
        zero = "right 0 in" if right is None else "up 0 in"
        raise _problem(
            where, f'{as_typed(text)} does not say {silent}; add "{zero}" if that is where it is'
        )
    return right, up


def parse_pair(text: str, where: str = "", unit: str = "") -> Pair:
    """Right and up of ``"0.2 in, -0.1 in"``; without a unit of its own each is in the other's.

    ``unit`` is for both where neither names one.
    """
    pieces = [piece.strip() for piece in text.split(",")]
    if len(pieces) != 2 or not all(pieces):
        raise _problem(
            where, f'{as_typed(text)} is not right and up; write it like "0.2 in, -0.1 in"'
        )
    named = [match[0] for piece in pieces if (match := _UNIT_AT_END.search(piece))]
    unit = named[0] if named else unit
    right, up = (_length(piece, unit, where) for piece in pieces)
    return right, up


def _length(text: str, unit: str, where: str) -> float:
    typed = text if _UNIT_AT_END.search(text) or not unit else f"{text} {unit}"
    return parse(typed, "length", where=where, like="0.2 in")


def parse_shots(text: str, where: str = "", unit: str = "in") -> tuple[Pair, ...]:
    """Right and up of every shot of ``"0.2,0.1 -0.3,0.4 cm"``, shots apart by blanks or ``;``.

    A number without a unit takes the one that the text names, or ``unit`` where it names none. A
    text with two units must give every number its own.
    """
    # blanks belong to shots only: take them out around commas and before units
    tight = re.sub(r"\s*,\s*", ",", text.strip())
    tight = re.sub(r"(?<=[0-9.])\s+(?=[A-Za-zµ])", "", tight)
    shots = [shot for shot in re.split(r"\s*;\s*|\s+", tight) if shot]
    if not 1 <= len(shots) <= _MOST_SHOTS:
        raise _problem(where, f"{len(shots)} shots; a group has 1 to {_MOST_SHOTS}")
    numbers = [number for shot in shots for number in shot.split(",")]
    named = [match[0] if (match := _UNIT_AT_END.search(n)) else "" for n in numbers]
    units = set(named) - {""}
    if len(units) > 1 and "" in named:
        raise _problem(
            where,
            f"{as_typed(text)} mixes {' and '.join(sorted(units))}; give every number its unit",
        )
    common = units.pop() if len(units) == 1 else unit
    found = []
    for index, shot in enumerate(shots, start=1):
        if shot.count(",") != 1:
            raise _problem(
                where,
                f"shot {index}, {as_typed(shot)}, is not right,up; write shots like "
                '"0.2,0.1 -0.3,0.4 in", a mixed number like 1-1/2',
            )
        found.append(parse_pair(shot, where, common))
    return tuple(found)


_POINT = re.compile(r"(?P<at>[0-9./ -]*[0-9.]\s*[A-Za-z]+)[\s:]+(?P<right>\S.*)", re.S)


def parse_walkback(text: str, where: str = "", unit: str = "in") -> tuple[WalkbackPoint, ...]:
    """Points of ``"20yd 0.1in, 40yd -0.4in"``; ``"40yd left 0.4in"`` says the same.

    A size without a unit is in ``unit``; a distance must have its own.
    """
    points = []
    for piece in text.split(","):
        match = _POINT.fullmatch(piece.strip())
        if match is None:
            raise _problem(
                where,
                f"{as_typed(piece.strip())} is not a distance and a size; write it like "
                '"20yd 0.1in, 40yd -0.4in" or "20yd right 0.1in, 40yd left 0.4in"',
            )
        at = parse(match["at"], "length", where=where, like="20 yd")
        points.append(WalkbackPoint(at, _sideways(match["right"], where, unit)))
    return tuple(points)


def _sideways(text: str, where: str, unit: str) -> float:
    if not any(re.search(rf"\b{side}\b", text, re.I) for side in _SIDES):
        return _length(text.strip(), unit, where)
    axis, value = _side(text.strip(), where, 'write it like "left 0.4 in"', tail=False)
    if axis != 0:
        raise _problem(where, f"{as_typed(text)}: a walk-back point is right or left only")
    return value
