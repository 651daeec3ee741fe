"""The power stroke: from full draw to the moment the nock leaves the string.

``draw_force`` is the push along the bore line. ``stroke`` is the motion across of a rigid shaft
on a string that gives; ``beam`` the arrow as a bending beam, ``bending`` its motion. ``planes``
runs one plane of a shot, ``release`` puts both together: direction, yaw and their rates.
"""

from vireton.launch.release import (
    Launch,
    PowerStroke,
    column_load_share,
    power_stroke,
    release,
    speed_on_bow,
)

__all__ = [
    "Launch",
    "PowerStroke",
    "column_load_share",
    "power_stroke",
    "release",
    "speed_on_bow",
]
