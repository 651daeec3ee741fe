"""Quantities as people type them: one within its range, lists, sweeps, wind."""

import math
import re

from vireton.problems import InputProblem
from vireton.units import as_typed, parse

#: Shooting distances, and rest moves either way, that are taken for what they are.
NEAREST, FARTHEST = "1 m", "2000 m"
LARGEST_MOVE = "1/2 in"

_LARGEST_LIST = 200
_UNIT_AT_END = re.compile(r"([A-Za-z°/]+)\s*$")
_WIND = re.compile(
    r"^(?P<speed>.+?)\s+from\s+(?P<clock>[0-9]+(?:\.[0-9]+)?)\s*(?:o'?\s*clock)?\s*$", re.IGNORECASE
)


def quantity(text: str, dimension: str, option: str, low: str, high: str) -> float:
    """One quantity within [low, high], both written with their unit; SI.

    ``option`` is how the caller spells what this is for; errors begin with it.
    """
    value = parse(text, dimension, where=option)
    if not parse(low, dimension) <= value <= parse(high, dimension):
        raise InputProblem(f"{option}: {as_typed(text)} is outside {low} to {high}")
    return value


def lengths(text: str, option: str, low: str, high: str) -> list[float]:
    """Lengths in m, see :func:`quantities`."""
    return quantities(text, "length", option, low, high)


def quantities(text: str, dimension: str, option: str, low: str, high: str) -> list[float]:
    """SI values from ``"10,20,30 yd"``, ``"10:60:5 yd"`` (both ends included), or a mix.

    An entry without a unit takes the one at the end of the text.
    """
    found = _UNIT_AT_END.search(text)
    unit = found.group(1) if found else ""
    values: list[float] = []
    for piece in text.split(","):
        ends = [_with_unit(part, unit) for part in piece.split(":")]
        read = [quantity(part, dimension, option, low, high) for part in ends[:2]]
        # the step is no value of the list, so the range is not for it
        read += [parse(part, dimension, where=option) for part in ends[2:]]
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
    return part if _UNIT_AT_END.search(part) else f"{part.strip()} {unit}"


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
    speed = quantity(match["speed"], "speed", option, "0 m/s", "60 m/s")
    clock = float(match["clock"])
    if not 0.0 <= clock <= 12.0:
        raise InputProblem(
            f"{option}: {as_typed(match['clock'])} is no clock direction; it goes from 0 to 12"
        )
    return speed, clock
