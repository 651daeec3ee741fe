"""Yaw wavelength and damping do not depend on speed (James and Potts 2018), arrow and dart."""

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from matplotlib.figure import Figure

from vireton.bow.arrow import Arrow, assemble
from vireton.bow.parts import ArrowParts, Insert, Nock, Point, Shaft, Vanes
from vireton.flight.air import standard
from vireton.flight.flight import Conditions, fly_prepared, prepare
from vireton.flight.volley import Aim
from vireton.kernel.arrays import FloatArray
from vireton.launch import Launch
from vireton.plots.style import NORMAL, PAGE_HEIGHT, PAGE_WIDTH, STROKES, foot, head, our_look
from vireton.published.checks import CaseData
from vireton.setup import load_setup

DEMO = Path(__file__).parent.parent.parent / "examples" / "mill_bow.toml"


@dataclass(frozen=True)
class Swing:
    """One swing in yaw: ``wavelength`` m along the path, ``damping`` ratio to critical."""

    wavelength: float
    damping: float


def yaw_along(arrow: Arrow, speed: float, yaw: float, distance: FloatArray) -> FloatArray:
    """Yaw, rad, at these distances after a launch with this yaw and no yaw rate.

    Without gravity, so that the distance is that along the path: a slow dart's path falls away.
    """
    launch = Launch(speed, yaw=yaw)
    body = prepare(arrow, speed, Conditions(standard(0.0)))._replace(gravity_up=0.0)
    return fly_prepared(arrow, body, launch, distance, Aim(), 0.0).yaw


def swing(distance: FloatArray, yaw: FloatArray) -> Swing:
    """Wavelength from the first and third zero; damping from the two extremes between them.

    A half wave shrinks by exp(−πζ/√(1 − ζ²)), ζ the damping ratio (any text on vibration).
    """
    change = np.flatnonzero(np.sign(yaw[1:]) != np.sign(yaw[:-1]))[:3]
    first, second, third = change
    zeros = [
        distance[i] - yaw[i] * (distance[i + 1] - distance[i]) / (yaw[i + 1] - yaw[i])
        for i in change
    ]
    one = np.abs(yaw[first:second]).max()
    other = np.abs(yaw[second:third]).max()
    decrement = math.log(one / other)
    return Swing(float(zeros[2] - zeros[0]), decrement / math.hypot(math.pi, decrement))


def build_dart(given: dict[str, Any]) -> Arrow:
    """The assumed dart: its barrel is the insert at the front of a thin shaft."""
    return assemble(
        ArrowParts(
            name="dart",
            length=given["length"],
            nock=Nock(**given["nock"]),
            shaft=Shaft(**given["shaft"]),
            insert=Insert(**given["barrel"]),
            point=Point(**given["point"], shape="streamlined"),
            vanes=Vanes(**given["flights"]),
        )
    )


def reproduce(data: CaseData) -> dict[str, float]:
    given = data.data
    yaw = math.radians(given["yaw_degrees"])
    arrow = assemble(load_setup(DEMO).parts)
    away = np.arange(1.0, 60.0, 0.02)
    middle, slow, fast = (
        swing(away, yaw_along(arrow, speed, yaw, away)) for speed in given["arrow_speeds"]
    )
    near = np.arange(0.2, 6.0, 0.002)
    dart = build_dart(given["dart"])
    thrown, gentle, hard = (
        swing(near, yaw_along(dart, speed, yaw, near)) for speed in given["dart_speeds"]
    )
    return {
        "arrow_wavelength_slow": slow.wavelength / middle.wavelength,
        "arrow_wavelength_fast": fast.wavelength / middle.wavelength,
        "arrow_damping_slow": slow.damping / middle.damping,
        "arrow_damping_fast": fast.damping / middle.damping,
        "dart_wavelength": thrown.wavelength,
        "dart_wavelength_slow": gentle.wavelength / thrown.wavelength,
        "dart_wavelength_fast": hard.wavelength / thrown.wavelength,
        "dart_damping_slow": gentle.damping / thrown.damping,
        "dart_damping_fast": hard.damping / thrown.damping,
    }


def figures(data: CaseData) -> dict[str, Figure]:
    """Yaw along the path at several speeds: arrow above, dart below; the curves should coincide."""
    given = data.data
    arrow, dart = assemble(load_setup(DEMO).parts), build_dart(given["dart"])
    panels = (
        ("Demo arrow", arrow, np.arange(1.0, 60.0, 0.1), sorted(given["arrow_speeds"])),
        ("Assumed dart", dart, np.arange(0.2, 8.0, 0.02), sorted(given["dart_speeds"])),
    )
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        top = head(
            figure,
            "The swing of an arrow and of a dart at several speeds",
            "Yaw against the path, without gravity, after the same yaw at launch. Where the swing "
            "does not depend on speed the curves lie on each other.",
        )
        bottom = foot(figure, [data.assumed])
        grid = figure.add_gridspec(
            2, 1, left=0.11, right=0.97, top=top - 0.03, bottom=bottom + 0.06, hspace=0.24
        )
        for row, (name, body, away, speeds) in enumerate(panels):
            axes = figure.add_subplot(grid[row, 0])
            for speed, stroke in zip(speeds, STROKES, strict=False):
                yaw = yaw_along(body, speed, math.radians(given["yaw_degrees"]), away)
                axes.plot(away, np.degrees(yaw), label=f"{speed:.0f} m/s", **stroke.line)
            axes.set_title(name, loc="left", fontsize=NORMAL)
            axes.set_xlim(0.0, float(away[-1]))
            axes.set_ylabel("yaw, + nose right (deg)")
            axes.set_xlabel("distance along the path (m)")
            axes.grid(True)
            axes.legend(loc="upper right", framealpha=1.0, handlelength=3.4)
    return {"yaw_swing": figure}
