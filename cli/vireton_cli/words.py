"""Results in the archer's words."""

import math

import numpy as np

from vireton.answers.bands import decider_words
from vireton.studies.rest_moves import TALKING_DISTANCE, RestMove
from vireton.uncertain import Banded
from vireton.units.move_names import exact_move, move_name
from vireton.units.numbers import INCH
from vireton.units.text import as_fraction_inches
from vireton_cli.showing import Shown, within

__all__ = [
    "decider_words",
    "exact_move",
    "move_name",
    "rest_words",
    "sideways_words",
    "talking_index",
    "tear_words",
    "upward_words",
]

#: What an eye can tell on paper (our choice; a hole is some 1/4 in across).
_VISIBLE_TEAR = INCH / 32.0


def talking_index(distance: np.ndarray) -> int:
    """Index of the distance that the words speak of: the one nearest to 20 yd."""
    return int(np.argmin(np.abs(distance - TALKING_DISTANCE)))


def tear_words(tear: Banded, shown: Shown, *, sideways_open: bool) -> str:
    """``"1/4 in tail-low"``; nothing that the eye could not see is named."""
    names = (("tail-right", "tail-left"), ("tail-high", "tail-low"))
    parts = []
    for axis in (1, 0):
        value = float(tear.nominal[axis])
        if not math.isfinite(value):
            return "no tear: the paper is not reached"
        if abs(value) < _VISIBLE_TEAR:
            continue
        size = (
            as_fraction_inches(abs(value)) if shown.small == "in" else f"{abs(value) * 1e3:.0f} mm"
        )
        if axis == 0 and sideways_open:
            parts.append(f"{size} sideways, either way")
        else:
            parts.append(f"{size} {names[axis][0 if value > 0 else 1]}")
    return " and ".join(parts) or "a clean hole"


def _where(value: float, low: float, high: float, shown: Shown, words: tuple[str, str]) -> str:
    """``"1.4 in above (1.2 to 1.9)"``, or that the band holds both signs."""
    size = shown.small_size
    if max(abs(low), abs(high)) < 0.02 * INCH:
        return f"no more than a hair {words[0]} or {words[1]}"
    amount = shown.small_with_unit(value, low, high)
    digits_low, digits_high = low / size, high / size
    word = words[0] if value > 0 else words[1]
    if low < 0.0 < high:
        return f"{amount} {word}, with a band of {digits_low:+.1f} to {digits_high:+.1f}"
    return f"{amount} {word} ({within(value / size, digits_low, digits_high)})"


def upward_words(move: RestMove, shown: Shown) -> list[str]:
    """What the move does up and down, where the sign of the answer is sure."""
    i = talking_index(move.distance)
    at = shown.distance(float(move.distance[i]))

    def pick(one: Banded) -> tuple[float, float, float]:
        return float(one.nominal[i, 1]), float(one.low[i, 1]), float(one.high[i, 1])

    return [
        f"fletched group: {_where(*pick(move.fletched), shown, ('up', 'down'))} at {at}",
        f"bare shaft lands {_where(*pick(move.separation), shown, ('above', 'below'))} the "
        f"fletched group at {at}; before the move "
        f"{_where(*pick(move.separation_before), shown, ('above', 'below'))}",
        *decider_words(move.deciders_up, "up and down"),
    ]


def sideways_words(move: RestMove, shown: Shown) -> list[str]:
    """What the move does sideways: sizes, and why the direction stays open."""
    i = talking_index(move.distance)
    at = shown.distance(float(move.distance[i]))
    size = [
        shown.small_with_unit(float(one.nominal[i, 0]), float(one.low[i, 0]), float(one.high[i, 0]))
        for one in (move.fletched, move.separation_change)
    ]
    count = round(move.share_right * move.draws)
    way = "right" if count * 2 >= move.draws else "left"
    if way == "left":
        count = move.draws - count
    lines = [
        f"sideways at {at}: the fletched group moves about {size[0]}, the bare shaft "
        f"{size[1]} more, to the right or to the left",
        f"sideways direction OPEN: {count} of {move.draws} plausible bows send the bare shaft "
        f"{way} of the fletched one, but no model knows your bow. Shoot bare and fletched before "
        "and after one move: only this bow can tell",
    ]
    low = float(move.separation_change.low[i, 0])
    if low < 0.0 < float(move.separation_change.high[i, 0]):
        lines.append("sideways this move may do next to nothing, or the opposite: the band holds 0")
    return lines + decider_words(move.deciders_right, "sideways")


def rest_words(move: RestMove, shown: Shown, paper: float) -> list[str]:
    """The whole answer for one rest move, a line a fact."""
    lines = upward_words(move, shown)
    if move.right:
        lines += sideways_words(move, shown)
    far = f"{paper / 0.3048:.3g} ft" if shown.small == "in" else f"{paper:.2f} m"
    is_open = move.right != 0.0
    swing = float(np.max(move.tear_from_bending))
    added = ""
    if swing >= _VISIBLE_TEAR:
        size = as_fraction_inches(swing) if shown.small == "in" else f"{swing * 1e3:.0f} mm"
        added = f" (its bending swings that by up to {size} either way)"
    lines.append(
        f"paper at {far}: bare shaft "
        f"{tear_words(move.tear_bare, shown, sideways_open=is_open)}{added}; fletched "
        f"{tear_words(move.tear_fletched, shown, sideways_open=is_open)}"
    )
    return lines
