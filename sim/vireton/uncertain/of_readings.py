"""How far what a setup file holds as read at the bench may be off: rows that count where it is.

Readings of a bow scale and of a knife edge are no guesses, but they have errors. All are our
choice, no source. New rows go to the end.
"""

from dataclasses import replace

from vireton.uncertain.row import Input, Pieces
from vireton.units.numbers import INCH

#: m, either way: where along the draw a bow scale was read, with its friction (our choice).
PLACE_OF_READINGS = 0.125 * INCH
#: m, either way: a balance point on a knife edge (our choice).
KNIFE_EDGE = INCH / 16.0


def _shifted(one: Pieces, by: float) -> Pieces:
    """The readings taken ``by`` m farther back than said; the last one is at full draw."""
    curve, stroke = one.bow.draw_curve, one.bow.power_stroke
    if not curve.points:
        return one
    first, last = curve.points[0], curve.points[-1]
    # nothing goes behind brace or past full draw
    by = max(by, -0.5 * first[0])
    moved = tuple((draw + by, force) for draw, force in curve.points[:-1] if draw + by < stroke)
    points = (*(pair for pair in moved if pair[0] < last[0]), last)
    return replace(one, bow=replace(one.bow, draw_curve=replace(curve, points=points)))


def _balanced(one: Pieces, by: float) -> Pieces:
    balance = one.parts.measured_balance
    if balance is None:
        return one
    return replace(one, parts=replace(one.parts, measured_balance=balance + by))


OF_READINGS: tuple[Input, ...] = (
    Input(
        "draw_readings",
        "where the bow scale was read",
        _shifted,
        usual=lambda one: (-PLACE_OF_READINGS, PLACE_OF_READINGS),
        applies=lambda one: bool(one.bow.draw_curve.points),
        known_of="bow",
    ),
    Input(
        "balance",
        "the balance point's reading",
        _balanced,
        usual=lambda one: (-KNIFE_EDGE, KNIFE_EDGE),
        applies=lambda one: one.parts.measured_balance is not None,
        known_of="shaft",
    ),
)
