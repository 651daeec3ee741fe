"""What a rest move does, in the technician's words."""

from typing import TYPE_CHECKING

from vireton.answers.bands import bending_words, decider_words, tear_words, where_words
from vireton.units.display import Display
from vireton.units.numbers import INCH, percent

if TYPE_CHECKING:
    from vireton.studies.rest_moves import RestMove
    from vireton.uncertain import Banded

#: Up or down, no group shows less than this (our choice), m.
_A_HAIR = 0.05 * INCH
#: How this answer and that of a job hang together.
AVERAGE = (
    "this tells the average bow of this kind; once this bow has a job, `vireton tune` knows its "
    "own answer better"
)
_MOVES, _LANDS = ("up", "down"), ("above", "below")


def rest_words(move: "RestMove", display: Display, paper: float) -> list[str]:
    """The whole answer for one rest move, a line a fact."""
    is_open = move.right != 0.0
    tears = (move.tear_bare, move.tear_fletched)
    bare, fletched = (tear_words(one, display, sideways_open=is_open) for one in tears)
    far = f"{paper / 0.3048:.3g} ft" if display.name == "us" else f"{paper:.2f} m"
    return [
        *(sideways_words(move, display) if is_open else []),
        *(upward_words(move, display) if move.up or not is_open else still_words(move, display)),
        f"on paper at {far}: bare shaft {bare}{bending_words(move.tear_from_bending, display)}; "
        f"fletched {fletched}",
    ]


def why_words(move: "RestMove") -> list[str]:
    """What widens the brackets of one rest move."""
    return [
        *decider_words(move.deciders_up, "up and down"),
        *decider_words(move.deciders_right, "sideways"),
    ]


def upward_words(move: "RestMove", display: Display) -> list[str]:
    """What the move does up and down, where the sign of the answer is sure."""
    from vireton.studies.rest_moves import talking_index

    i = talking_index(move.distance)
    at = display.distance(float(move.distance[i]))
    return [
        f"at {at} the fletched group goes {where_words(move.fletched[i, 1], display, _MOVES)}",
        f"the bare shaft then hits {where_words(move.separation[i, 1], display, _LANDS)} the "
        f"fletched group; before the move "
        f"{where_words(move.separation_before[i, 1], display, _LANDS)}",
    ]


def is_still(move: "RestMove", place: int | None = None) -> bool:
    """Whether up and down no group shows the move, at one of its distances or at all."""
    places = slice(None) if place is None else slice(place, place + 1)
    moved = (move.fletched[places, 1], move.separation_change[places, 1])
    return all(float(abs(end).max()) <= _A_HAIR for one in moved for end in (one.low, one.high))


def still_words(move: "RestMove", display: Display) -> list[str]:
    """What a move to the side alone leaves up and down; where it is not still, all of it."""
    from vireton.studies.rest_moves import talking_index

    i = talking_index(move.distance)
    if not is_still(move, i):
        return upward_words(move, display)
    lands = where_words(move.separation[i, 1], display, _LANDS)
    at = display.distance(float(move.distance[i]))
    return [
        f"up and down nothing moves: at {at} the bare shaft hits {lands} the fletched group, as "
        "before"
    ]


def sideways_words(move: "RestMove", display: Display) -> list[str]:
    """What the move does sideways: sizes, and why the direction stays open."""
    from vireton.studies.rest_moves import talking_index

    i = talking_index(move.distance)
    at = display.distance(float(move.distance[i]))
    change, before = move.separation_change[i, 0], move.share_right_before
    way, share = "right", move.share_right
    if share < 0.5:
        way, share, before = "left", 1.0 - share, 1.0 - before
    return [
        f"sideways at {at}: the fletched group {_group_words(move, i, display)}; bare and fletched "
        f"part by {_parting(change, display)}",
        f"WHICH WAY the bare shaft goes is open: {way} of the fletched on {percent(share)} of bows "
        f"like yours ({percent(before)} by the model alone, the rest is the trade's experience). "
        "Shoot bare and fletched before and after the move: only this bow can tell",
    ]


def _group_words(move: "RestMove", i: int, display: Display) -> str:
    """Which way the group goes: no side is promised before this bow has shown it."""
    group = move.fletched[i, 0]
    middle, *ends = map(float, (group.nominal, group.low, group.high))
    size = display.small_with_unit(middle, *ends)
    along = [end * move.right > 0.0 for end in ends]
    if all(along):
        return f"most likely goes with the rest, about {size}"
    if not any(along):
        return f"most likely goes against the rest, about {size}"
    return f"may go to either side, about {size}"


def _parting(change: "Banded", display: Display) -> str:
    """By how much, and at most, without a side."""
    middle, low, high = map(float, (change.nominal, change.low, change.high))
    most = max(abs(low), abs(high))
    size = display.small_with_unit(middle, low, high)
    told = f"about {size}, at most {display.small_with_unit(most, low, high)}"
    return f"{told}, or not at all" if low < 0.0 < high else told
