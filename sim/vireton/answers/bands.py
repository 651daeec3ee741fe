"""Banded results in the archer's words."""

import math
from typing import TYPE_CHECKING, Any

from vireton.units.display import LIKE_YOURS, OPEN, Display, digits_for, within
from vireton.units.numbers import INCH
from vireton.units.text import as_fraction_inches

if TYPE_CHECKING:
    from vireton.uncertain import Banded

#: What the brackets of a page hold, said once on it.
BRACKETS = f"in brackets: {LIKE_YOURS}; your own scatter comes on top"
#: What the mark of an open direction means, said once on a page.
SIDE_OPEN = f"{OPEN} size only: which way, right or left, this bow must show you"
#: No group shows less (our choice), m.
_A_HAIR = 0.02 * INCH

#: What an eye can tell on paper (our choice; a hole is some 1/4 in across).
_VISIBLE_TEAR = INCH / 32.0


def decider_words(shares: dict[str, float], side: str) -> list[str]:
    """Which inputs make the band, where any makes a tenth of its variance or more."""
    from vireton.uncertain.inputs import words_of

    named = [
        f"{words_of(name)} ({share * 100.0:.0f} %)"
        for name, share in shares.items()
        if share >= 0.1
    ]
    return [f"what widens the brackets {side}: {', '.join(named)}"] if named else []


def tear_words(tear: "Banded", display: Display, *, sideways_open: bool) -> str:
    """``"1/4 in tail-low"``; nothing that the eye could not see is named."""
    names = (("tail-right", "tail-left"), ("tail-high", "tail-low"))
    parts = []
    for axis in (1, 0):
        value = float(tear.nominal[axis])
        if not math.isfinite(value):
            return "no tear: the paper is not reached"
        if abs(value) < _VISIBLE_TEAR:
            continue
        size = _eyed(abs(value), display)
        if axis == 0 and sideways_open:
            parts.append(f"{size} sideways, either way")
        else:
            parts.append(f"{size} {names[axis][0 if value > 0 else 1]}")
    return " and ".join(parts) or "a clean hole"


def bending_words(swing: Any, display: Display) -> str:
    """What a shaft's swing adds to a tear, (2,) m; nothing where no eye could see it."""
    most = float(max(swing))
    if most < _VISIBLE_TEAR:
        return ""
    return f" (its bending swings that by up to {_eyed(most, display)} either way)"


def _eyed(size: float, display: Display) -> str:
    return as_fraction_inches(size) if display.name == "us" else f"{size * 1e3:.0f} mm"


def where_words(value: "Banded", display: Display, words: tuple[str, str]) -> str:
    """``"1.4 in above (1.2 to 1.9)"``, or ``"0.1 in above (0.4 below to 0.6 above)"``."""
    middle, low, high = map(float, (value.nominal, value.low, value.high))
    size = display.small_size
    if max(abs(low), abs(high)) < _A_HAIR:
        return f"no more than a hair {words[0]} or {words[1]}"
    amount = display.small_with_unit(middle, low, high)
    word = words[0] if middle > 0 else words[1]
    if low < 0.0 < high:
        digits = digits_for((high - low) / size)
        told = [f"{abs(end) / size:.{digits}f}" for end in (low, high)]
        # a rounded nothing has no side
        ends = [
            f"{text} {side}" if float(text) else text
            for text, side in zip(told, reversed(words), strict=True)
        ]
        return f"{amount} {word} ({' to '.join(ends)})"
    return f"{amount} {word} ({within(middle / size, low / size, high / size)})"


def hit_words(place: "Banded", display: Display, *, is_open: bool = False) -> str:
    """Where an arrow hits, (2,) m: ``"centered, 0.6 in high (0.5 to 0.7)"``.

    ``is_open``: no side is told.

    What no group shows is centered.
    """
    told = []
    for axis, words in enumerate((("right", "left"), ("high", "low"))):
        value = place[axis]
        ends = [float(value.nominal), float(value.low), float(value.high)]
        if not all(map(math.isfinite, ends)):
            return "not reached by all"
        if max(map(abs, ends)) < _A_HAIR:
            continue
        if is_open and axis == 0:
            told.append(f"{display.small_with_unit(*ends)} to one side {OPEN}")
        else:
            told.append(where_words(value, display, words))
    if len(told) == 2:
        return ", ".join(told)
    return f"centered, {told[0]}" if told else "centered"
