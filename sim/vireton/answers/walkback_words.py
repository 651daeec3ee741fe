"""A walk-back in words: the verdict, what to turn, and the shot that would tell more."""

import math
from typing import TYPE_CHECKING

from vireton.units.display import Display
from vireton.units.numbers import YARD, percent

if TYPE_CHECKING:
    from vireton.tuning.walkback import WalkbackCauses

#: The outcomes in the archer's words.
CAUSES = {
    "nothing": "straight",
    "windage": "sight or center shot",
    "cant": "cant",
    "wind": "wind",
    "yaw_rate": "launch",
    "two": "two of them",
}
#: With one pin these draw the same line.
ALIKE = ("windage", "cant", "yaw_rate")
TALKING = 20.0 * YARD
_NAMED = 0.1  # a cause is named among others from this probability on; the likeliest two always


def verdict_line(found: "WalkbackCauses", display: Display) -> str:
    """One sentence for a page or a card.

    ``Walk-back 20 to 60 yd: straight, nothing to correct beyond 0.9 in at 60 yd``.
    """
    near, far = (found.distances[k] / display.far_size for k in (0, -1))
    return f"Walk-back {near:.3g} to {far:.3g} {display.far}: {said(found, display)}"


def said(found: "WalkbackCauses", display: Display) -> str:
    """The verdict with its odds and how large it is."""
    if found.verdict == "nothing":
        size = _size(found.half_width, found.half_width, display)
        return f"straight, nothing to correct beyond {size} at {_far(found.reach, display)}"
    if found.verdict == "none_fits":
        return "no cause fits these points"
    where = (
        f"{_size(found.there, found.half_width, display)} {_side(found.there)} at "
        f"{_far(found.reach, display)}, give or take "
        f"{_size(found.half_width, found.half_width, display)}"
    )
    if found.verdict == "cannot_tell":
        return f"cannot tell {_likeliest(found)} apart; the arrows land {where}"
    share = percent(found.probabilities[found.verdict])
    return f"{CAUSES[found.verdict]} ({share}), the arrows land {where}"


def advice_words(found: "WalkbackCauses", display: Display) -> list[str]:
    """What to turn, a sentence each; then the one shot that would tell most."""
    lines = _to_do(found, display)
    if found.verdict in ("nothing", "none_fits"):
        return lines
    following = next_words(found, display)
    return [*lines, f"To find out: {following}" if following else "No other shot tells more"]


def next_words(found: "WalkbackCauses", display: Display) -> str:
    """The shot that would tell most; empty where none tells anything."""
    if found.next is None:
        return ""
    kind, points = found.next.shot.kind, found.next.shot.points
    far = _far(points[0].distance, display) if points else ""
    shot = {
        "again": f"3 more arrows at {far}",
        "farther": f"3 arrows at {far}",
        "nearer": f"3 arrows at {far}",
        "level": 'the same points with the bow held by a checked level (add "level" to each)',
        "calm": 'the same points without wind (add "calm" to each)',
        "bare": f"3 bare and 3 fletched at {_far(TALKING, display)}",
    }[kind]
    return f"{shot}; the right cause gets about {round(100.0 * found.next.gain)} % likelier"


def _likeliest(found: "WalkbackCauses") -> str:
    shares = found.probabilities
    least = min(sorted(shares.values())[-2], _NAMED)
    names = sorted((one for one in shares if shares[one] >= least), key=lambda one: -shares[one])
    told = [f"{CAUSES[name]} ({percent(shares[name])})" for name in names]
    return f"{', '.join(told[:-1])} and {told[-1]}"


def _to_do(found: "WalkbackCauses", display: Display) -> list[str]:
    shares = found.probabilities
    turn = (
        f"move the sight {_side(found.near)}, after the arrows, by "
        f"{_size(found.near, found.half_width * TALKING / found.reach, display)} at "
        f"{_far(TALKING, display)}"
    )
    match found.verdict:
        case "nothing":
            return ["Leave the sight as it is"]
        case "none_fits":
            return [
                "Check what was typed: a wrong side, a sight that was moved, or arrows that "
                "scatter more than your groups all look like this"
            ]
        case "windage":
            return [f"Check the level, then {turn}"]
        case "cant":
            value, sd = found.sizes["cant"]
            lean = f"{abs(math.degrees(value)):.1f}° ± {math.degrees(sd):.1f}°"
            return [
                f"Hold the bow level before you touch the sight: its top leans {lean} "
                f"{_side(value)}"
            ]
        case "wind":
            return [
                "Leave sight and rest and shoot again without wind; if each distance had its own "
                "pin, a sight that leans looks the same"
            ]
        case "yaw_rate":
            return ["Leave the sight and tune the rest with bare shafts first"]
        case "two":
            return ["Level the bow, wait for still air and shoot again before you touch the sight"]
    tilted = 1.0 - shares["nothing"]
    if shares["nothing"] == max(shares.values()) or sum(shares[k] for k in ALIKE) < 0.5 * tilted:
        return ["Leave the sight until more is shot"]
    return [
        "With one pin a sight that is off, a cant and a poor launch draw the same line",
        f"If you won't shoot more: check the level, then {turn}",
    ]


def _side(value: float) -> str:
    return "right" if value > 0.0 else "left"


def _size(value: float, half_width: float, display: Display) -> str:
    return display.small_with_unit(value, 0.0, half_width)


def _far(meters: float, display: Display) -> str:
    return f"{meters / display.far_size:.3g} {display.far}"
