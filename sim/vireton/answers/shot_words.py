"""What a shot changes about its setup, in the words of a picture's title."""

from collections.abc import Mapping
from typing import Any

from vireton.units.display import WIND, Display
from vireton.units.move_names import MOVE_SIDES, sides
from vireton.units.numbers import DEGREE
from vireton.units.spelling import tidy

_LAUNCH = (
    ("yaw", "{}° {}", DEGREE, ("right", "left"), "straight"),
    ("pitch", "{}° {}", DEGREE, ("up", "down"), "level"),
    ("yaw_rate", "turning {1} at {0} rad/s", 1.0, ("right", "left"), "not turning sideways"),
    ("pitch_rate", "turning {1} at {0} rad/s", 1.0, ("up", "down"), "not turning up or down"),
)
_STANCE = (
    ("slope", "{}° {}", DEGREE, ("uphill", "downhill"), ""),
    ("cant", "bow canted {}° {}", DEGREE, ("right", "left"), ""),
)


def _told(rows: Any, changed: Mapping[str, Any]) -> list[str]:
    found = []
    for name, words, size, (more, less), none in rows:
        value = changed.get(name)
        if value:
            found.append(words.format(f"{abs(value) / size:.3g}", more if value > 0.0 else less))
        elif value is not None and none:
            found.append(none)
    return found


def shot_words(
    right: float, up: float, changed: Mapping[str, Any], display: Display, otherwise: str = ""
) -> str:
    """``"rest up 1/32 in; nose straight, turning right at 0.5 rad/s"``; else ``otherwise``.

    Args:
        right: m the rest is moved, archer's right.
        up: m.
        changed: as in :func:`vireton.answers.shot.rig_for`; None and what is missing is the
            setup's own.
        display: whose units are said.
        otherwise: said where nothing is changed.
    """
    found = []
    if move := ", ".join(sides((tidy(right), tidy(up)), MOVE_SIDES, display.name)):
        found.append(f"rest {move}")
    if nose := ", ".join(_told(_LAUNCH, changed)):
        found.append(f"nose {nose}")
    found += _told(_STANCE, changed)
    if wind := changed.get("wind"):
        unit, size = display.unit(WIND)
        found.append(f"wind {wind[0] / size:.3g} {unit} from {wind[1]:g} o'clock")
    return "; ".join(found) or otherwise
