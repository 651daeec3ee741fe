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


def rest_words(move: "RestMove", display: Display, paper: float) -> list[str]:
    """The whole answer for one rest move, a line a fact."""
    is_open = move.right != 0.0
    lines = [
        *(sideways_words(move, display) if is_open else []),
        *(upward_words(move, display) if move.up or not is_open else still_words(move, display)),
    ]
    far = f"{paper / 0.3048:.3g} ft" if display.name == "us" else f"{paper:.2f} m"
    lines.append(
        f"paper at {far}: bare shaft "
        f"{tear_words(move.tear_bare, display, sideways_open=is_open)}"
        f"{bending_words(move.tear_from_bending, display)}; fletched "
        f"{tear_words(move.tear_fletched, display, sideways_open=is_open)}"
    )
    return lines


def upward_words(move: "RestMove", display: Display) -> list[str]:
    """What the move does up and down, where the sign of the answer is sure."""
    from vireton.studies.rest_moves import talking_index

    i = talking_index(move.distance)
    at = display.distance(float(move.distance[i]))
    return [
        f"fletched group: {where_words(move.fletched[i, 1], display, ('up', 'down'))} at {at}",
        f"bare shaft lands {where_words(move.separation[i, 1], display, ('above', 'below'))} the "
        f"fletched group at {at}; before the move "
        f"{where_words(move.separation_before[i, 1], display, ('above', 'below'))}",
        *decider_words(move.deciders_up, "up and down"),
    ]


def still_words(move: "RestMove", display: Display) -> list[str]:
    """What a move to the side alone leaves up and down; where it is not still, all of it."""
    from vireton.studies.rest_moves import talking_index

    i = talking_index(move.distance)
    moved = (move.fletched[i, 1], move.separation_change[i, 1])
    if any(max(abs(float(one.low)), abs(float(one.high))) > _A_HAIR for one in moved):
        return upward_words(move, display)
    lands = where_words(move.separation[i, 1], display, ("above", "below"))
    at = display.distance(float(move.distance[i]))
    return [f"up and down all stays: bare shaft {lands} the fletched group at {at}, as before"]


def sideways_words(move: "RestMove", display: Display) -> list[str]:
    """What the move does sideways: sizes, and why the direction stays open."""
    from vireton.studies.rest_moves import talking_index

    i = talking_index(move.distance)
    at = display.distance(float(move.distance[i]))
    group, change = move.fletched[i, 0], move.separation_change[i, 0]
    shift = display.small_with_unit(*map(float, (group.nominal, group.low, group.high)))
    # most likely: no side is promised before this bow has shown it
    along = min(group.low * move.right, group.high * move.right) > 0.0
    goes = "most likely goes with the rest" if along else "goes to the one side or the other"
    way, share = ("right", move.share_right) if move.share_right >= 0.5 else ("left", 0.0)
    model = move.share_right_before
    if way == "left":
        share, model = 1.0 - move.share_right, 1.0 - move.share_right_before
    lines = [
        f"sideways at {at}: the fletched group {goes}, about {shift}; the bare shaft parts from "
        f"it by {_parting(change, display)}",
        f"sideways direction OPEN: on about {percent(share)} of bows like yours this sends the "
        f"bare shaft {way} of the fletched one (the launch model alone says {percent(model)}; the "
        "rest is the trade's experience). Shoot bare and fletched before and after one move: only "
        "this bow can tell",
    ]
    if change.low < 0.0 < change.high:
        lines.append("sideways this move may do next to nothing, or the opposite: the band holds 0")
    return lines + decider_words(move.deciders_right, "sideways")


def _parting(change: "Banded", display: Display) -> str:
    """By how much, and at most, without a side."""
    middle, low, high = map(float, (change.nominal, change.low, change.high))
    most = max(abs(low), abs(high))
    size = display.small_with_unit(middle, low, high)
    return f"about {size}, at most {display.small_with_unit(most, low, high)}"
