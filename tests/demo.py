"""The invented demo bow and arrow in SI units, for tests. No real maker's numbers."""

import math
from dataclasses import replace

from vireton.bow.bow import Bow, Rest, Sight
from vireton.bow.parts import ArrowParts, Insert, Nock, Point, Shaft, Vanes
from vireton.flight.air import standard
from vireton.flight.flight import Conditions
from vireton.rig import Rig, assemble_rig

GRAIN = 6.479891e-5
INCH = 0.0254
YARD = 0.9144
FPS = 0.3048
POUND = 4.4482216152605

MAPLE = ArrowParts(
    name="Maple 340",
    length=28.5 * INCH,
    nock=Nock(9 * GRAIN, 0.35 * INCH),
    shaft=Shaft(28.15 * INCH, 0.246 * INCH, 0.204 * INCH, 9.6 * GRAIN / INCH, 0.34 * INCH),
    insert=Insert(16 * GRAIN, 0.9 * INCH),
    point=Point(100 * GRAIN, 0.8 * INCH, "field"),
    vanes=Vanes(3, 2 * INCH, 0.5 * INCH, 0.8e-3, 6.5 * GRAIN, 1.1 * INCH, math.radians(1.5)),
)
MILL = Bow(
    name="Mill bow",
    draw_weight=60 * POUND,
    let_off=0.8,
    draw_length=29 * INCH,
    brace_height=6.5 * INCH,
    arrow_speed=280 * FPS,
    rest=Rest("drop-away", 0.45, 6.5 * INCH),
    string_mass=0.010,
)
AIR = standard(150.0)
CONDITIONS = Conditions(AIR)
SIGHT = Sight(20 * YARD, 3.5 * INCH)
RANGES = {
    "rest_lets_go": (0.3, 0.6),
    "string_mass": (0.006, 0.016),
    "cam_stiffness": (1000.0, 100_000.0),
    "arrow_speed": (278 * FPS, 282 * FPS),
    "rest_stiffness": (2000.0, 12_000.0),
    "shaft_damping": (0.005, 0.03),
    "shaft_stiffness": (0.93, 1.07),
    "crossflow_drag": (0.75, 1.25),
    "crossflow_growth": (0.05, 2.0),
    "friction_across": (0.5, 2.0),
    "vane_lift": (0.8, 1.2),
    "vortex_lift": (0.4, 1.4),
    "boundary_layer": (0.8, 1.2),
    "friction": (0.85, 1.15),
    "point_lift": (0.7, 1.3),
    "transition": (0.6, 1.6),
    "cam_mass": (0.1, 0.4),
    "draw_force_rise": (0.15, 0.40),
    "brace_tension": (1.0, 2.0),
}


def mill_rig(sight: Sight = SIGHT, conditions: Conditions = CONDITIONS, **changes: object) -> Rig:
    """The demo bow with Maple 340, sighted in at 20 yd; ``changes`` replace fields of the bow."""
    return assemble_rig(replace(MILL, **changes), MAPLE, conditions, sight)
