"""What may be given from Python: text with its unit, as at the command line, or numbers in SI."""

from collections.abc import Iterable, Sequence

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.units.problems import InputProblem
from vireton.units.quantities import (
    FARTHEST,
    LARGEST_MOVE,
    LIKE_DISTANCE,
    LIKE_MOVE,
    NEAREST,
    quantities,
    quantity,
    wind,
)
from vireton.units.text import parse

#: A text with its unit such as ``"1/32 in"``, or a number in SI.
Quantity = str | float
#: The same, several: ``"20,40 yd"``, a sweep ``"10:60:5 yd"``, a list of quantities, an array.
Quantities = str | float | Sequence[str | float] | FloatArray
#: ``"5 mph from 9"``, or a speed in m/s with the clock direction that it comes out of.
WindGiven = str | tuple[float, float]

_FEWEST_DRAWS, _MOST_DRAWS = 8, 10_000
_SI = {
    "length": "m",
    "mass": "kg",
    "speed": "m/s",
    "angle": "rad",
    "angular_rate": "rad/s",
    "temperature": "K",
}


def one(
    given: Quantity, dimension: str, name: str, low: str, high: str, *, like: str = ""
) -> float:
    """One quantity in SI within [low, high]; ``name`` is the argument's. Raises InputProblem.

    ``like``: a right spelling for errors to show.
    """
    if isinstance(given, str):
        return quantity(given, dimension, name, low, high, like=like)
    unit = _SI[dimension]
    try:
        value = float(given)
    except (TypeError, ValueError):
        raise InputProblem(
            f"{name}: {given!r} is no quantity; give a text with its unit, or a number in {unit}"
        ) from None
    if not parse(low, dimension) <= value <= parse(high, dimension):
        raise InputProblem(
            f"{name}: {value:g} {unit} is outside {low} to {high}; a number without a unit is in "
            f"{unit}, so write other units as text"
        )
    return value


def several(
    given: Quantities, dimension: str, name: str, low: str, high: str, *, like: str = ""
) -> list[float]:
    """Quantities in SI, each within [low, high], in the order given. Raises InputProblem."""
    if isinstance(given, str):
        return quantities(given, dimension, name, low, high, like=like)
    items = np.atleast_1d(given) if isinstance(given, np.ndarray) else given
    if not isinstance(items, Iterable):
        items = [items]
    values = [one(item, dimension, name, low, high, like=like) for item in items]
    if not values:
        raise InputProblem(f"{name}: the list is empty")
    return values


def distances(given: Quantities) -> list[float]:
    """Distances in m, sorted, each once."""
    return sorted(set(places(given)))


def places(given: Quantities) -> list[float]:
    """Distances in m, in the order given."""
    return several(given, "length", "distances", NEAREST, FARTHEST, like=LIKE_DISTANCE)


def move(given: Quantity, name: str) -> float:
    """One rest move in m."""
    return one(given, "length", name, f"-{LARGEST_MOVE}", LARGEST_MOVE, like=LIKE_MOVE)


def moves(given: Quantities | None, name: str) -> list[float]:
    """Rest moves in m, [0] without any."""
    if given is None:
        return [0.0]
    return several(given, "length", name, f"-{LARGEST_MOVE}", LARGEST_MOVE, like=LIKE_MOVE)


def blowing(given: WindGiven, name: str = "wind") -> tuple[float, float]:
    """Wind speed m/s and the clock direction that it comes out of."""
    if isinstance(given, str):
        return wind(given, name)
    try:
        speed, clock = map(float, given)
    except (TypeError, ValueError):
        raise InputProblem(
            f"{name}: {given!r} is not understood; write '10 mph from 3', or give (m/s, clock)"
        ) from None
    if not 0.0 <= clock <= 12.0:
        raise InputProblem(f"{name}: {clock:g} is no clock direction; it goes from 0 to 12")
    return one(speed, "speed", name, "0 m/s", "60 m/s", like="10 mph"), clock


def draws(given: int) -> int:
    """How many plausible bows the bands come from."""
    if not isinstance(given, int) or not _FEWEST_DRAWS <= given <= _MOST_DRAWS:
        raise InputProblem(
            f"draws: {given!r} is outside {_FEWEST_DRAWS} to {_MOST_DRAWS}: fewer make no band"
        )
    return given
