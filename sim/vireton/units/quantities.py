"""Quantities as people type them: one within its range, lists, sweeps, wind."""

import math
import re
from collections.abc import Callable

from vireton.units.factors import ALSO_IN, EXAMPLES
from vireton.units.problems import InputProblem
from vireton.units.text import (
    UnitError,
    as_fraction_inches,
    as_typed,
    of_an_inch,
    parse,
    split,
    unit_at_end,
)

#: Shooting distances, and rest moves either way, that are taken for what they are.
NEAREST, FARTHEST = "1 m", "2000 m"
LARGEST_MOVE = "1/2 in"
#: Right spellings of them, and of a static spine.
LIKE_DISTANCE, LIKE_MOVE, LIKE_SPINE = "20 yd", "1/32 in", "0.340 in"

#: Less is read off no ruler in millimeters (our choice).
_FINEST_MM = 0.5

_LARGEST_LIST = 200
_WIND = re.compile(
    r"^(?P<speed>.+?)\s+from\s+(?P<clock>[0-9]+(?:\.[0-9]+)?)\s*(?:o'?\s*clock)?\s*$", re.IGNORECASE
)


def readings(
    number: str, dimension: str, low: str, high: str, like: str, *, clicks: bool = False
) -> str:
    """All that a number without a unit may have been meant for, quoted; ``like`` where nothing is.

    The number with the unit of ``like`` and with those that are used beside it, where that lies
    within [low, high]; of a whole number of small lengths so many 32nds as well, and clicks.
    """
    _, unit = split(like)
    guesses = [f"{number} {unit}"]
    if unit == "%" and re.fullmatch(r"0?\.[0-9]+|1(\.0*)?", number):
        guesses = [f"{100.0 * float(number):g} %"]
    whole = re.fullmatch(r"[+-]?[0-9]{1,2}", number) is not None
    if like == LIKE_MOVE and whole:
        guesses.append(as_fraction_inches(float(number) * parse("1/32 in", "length")))
    fitting = [one for one in guesses if _fits(one, dimension, low, high)]
    if fitting and (unit != "in" or abs(split(number)[0]) >= _FINEST_MM):
        also = (f"{number} {one}" for one in ALSO_IN.get(unit, ()))
        fitting += [one for one in also if _fits(one, dimension, low, high)]
    if fitting and clicks and whole:
        fitting.append(f"{number} click{'' if number.lstrip('+-') == '1' else 's'}")
    *others, last = (f'"{one}"' for one in fitting or [like])
    return f"{', '.join(others)} or {last}" if others else last


def _fits(text: str, dimension: str, low: str, high: str) -> bool:
    try:
        return parse(low, dimension) <= parse(text, dimension) <= parse(high, dimension)
    except UnitError:
        return False


def is_bare(text: str) -> bool:
    """Whether the text is a number and nothing else."""
    try:
        return not split(text)[1]
    except UnitError:
        return False


def quantity(
    text: str, dimension: str, option: str, low: str, high: str, *, like: str = ""
) -> float:
    """One quantity within [low, high], both written with their unit; SI.

    ``option`` is how the caller spells what this is for; errors begin with it. ``like`` is a right
    spelling for errors to show, instead of the dimension's usual one.
    """
    like = like or _example(dimension, low, high)
    text = of_an_inch(text.strip(), like)
    if is_bare(text):
        said = readings(text, dimension, low, high, like, clicks=like == LIKE_MOVE)
        raise UnitError(f"{option}: {as_typed(text)} has no unit; write it like {said}")
    value = parse(text, dimension, where=option, like=like)
    if not parse(low, dimension) <= value <= parse(high, dimension):
        raise InputProblem(f"{option}: {as_typed(text)} is outside {low} to {high}")
    return value


def _example(dimension: str, low: str, high: str) -> str:
    usual = EXAMPLES[dimension]
    return usual if _fits(usual, dimension, low, high) else high


def lengths(text: str, option: str, low: str, high: str, *, like: str = "") -> list[float]:
    """Lengths in m, see :func:`quantities`."""
    return quantities(text, "length", option, low, high, like=like)


def quantities(
    text: str,
    dimension: str,
    option: str,
    low: str,
    high: str,
    *,
    like: str = "",
    completed: Callable[[str], str] = str,
) -> list[float]:
    """SI values from ``"10,20,30 yd"``, ``"10:60:5 yd"`` (both ends included), or a mix.

    An entry without a unit takes the one at the end of the text. ``like``: see :func:`quantity`.
    ``completed`` puts in the unit that an entry may go without; a step is then in what its first
    value is in.
    """
    unit = unit_at_end(text)
    values: list[float] = []
    for piece in text.split(","):
        ends = [_with_unit(part, unit) for part in piece.split(":")]
        whole = [completed(part) for part in ends[:2]]
        read = [quantity(part, dimension, option, low, high, like=like) for part in whole]
        # the step is no value of the list, so the range is not for it
        for part in ends[2:]:
            if is_bare(part) and whole[0] != ends[0]:
                read.append(split(part)[0] * read[0] / split(ends[0])[0])
            else:
                read.append(parse(part, dimension, where=option, like=like))
        if len(read) == 1:
            values.append(read[0])
        elif len(read) == 3:
            values.extend(_sweep(read[0], read[1], read[2], piece, option))
        else:
            raise InputProblem(
                f"{option}: {as_typed(piece.strip())} is no list; write '20 yd', '20,40 yd' "
                "or a sweep first:last:step such as '10:60:5 yd'"
            )
        if len(values) > _LARGEST_LIST:
            raise InputProblem(f"{option}: more than {_LARGEST_LIST} values in {as_typed(text)}")
    return values


def _with_unit(part: str, unit: str) -> str:
    return part if unit_at_end(part) else f"{part.strip()} {unit}".strip()


def _sweep(first: float, last: float, step: float, piece: str, option: str) -> list[float]:
    if step == 0.0 or (last - first) / step < 0.0:
        raise InputProblem(
            f"{option}: the sweep {as_typed(piece.strip())} never gets from its first value to its "
            "last; write first:last:step, the step above 0 for a rising sweep"
        )
    steps = (last - first) / step
    if steps > _LARGEST_LIST:
        raise InputProblem(
            f"{option}: more than {_LARGEST_LIST} values in {as_typed(piece.strip())}"
        )
    return [first + i * step for i in range(math.floor(steps + 1e-6) + 1)]


def wind(text: str, option: str = "--wind") -> tuple[float, float]:
    """Wind speed m/s and the clock direction that it comes out of, from ``"10 mph from 3"``."""
    match = _WIND.match(text)
    if match is None:
        raise InputProblem(
            f"{option}: {as_typed(text)} is not understood; write the speed and the clock "
            "direction it comes out of, e.g. '10 mph from 3' (12 in the face, 3 from the right)"
        )
    speed = quantity(match["speed"], "speed", option, "0 m/s", "60 m/s", like="10 mph")
    clock = float(match["clock"])
    if not 0.0 <= clock <= 12.0:
        raise InputProblem(
            f"{option}: {as_typed(match['clock'])} is no clock direction; it goes from 0 to 12"
        )
    return speed, clock
