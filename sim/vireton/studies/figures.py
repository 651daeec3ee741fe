"""The table of figures that set one arrow apart from another.

Everything about a figure stands in its row: how it is read off the shots, its unit and key, its
title, how it is shown and spoken of, and what difference is worth a word.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from vireton.units.display import ENERGY, FAR, MASS, NUMBER, PERCENT, SMALL, SPEED, SPIN, Unit

if TYPE_CHECKING:
    from vireton.studies.arrow_figures import Shots

_AREA = Unit("cm2", 1e-4, ("cm²", 1e-4), ("cm²", 1e-4))
_OF_LENGTH = Unit("of_length", 0.01, ("% of length", 0.01), ("% of length", 0.01))


@dataclass(frozen=True)
class Figure:
    """One figure.

    ``name`` without the unit, which follows it in keys; ``read`` takes it off the shots, SI: a
    number, or (n,) at the distances (``at_distance``); nan where the arrow has no such thing, or
    does not reach the distance. ``words`` say what it is.

    ``least``: a difference below it, SI, nobody could see, and the model is not that good (our
    choice): to be called clear a difference must be beyond it all over its band.

    ``digits`` is the most decimals shown. ``higher`` and ``lower`` say a clear difference, {}
    standing for its size; a row without them is neither told in words nor drawn, for another row
    says the same. ``spoken`` is the unit in words where that is another one. ``two_sided``: it goes
    to either side, and more of it is farther off on its own side.
    """

    name: str
    unit: Unit
    read: "Callable[[Shots], Any]"
    title: str
    words: str
    least: float
    digits: int = 2
    at_distance: bool = False
    higher: str = ""
    lower: str = ""
    spoken: str | None = None
    two_sided: bool = False


FIGURES = (
    Figure("mass", MASS, lambda one: one.arrow.mass, "mass", "fletched",
           least=3e-5, digits=1,  # half a grain
           higher="{} heavier", lower="{} lighter"),
    Figure("foc", PERCENT, lambda one: one.arrow.foc, "FOC", "front of center",
           least=1e-3, digits=1,
           higher="FOC {} higher", lower="FOC {} lower", spoken="points"),
    Figure("launch_speed", SPEED, lambda one: one.speed, "launch speed", "off the string",
           least=0.15, digits=1,  # half a foot per second
           higher="{} faster off the string", lower="{} slower off the string"),
    Figure("drag_area", _AREA, lambda one: one.drag_area(), "drag area",
           "drag ÷ dynamic pressure at launch speed, straight into the air, before it spins",
           least=1e-6, digits=3),
    Figure("drag_coefficient", NUMBER, lambda one: one.drag_area() / one.body.cross_section,
           "drag coefficient", "drag area ÷ the shaft's cross-section", least=0.03,
           higher="drag coefficient {} higher", lower="drag coefficient {} lower"),
    Figure("spinning_drag_coefficient", NUMBER,
           lambda one: one.drag_area(one.spin) / one.body.cross_section,
           "drag coefficient, spinning", "the same at its steady spin", least=0.03),
    Figure("static_margin", SMALL, lambda one: one.margin,
           "center of pressure behind balance point",
           "center of pressure behind the balance point, at small yaw",
           least=2e-3,
           higher="center of pressure {} farther behind the balance point",
           lower="center of pressure {} less behind the balance point"),
    Figure("static_margin_percent", _OF_LENGTH, lambda one: one.margin / one.arrow.parts.length,
           "center of pressure behind balance point", "the same ÷ the arrow's length",
           least=2e-3, digits=1),
    Figure("yaw_wavelength", FAR, lambda one: one.swing.wavelength,
           "length of one swing", "at small yaw and steady spin", least=0.2,
           higher="each swing {} longer", lower="each swing {} shorter"),
    Figure("settling_distance", FAR, lambda one: one.settling,
           "settled after", "until the swing from a launch yaw of 1° is below a tenth of it",
           least=1.0, digits=0,
           higher="settles {} later", lower="settles {} sooner"),
    Figure("steady_spin", SPIN, lambda one: abs(one.spin),
           "steady spin", "either way, at launch speed",
           least=3.0, digits=1,  # half a turn per second
           higher="spins {} faster", lower="spins {} slower"),
    Figure("spin_up_distance", FAR, lambda one: one.spin_up,
           "spun up after", "until it has nine tenths of the steady turns per yard",
           least=0.25, digits=1,
           higher="spun up {} later", lower="spun up {} sooner"),
    Figure("bare_separation_20yd", SMALL, lambda one: one.bare_separation,
           "crooked launch, bare",
           "bare shaft moved to the right of the fletched arrow by 0.1 rad/s of nose right",
           least=5e-4,
           higher="a crooked launch parts bare and fletched by {} more at 20 yd",
           lower="a crooked launch parts bare and fletched by {} less at 20 yd",
           two_sided=True),
    Figure("speed", SPEED, lambda one: one.still.speed, "speed", "there",
           least=0.15, digits=1, at_distance=True,
           higher="{} faster", lower="{} slower"),
    Figure("kinetic_energy", ENERGY, lambda one: one.energy, "energy", "there",
           least=0.3, digits=1, at_distance=True,  # a quarter of a foot-pound
           higher="{} more energy", lower="{} less energy"),
    Figure("drop", SMALL, lambda one: -one.still.up, "drop", "below the bore line",
           least=2.5e-3, at_distance=True,  # a tenth of an inch
           higher="hits {} lower", lower="hits {} higher"),
    Figure("drift", SMALL, lambda one: one.still.right - one.windy.right,
           "wind drift", "down a crosswind of 10 mph out of 3 o'clock, against still air",
           least=2.5e-3, at_distance=True,
           higher="{} more wind drift", lower="{} less wind drift", two_sided=True),
    Figure("yaw_rate_shift", SMALL, lambda one: one.turned,
           "crooked launch", "moved to the right by 0.1 rad/s of nose right",
           least=5e-4, at_distance=True,
           higher="a crooked launch moves it {} more", lower="a crooked launch moves it {} less",
           two_sided=True),
)  # fmt: skip

BY_NAME = {one.name: one for one in FIGURES}
