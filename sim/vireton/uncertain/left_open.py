"""What a setup file may leave open: how far a usual value may be off the bow's own.

One row for each number that a bench may not know. A row counts only where the file leaves its key
open and :mod:`vireton.setup.usual` puts a usual value in; a value that is given stays exact. All
ranges are our choice, no source. New rows go to the end: the draws of those above then stay.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Any, cast

from vireton.bow.bow import AMO_DRAW_EXTRA
from vireton.uncertain.row import Input, Pieces, Range, has_no_readings, of_bow
from vireton.units.numbers import INCH
from vireton.units.text import parse

#: m of shaft that stay ahead of the rest at full draw, whatever is drawn.
_STAYS_AHEAD = 0.25 * INCH
#: Of the shaft's mass that each of the other parts may be heavier than usual by: all four together
#: still leave a shaft.
_OF_THE_SHAFT = 0.2


def _part(part: str, name: str, words: str, usual: Callable[[Pieces], Range]) -> Input:
    """The row of one number of one part; it does not count where the arrow has no such part."""

    def change(one: Pieces, value: float) -> Pieces:
        old = getattr(one.parts, part)
        if old is None:
            return one
        new = replace(old, **{name: value})
        return replace(one, parts=replace(one.parts, **cast(Any, {part: new})))

    return Input(
        f"{part}_{name}",
        words,
        change,
        own=f"arrow.{part}.{name}",
        usual=usual,
        applies=lambda one: getattr(one.parts, part) is not None,
        known_of="shaft",
    )


def _spare(one: Pieces) -> float:
    """m that the rest may sit ahead of the grip's deepest point with the shaft still on it."""
    return one.parts.length - _STAYS_AHEAD - (one.bow.draw_length - AMO_DRAW_EXTRA)


def _brace(one: Pieces, height: float) -> Pieces:
    # no lower than leaves the shaft on a rest whose place from the string is told
    bow = one.bow
    least = min(bow.rest.ahead_of_string - _spare(one), bow.brace_height)
    return replace(one, bow=replace(bow, brace_height=max(height, least)))


def _rest_ahead_of_grip(one: Pieces, ahead: float) -> Pieces:
    # from the grip, not from the string: a brace height that is drawn does not move the rest
    ahead = min(ahead, max(_spare(one), 0.0))
    rest = replace(one.bow.rest, ahead_of_string=one.bow.brace_height + ahead)
    return replace(one, bow=replace(one.bow, rest=rest))


def _throat(one: Pieces, throat: float) -> Pieces:
    shaft = replace(one.parts.shaft, length=one.parts.length - throat)
    nock = replace(one.parts.nock, throat_to_shaft=throat)
    return replace(one, parts=replace(one.parts, nock=nock, shaft=shaft))


def _outside(one: Pieces, across: float) -> Pieces:
    shaft = replace(one.parts.shaft, outside_diameter=across)
    return replace(one, parts=replace(one.parts, shaft=shaft))


def _wall(one: Pieces, wall: float) -> Pieces:
    inside = max(0.0, one.parts.shaft.outside_diameter - 2.0 * wall)
    shaft = replace(one.parts.shaft, inside_diameter=inside)
    return replace(one, parts=replace(one.parts, shaft=shaft))


def _shape(one: Pieces, value: float) -> Pieces:
    """One in two a smooth bullet; a step or a cone otherwise."""
    shape: Any = "bullet" if value < 0.5 else "field"
    return replace(one, parts=replace(one.parts, point=replace(one.parts.point, shape=shape)))


def _count(one: Pieces, value: float) -> Pieces:
    """One in four has four vanes."""
    if one.parts.vanes is None:
        return one
    vanes = replace(one.parts.vanes, count=4 if value > 0.75 else 3)
    return replace(one, parts=replace(one.parts, vanes=vanes))


def _density(one: Pieces, factor: float) -> Pieces:
    return replace(one, density=factor)


def _sight(one: Pieces, higher: float) -> Pieces:
    return replace(one, sight_higher=higher)


def _brace_range(one: Pieces) -> Range:
    """An inch lower to 1 1/4 in higher, no more than a short power stroke allows."""
    bow = one.bow
    higher = min(1.25 * INCH, 0.25 * bow.power_stroke)
    return bow.brace_height - 1.0 * INCH, bow.brace_height + higher


def _ahead_range(one: Pieces) -> Range:
    """An inch behind the grip's deepest point to an inch ahead, so far as the shaft reaches."""
    usual = one.bow.rest.ahead_of_string - one.bow.brace_height
    return usual - 1.0 * INCH, max(usual, min(usual + 1.0 * INCH, _spare(one)))


def _throat_range(one: Pieces) -> Range:
    throat, vanes = one.parts.nock.throat_to_shaft, one.parts.vanes
    most = 1.6 * throat if vanes is None else min(1.6 * throat, vanes.rear_from_throat)
    return 0.6 * throat, max(throat, most)


def _outside_range(one: Pieces) -> Range:
    """Most hunting shafts; a bore that is told stays inside."""
    shaft = one.parts.shaft
    low = min(max(0.2 * INCH, shaft.inside_diameter + 0.02 * INCH), shaft.outside_diameter)
    return low, max(0.32 * INCH, 1.1 * shaft.outside_diameter)


def _wall_range(one: Pieces) -> Range:
    usual = 0.5 * (one.parts.shaft.outside_diameter - one.parts.shaft.inside_diameter)
    return 0.5 * usual, 1.7 * usual


def _mass_range(part: str, low: float, high: float) -> Callable[[Pieces], Range]:
    """Shares of the part's usual mass, so far as it leaves a shaft."""

    def of(one: Pieces) -> Range:
        shaft = one.parts.shaft
        spare = _OF_THE_SHAFT * shaft.mass_per_length * shaft.length
        mass = 0.0 if (found := getattr(one.parts, part)) is None else found.mass
        count = one.parts.vanes.count if part == "vanes" and one.parts.vanes else 1
        return low * mass, min(high * mass, mass + spare / count)

    return of


def _scaled(part: str, name: str, low: float, high: float) -> Callable[[Pieces], Range]:
    def of(one: Pieces) -> Range:
        usual = 0.0 if (found := getattr(one.parts, part)) is None else getattr(found, name)
        return low * usual, high * usual

    return of


def _rear_range(one: Pieces) -> Range:
    vanes, throat = one.parts.vanes, one.parts.nock.throat_to_shaft
    rear = 0.0 if vanes is None else vanes.rear_from_throat
    return max(0.5 * (rear + throat), rear - 0.4 * INCH), rear + 0.75 * INCH


def _has_vanes(one: Pieces) -> bool:
    return one.parts.vanes is not None


def _between(low: float, high: float) -> Callable[[Pieces], Range]:
    return lambda one: (low, high)


LEFT_OPEN: tuple[Input, ...] = (
    Input(
        "let_off",
        "the let-off",
        of_bow("let_off"),
        own="bow.let_off",
        usual=_between(0.65, 0.9),
        applies=has_no_readings,
        known_of="bow",
    ),
    Input(
        "brace_height",
        "the brace height",
        _brace,
        own="bow.brace_height",
        usual=_brace_range,
        applies=has_no_readings,
        known_of="bow",
    ),
    Input(
        "rest_ahead",
        "how far ahead the rest sits",
        _rest_ahead_of_grip,
        own="bow.rest.ahead_of_string",
        usual=_ahead_range,
        known_of="bow",
    ),
    _part("nock", "mass", "the nock's mass", _mass_range("nock", 0.6, 2.2)),
    Input(
        "nock_length",
        "the nock's length",
        _throat,
        own="arrow.nock.throat_to_shaft",
        usual=_throat_range,
        known_of="shaft",
    ),
    Input(
        "shaft_diameter",
        "the shaft's diameter",
        _outside,
        own="arrow.shaft.outside_diameter",
        usual=_outside_range,
        known_of="shaft",
    ),
    Input(
        "shaft_wall",
        "the shaft's wall",
        _wall,
        own="arrow.shaft.inside_diameter",
        usual=_wall_range,
        known_of="shaft",
    ),
    _part("point", "mass", "the point's mass", _mass_range("point", 0.7, 1.5)),
    _part("point", "length", "the point's length", _scaled("point", "length", 0.6, 1.5)),
    Input(
        "point_shape",
        "the point's shape",
        _shape,
        own="arrow.point.shape",
        usual=_between(0.0, 1.0),
        known_of="shaft",
    ),
    _part("insert", "mass", "the insert's mass", _mass_range("insert", 0.5, 3.0)),
    _part("insert", "length", "the insert's length", _scaled("insert", "length", 0.5, 1.8)),
    Input(
        "vane_count",
        "how many vanes it has",
        _count,
        own="arrow.vanes.count",
        usual=_between(0.0, 1.0),
        applies=_has_vanes,
        known_of="shaft",
    ),
    _part("vanes", "length", "the vanes' length", _scaled("vanes", "length", 0.8, 1.5)),
    _part("vanes", "height", "the vanes' height", _scaled("vanes", "height", 0.75, 1.2)),
    _part("vanes", "thickness", "the vanes' thickness", _scaled("vanes", "thickness", 0.6, 1.3)),
    _part("vanes", "mass", "the vanes' mass", _mass_range("vanes", 0.6, 1.6)),
    _part("vanes", "rear_from_throat", "where the vanes sit", _rear_range),
    _part("vanes", "offset", "the vanes' offset", _between(0.0, parse("3 deg", "angle"))),
    Input(
        "air_density",
        "the air's density",
        _density,
        own="air",
        # sea level on a cold day to 5000 ft on a hot one
        usual=_between(0.8, 1.05),
    ),
    Input(
        "sight_height",
        "how high the sight sits",
        _sight,
        own="sight.height_above_arrow",
        usual=_between(-0.75 * INCH, 0.75 * INCH),
        known_of="bow",
    ),
)
