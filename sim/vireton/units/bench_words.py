"""Places as people say them at the bench: ``"left 1/16 in, high 1/8 in"``, ``"0.2, 0.1 in"``.

Every function raises InputProblem with what was said, what is right, and ``where`` in front: an
option or a key. Lengths are m, right and up positive.
"""

import re

from vireton.units.problems import InputProblem
from vireton.units.quantities import LIKE_MOVE, is_bare, readings
from vireton.units.text import as_typed, of_an_inch, parse, unit_at_end

Pair = tuple[float, float]

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
AXIS_NAMES = ("right or left", "up or down")
_SIDE = rf"(?P<tail>(?:tail|nock)(?:\s+|\s*-\s*))?(?P<side>{'|'.join(_SIDES)})"
_SIDE_FIRST = re.compile(rf"{_SIDE}(?![a-z])[\s:]*(?P<size>.*)", re.I | re.S)
_SIDE_LAST = re.compile(rf"(?P<size>.*?)\s*(?<![a-z]){_SIDE}", re.I | re.S)
_ANY_SIDE = re.compile(rf"\b(?:{'|'.join(_SIDES)})\b", re.I)
_MINUS = ("-", "−")
#: Between two sides that are named first, as in ``left 1/16 high 1/8``.
_NEXT_SIDE = re.compile(
    r"(?<=[0-9a-z½¼¾⅓⅔⅛⅜⅝⅞\"″”'’])(?<!tail)(?<!nock)(?<!\band)\s+"
    rf"(?=(?:(?:tail|nock)[\s-]+)?(?:{'|'.join(_SIDES)})\b)",
    re.I,
)


def problem(where: str, text: str) -> InputProblem:
    """The error of what was said ``where``."""
    return InputProblem(f"{where}: {text}" if where else text)


def names_side(text: str) -> bool:
    """Whether it says right, left, up or down."""
    return _ANY_SIDE.search(text) is not None


def parse_sides(
    text: str, where: str, example: str, *, tail: bool = False, clicks: bool = False
) -> tuple[float | None, float | None]:
    """Right and up of ``"left 1/16 in, high 1/8 in"``, None for an axis that is not named.

    ``"left 1/16 high 1/8"`` says the same: a fraction without a unit is one of an inch.

    ``example`` ends every message; with ``tail`` a side may be the tail's. ``clicks``: whether a
    number without a unit may have been meant for clicks.
    """
    found: list[float | None] = [None, None]
    if _SIDE_FIRST.match(text.strip()):
        text = _NEXT_SIDE.sub(", ", text)
    for piece in re.split(r",|\band\b", text):
        axis, value = parse_side(piece.strip(), where, example, tail=tail, clicks=clicks)
        if found[axis] is not None:
            raise problem(where, f"{as_typed(text)} says {AXIS_NAMES[axis]} twice; {example}")
        found[axis] = value
    return found[0], found[1]


def parse_side(
    piece: str, where: str, example: str, *, tail: bool = False, clicks: bool = False
) -> tuple[int, float]:
    """Axis (0 right, 1 up) and value of ``"left 1/16 in"``, see :func:`parse_sides`."""
    match = _SIDE_FIRST.fullmatch(piece) or _SIDE_LAST.fullmatch(piece)
    if match is None:
        said = f"{as_typed(piece)} names no side" if piece else f"{as_typed(piece)} is empty"
        raise problem(where, f"{said}: right, left, up or down as the archer sees it; {example}")
    if match["tail"] and not tail:
        raise problem(where, f"{as_typed(piece)}: only a tear has a tail; {example}")
    size = match["size"].strip()
    if not size:
        raise problem(where, f"{as_typed(piece)} says no size; {example}")
    if size.startswith(_MINUS):
        raise problem(
            where, f"{as_typed(piece)} has a side and a minus sign; name the side only; {example}"
        )
    axis, sign = _SIDES[match["side"].lower()]
    size = of_an_inch(size, LIKE_MOVE)
    if is_bare(size):
        said = readings(size, "length", "-2 in", "2 in", LIKE_MOVE, clicks=clicks)
        raise problem(where, f"{as_typed(piece)} has no unit; write {said}")
    return axis, sign * parse(size, "length", where=where, like=LIKE_MOVE) + 0.0


def parse_pair(text: str, where: str = "", unit: str = "") -> Pair:
    """Right and up of ``"0.2 in, -0.1 in"``; without a unit of its own each is in the other's.

    ``unit`` is for both where neither names one.
    """
    pieces = [piece.strip() for piece in text.split(",")]
    if len(pieces) != 2 or not all(pieces):
        raise problem(
            where, f'{as_typed(text)} is not right and up; write it like "0.2 in, -0.1 in"'
        )
    named = [found for piece in pieces if (found := unit_at_end(piece))]
    unit = named[0] if named else unit
    right, up = (parse_length(piece, unit, where) for piece in pieces)
    return right, up


def parse_length(text: str, unit: str, where: str) -> float:
    """A length in m; a number without a unit is in ``unit``."""
    typed = text if unit_at_end(text) or not unit else f"{text} {unit}"
    return parse(typed, "length", where=where, like="0.2 in")
