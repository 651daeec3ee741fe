"""The power stroke: from full draw to the moment the nock leaves the string.

``draw_force`` is the push along the bore line, ``stroke`` the sideways dynamics of a rigid shaft on
a string that gives, ``release`` what comes out: direction, yaw and their rates.
"""

from vireton.launch.release import Launch, PowerStroke, power_stroke, release

__all__ = ["Launch", "PowerStroke", "power_stroke", "release"]
