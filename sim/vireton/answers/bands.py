"""Banded results in the archer's words."""

import math
from typing import TYPE_CHECKING, Any

from vireton.units.display import Display, within
from vireton.units.numbers import INCH
from vireton.units.text import as_fraction_inches

if TYPE_CHECKING:
    from vireton.uncertain import Banded

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
    return [f"the band {side} comes mostly from {', '.join(named)}"] if named else []


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
    """``"1.4 in above (1.2 to 1.9)"``, or that the band holds both signs."""
    middle, low, high = map(float, (value.nominal, value.low, value.high))
    size = display.small_size
    if max(abs(low), abs(high)) < 0.02 * INCH:
        return f"no more than a hair {words[0]} or {words[1]}"
    amount = display.small_with_unit(middle, low, high)
    word = words[0] if middle > 0 else words[1]
    if low < 0.0 < high:
        return f"{amount} {word}, with a band of {low / size:+.1f} to {high / size:+.1f}"
    return f"{amount} {word} ({within(middle / size, low / size, high / size)})"
