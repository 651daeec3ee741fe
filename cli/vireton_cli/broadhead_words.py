"""What a broadhead does, in the archer's words."""

import math
from typing import TYPE_CHECKING

from vireton_cli.showing import Shown, digits_for

if TYPE_CHECKING:
    from vireton.kernel.arrays import FloatArray
    from vireton.rig import Rig
    from vireton.studies.broadhead import BroadheadAnswer, VanesNeeded
    from vireton.uncertain import Banded

#: Launch errors beyond these are no launch errors any more: not worth a number (our choice).
_LARGEST_RATE = 20.0  # rad/s
_LARGEST_ANGLE = 10.0  # degrees
#: Smaller ones nobody can hold or measure, in either unit (our choice).
_SMALLEST = 0.01


def _ends(values: "Banded") -> "tuple[FloatArray, FloatArray, FloatArray]":
    return values.nominal, values.low, values.high


def _error_for(values: "Banded", row: int, size: float, largest: float) -> str:
    """The error at which a separation of ``size`` arises, from separation per error."""
    ends = [float(one[row]) for one in _ends(values)]
    if not all(math.isfinite(end) for end in ends):
        return "?"
    if ends[1] < 0.0 < ends[2]:
        least = size / max(-ends[1], ends[2])
        return f"over {largest:.0f}" if least > largest else f"over {least:.1f}, or never"
    nominal, *others = (size / abs(end) if end else math.inf for end in ends)
    low, high = min(others), max(others)
    if nominal > largest:
        return f"over {largest:.0f}" if low > largest else f"over {low:.1f}"
    if nominal < _SMALLEST:
        return f"under {_SMALLEST}"
    digits = digits_for(high - low if high <= largest else 2.0 * (nominal - low))
    if high > largest:
        return f"{nominal:.{digits}f} ({low:.{digits}f} and up)"
    return f"{nominal:.{digits}f} ({low:.{digits}f}…{high:.{digits}f})"


def rate_cell(per_rate: "Banded", row: int, shown: Shown) -> str:
    """The launch yaw rate that alone opens one small unit of separation."""
    return _error_for(per_rate, row, shown.small_size, _LARGEST_RATE)


def angle_cell(per_yaw: "Banded", row: int, shown: Shown) -> str:
    """The same of the launch yaw, in degrees."""
    size = shown.small_size / math.radians(1.0)
    return _error_for(per_yaw, row, size, _LARGEST_ANGLE)


def _spread(values: "Banded", size: float, least: int = 0) -> str:
    """``"3.3 (1.7 to 5.0)"``, signs kept."""
    value, low, high = (float(one) / size for one in _ends(values))
    digits = max(least, digits_for(high - low))
    if f"{low:.{digits}f}" == f"{high:.{digits}f}":
        return f"{value:.{digits}f}"
    return f"{value:.{digits}f} ({low:.{digits}f} to {high:.{digits}f})"


def straight_words(answer: "BroadheadAnswer", shown: Shown) -> list[str]:
    """What a launch without any error would leave between the two, at the last distance."""
    size = shown.small_size
    last = [float(one[-1, 1]) for one in _ends(answer.straight)]
    if not all(math.isfinite(one) for one in last):
        return []
    digits = digits_for((last[2] - last[1]) / size)
    value, low, high = (f"{one / size:+.{digits}f}" for one in last)
    return [
        f"a launch without any yaw, pitch or turning would leave {value} ({low} to {high}) "
        f"{shown.small} up and down at {shown.distance(float(answer.distance[-1]))}: drag, and "
        "the nose, which follows the falling path later with the broadhead"
    ]


def margin_words(answer: "BroadheadAnswer", shown: Shown) -> list[str]:
    """How far behind the balance point the air steers, with either head."""
    size = shown.small_size
    ahead = " (minus: ahead of it)" if float(answer.broadhead_margin.low) < 0.0 else ""
    return [
        f"the air's sideways push acts {_spread(answer.point_margin, size)} {shown.small} behind "
        f"the balance point with the field point, {_spread(answer.broadhead_margin, size)} "
        f"{shown.small} with the broadhead{ahead}: the shorter, the less it is steered"
    ]


def vane_words(rig: "Rig", vanes: "VanesNeeded", shown: Shown) -> list[str]:
    """What other vanes would do."""
    from vireton.studies.broadhead import HIGHEST

    now = rig.fletched.parts.vanes
    assert now is not None
    size, small = shown.small_size, shown.small
    at = shown.distance(vanes.distance)
    lines = [
        f"a nose that turns at 1 rad/s as the arrow leaves moves the field point "
        f"{_spread(vanes.point_per_rate, size)} {small} at {at}, the broadhead "
        f"{_spread(vanes.broadhead_per_rate, size)} {small}"
    ]
    ends = [float(one) for one in _ends(vanes.to_halve)]
    if ends[0] < HIGHEST:
        height = now.height / size
        digits = digits_for((ends[2] - ends[1]) * height)
        low, high = (f"{end * height:.{digits}f}" for end in ends[1:])
        spread = f" ({low} to {high})" if low != high else ""
        lines.append(
            f"vanes {ends[0] * height:.{digits}f} {small}{spread} high instead of "
            f"{height:.{digits}f}, as long as now, would halve what such an error opens "
            "between the two"
        )
    else:
        lines.append(
            f"not even vanes {HIGHEST:.0f} times as high would halve what such an error opens: "
            "take a smaller head"
        )
    left = [100.0 * float(one) for one in (vanes.one_more.low, vanes.one_more.high)]
    lines.append(
        f"{now.count + 1} vanes instead of {now.count} would leave {left[0]:.0f} to "
        f"{left[1]:.0f} % of it"
    )
    if float(vanes.to_match.low) < HIGHEST:
        factor = float(vanes.to_match.nominal)
        words = f"{factor:.1f}" if factor < HIGHEST else f"{HIGHEST:.0f} or more"
        lines.append(f"to answer like the field point now, they had to be {words} times as high")
    else:
        lines.append(
            f"no vane up to {HIGHEST:.0f} times as high makes it answer like the field point "
            "does now"
        )
    return lines
