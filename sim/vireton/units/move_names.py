"""Rest moves in the archer's words."""

from vireton.units.numbers import INCH
from vireton.units.text import as_fraction_inches


def exact_move(meters: float) -> str:
    """A rest move as typed: a bench fraction where it is one, else decimals of an inch."""
    if abs(meters / INCH * 64 - round(meters / INCH * 64)) < 1e-6:
        return as_fraction_inches(abs(meters), 64)
    return f"{abs(meters) / INCH:.4f} in"


def move_name(right: float, up: float) -> str:
    """``"rest right 1/32 in, up 1/16 in"``."""
    parts = []
    if right:
        parts.append(f"{'right' if right > 0 else 'left'} {exact_move(right)}")
    if up:
        parts.append(f"{'up' if up > 0 else 'down'} {exact_move(up)}")
    return "rest " + (", ".join(parts) or "where it is")
