"""Rest moves and other two-sided lengths in the archer's words, said and read."""

from vireton.units.bench_words import Pair, parse_sides
from vireton.units.numbers import INCH
from vireton.units.spelling import spelled
from vireton.units.text import UnitSystem, as_fraction_inches

Names = tuple[tuple[str, str], tuple[str, str]]

#: What the positive and the negative side of each axis are called: of a move, of a hole.
MOVE_SIDES: Names = (("right", "left"), ("up", "down"))
HOLE_SIDES: Names = (("right", "left"), ("high", "low"))


def sides(pair: Pair, names: Names, units: UnitSystem) -> list[str]:
    """``["left 1/16 in", "up 1/8 in"]`` of the axes that are not 0."""
    found = []
    for value, (positive, negative) in zip(pair, names, strict=True):
        if value:
            name = positive if value > 0.0 else negative
            found.append(f"{name} {spelled(abs(value), 'bench', units)}")
    return found


def place_words(pair: Pair, units: UnitSystem) -> str:
    """``"1/16 in farther left and 1/8 in higher than"``; nothing at (0, 0)."""
    far = (("farther right", "farther left"), ("higher", "lower"))
    found = [
        f"{spelled(abs(value), 'bench', units)} {names[0 if value > 0.0 else 1]}"
        for value, names in zip(pair, far, strict=True)
        if value
    ]
    return f"{' and '.join(found)} than" if found else ""


def rest_words(pair: Pair, units: UnitSystem) -> str:
    """``"The rest is 1/16 in higher than at the start"``."""
    return f"The rest is {place_words(pair, units) or 'where it was'} at the start"


def exact_move(meters: float) -> str:
    """A rest move as typed: a bench fraction where it is one, else decimals of an inch."""
    if abs(meters / INCH * 64 - round(meters / INCH * 64)) < 1e-6:
        return as_fraction_inches(abs(meters), 64)
    return f"{abs(meters) / INCH:.4f} in"


def move_name(right: float, up: float) -> str:
    """``"rest right 1/32 in, up 1/16 in"``."""
    parts = []
    for value, (positive, negative) in zip((right, up), MOVE_SIDES, strict=True):
        if value:
            parts.append(f"{positive if value > 0 else negative} {exact_move(value)}")
    return "rest " + (", ".join(parts) or "where it is")


def parse_rest(text: str, where: str = "") -> tuple[float | None, float | None]:
    """Right and up, m, of ``"right 1/32 in, up 1/16 in"``; None for an axis that is not named.

    ``in`` and ``out`` are refused: they depend on the hand. Raises InputProblem.
    """
    example = 'write it like "right 1/32 in, up 1/16 in"'
    return parse_sides(text, where, example, clicks=True)
