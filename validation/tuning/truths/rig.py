"""The demo rigs' numbers as the truths see them, read without the library.

Only what stands in the two demo setup files is understood; what they leave out has a plain default.
"""

import math
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

INCH, GRAIN = 0.0254, 6.479891e-5
_UNITS = {
    "in": INCH,
    "mm": 1e-3,
    "cm": 1e-2,
    "m": 1.0,
    "ft": 12.0 * INCH,
    "yd": 36.0 * INCH,
    "gr": GRAIN,
    "g": 1e-3,
    "gr/in": GRAIN / INCH,
    "lbf": 4.4482216152605,
    "fps": 0.3048,
    "m/s": 1.0,
    "deg": math.pi / 180.0,
    "%": 0.01,
}


def number(text: str) -> float:
    """SI from "28 1/2 in", "9.6 gr/in", "80 %"."""
    *parts, unit = text.split()
    total = 0.0
    for part in parts:
        above, _, below = part.partition("/")
        total += float(above) / float(below or 1)
    return total * _UNITS[unit]


@dataclass(frozen=True)
class Part:
    """Mass kg; from and to, m forward of the nock throat; how far from the axis it is, m."""

    mass: float
    start: float
    end: float
    radius: float


@dataclass(frozen=True)
class Rig:
    """SI; ``parts`` without the vanes, which are ``vanes``."""

    holding: float
    stroke: float
    speed: float
    draw_weight: float
    drop_away: bool
    lets_go: float
    ahead: float
    length: float
    stiffness: float
    radius: float
    tip: float
    parts: tuple[Part, ...]
    vanes: Part
    vane_count: int
    vane_length: float
    vane_height: float
    vane_fill: float
    vane_offset: float
    streamlined: bool


def mass_balance_inertia(parts: tuple[Part, ...]) -> tuple[float, float, float, float]:
    """kg, m from the throat, kg·m² across about the balance point, kg·m² about the axis."""
    mass = sum(p.mass for p in parts)
    balance = sum(p.mass * 0.5 * (p.start + p.end) for p in parts) / mass
    across = sum(
        p.mass * ((p.end - p.start) ** 2 / 12.0 + (0.5 * (p.start + p.end) - balance) ** 2)
        for p in parts
    )
    return mass, balance, across, sum(p.mass * p.radius**2 for p in parts)


def read(path: Path) -> Rig:
    """The rig of a demo setup file."""
    data: dict[str, Any] = tomllib.loads(path.read_text(encoding="utf-8"))
    bow, arrow = data["bow"], data["arrow"]
    shaft, point, vanes = arrow["shaft"], arrow["point"], arrow["vanes"]
    length, throat = number(arrow["length"]), number(arrow["nock"]["throat_to_shaft"])
    outer, inner = number(shaft["outside_diameter"]) / 2, number(shaft["inside_diameter"]) / 2
    tube = number(shaft["mass_per_length"]) * (length - throat)
    beyond = number(point["length"])
    parts = [
        Part(tube, throat, length, math.sqrt(0.5 * (outer**2 + inner**2))),
        Part(number(arrow["nock"]["mass"]), 0.0, throat, inner / math.sqrt(2.0)),
        # a point's shank reaches back into the shaft: a third of what shows ahead of its end
        Part(number(point["mass"]), length - 0.2 * beyond, length + 0.8 * beyond, 0.7 * outer),
    ]
    if "insert" in arrow:
        insert = arrow["insert"]
        start = length - number(insert["length"])
        parts.append(Part(number(insert["mass"]), start, length, inner / math.sqrt(2.0)))
    if "wrap" in arrow:
        wrap = arrow["wrap"]
        parts.append(Part(number(wrap["mass"]), throat, throat + number(wrap["length"]), outer))
    rear, long, high = (number(vanes[key]) for key in ("rear_from_throat", "length", "height"))
    fill = {"parabola": 0.68, "triangle": 0.55}[vanes["outline"]]
    ring = Part(vanes["count"] * number(vanes["mass"]), rear, rear + long, outer + 0.4 * high)
    sign = 1.0 if vanes.get("turn", "right") == "right" else -1.0
    # a beam of 28 in between supports under 1.94 lbf at its middle (ASTM F2031)
    stiffness = 1.94 * _UNITS["lbf"] * (28.0 * INCH) ** 3 / (48.0 * number(shaft["spine"]))
    return Rig(
        holding=1.0 - number(bow["let_off"]),
        stroke=number(bow["draw_length"]) - 1.75 * INCH - number(bow["brace_height"]),
        speed=number(bow["arrow_speed"]),
        draw_weight=number(bow["draw_weight"]),
        drop_away=bow["rest"]["type"] == "drop-away",
        lets_go=number(bow["rest"]["lets_go"]),
        ahead=number(bow["rest"]["ahead_of_string"]),
        length=length,
        stiffness=stiffness,
        radius=outer,
        tip=length + beyond,
        parts=tuple(parts),
        vanes=ring,
        vane_count=int(vanes["count"]),
        vane_length=long,
        vane_height=high,
        vane_fill=fill,
        vane_offset=sign * number(vanes["offset"]),
        streamlined=point["shape"] == "streamlined",
    )
