"""Drag and speed loss of arrows with straight vanes (Ortiz et al. 2020), and the drag figure."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from vireton.aerodynamics.body import axial_drag_areas
from vireton.bow.arrow import Arrow, assemble
from vireton.flight.air import standard
from vireton.flight.flight import Conditions, fly
from vireton.flight.packing import pack
from vireton.flight.sighting import sight_in
from vireton.launch import Launch
from vireton.plots.style import (
    NORMAL,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    PAPER,
    SMALL,
    STROKES,
    Stroke,
    foot,
    head,
    our_look,
)
from vireton.published.checks import CaseData, assumed_arrow, load_case

AIR = standard(0.0)

#: Transition on the length that leaves the layer laminar, or turbulent, from end to end.
STATES = {"laminar": 1e12, "turbulent": 1.0}
REYNOLDS = np.linspace(5e3, 3e4, 60)  # of the figure
PARTS = ("skin friction", "vanes", "point", "base")


@dataclass(frozen=True)
class PublishedPoint:
    """A check of this or a neighboring case as a point of the figure."""

    folder: str
    check: str
    state: str
    reynolds: float
    note: str = ""
    and_above: bool = False


POINTS = (
    PublishedPoint("ortiz_et_al_2020", "cd_short", "laminar", 1.2e4, ", short vanes"),
    PublishedPoint("ortiz_et_al_2020", "cd_large", "laminar", 1.2e4, ", large vanes"),
    PublishedPoint("kakenhi_18k03943_2020", "laminar", "laminar", 2e4),
    PublishedPoint("miyazaki_et_al_2013", "tunnel_laminar", "laminar", 1e4, and_above=True),
    PublishedPoint("kakenhi_18k03943_2020", "turbulent", "turbulent", 2e4),
    PublishedPoint(
        "miyazaki_et_al_2013", "flight_bluff", "turbulent", 1.2e4, ", bluff point", and_above=True
    ),
)


def drag_parts(
    arrow: Arrow, reynolds: float, transition_reynolds: float | None = None
) -> tuple[float, float, float, float]:
    """CD of friction, point, base and vanes at this Reynolds number on the diameter, no angle.

    ``transition_reynolds`` on the length replaces that of the arrow's point.
    """
    speed = reynolds * AIR.kinematic_viscosity / arrow.parts.shaft.outside_diameter
    body = pack(arrow, AIR, speed)
    if transition_reynolds is not None:
        body = body._replace(transition_reynolds=transition_reynolds)
    friction, point, base, vanes, *_ = axial_drag_areas(body, speed, 0.0)
    section = body.cross_section
    return friction / section, point / section, base / section, vanes / section


def speed_loss(arrow: Arrow, speed: float, distance: float) -> float:
    """Share of its speed that a level shot loses, %."""
    conditions = Conditions(AIR)
    launch = Launch(speed)
    aim = sight_in(arrow, launch, conditions, distance, 0.0, 0.0)
    there = fly(arrow, launch, conditions, [distance], aim=aim)
    return 100.0 * (1.0 - float(there.speed[0]) / speed)


def reproduce(data: CaseData) -> dict[str, float]:
    given = data.data
    short, large = (
        assumed_arrow(given, vanes="vanes_short"),
        assumed_arrow(given, vanes="vanes_large"),
    )
    cd_short = sum(drag_parts(short, given["reynolds_tunnel"]))
    cd_large = sum(drag_parts(large, given["reynolds_tunnel"]))
    body = pack(short, AIR, given["flight_speed"])
    return {
        "cd_short": cd_short,
        "cd_large": cd_large,
        "vane_effect": cd_large - cd_short,
        "speed_loss": speed_loss(short, given["flight_speed"], given["flight_distance"]),
        "transition": 1e-4 * body.transition_reynolds * body.diameter / body.wetted_length,
    }


def figures(data: CaseData) -> dict[str, Figure]:
    """Our CD over Re, part by part, laminar above and turbulent below, with published points."""
    given = data.data
    short, large = (
        assumed_arrow(given, vanes="vanes_short"),
        assumed_arrow(given, vanes="vanes_large"),
    )
    point = replace(short.parts.point, shape="blunt")
    blunt = assemble(replace(short.parts, point=point))
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, PAGE_HEIGHT))
        top = head(
            figure,
            "Drag of an arrow along its shaft",
            "CD on the shaft's cross-section of the assumed arrow, short vanes, streamlined point, "
            "part on part, at no angle to the air. Markers: published values at their Reynolds "
            "number; bars: the limits set before the run; arrows: published for this Re and above.",
        )
        bottom = foot(figure, [data.assumed])
        grid = figure.add_gridspec(
            2, 1, left=0.11, right=0.97, top=top - 0.03, bottom=bottom + 0.06, hspace=0.16
        )
        for row, (state, transition) in enumerate(STATES.items()):
            axes = figure.add_subplot(grid[row, 0])
            _draw_parts(axes, short, transition)
            _draw_total(axes, large, transition, "total, large vanes", STROKES[1])
            if state == "laminar":
                _draw_total(axes, short, None, "total, our transition", STROKES[3])
            else:
                _draw_total(axes, blunt, transition, "total, blunt point", STROKES[6])
            _draw_published(axes, state)
            axes.set_title(f"{state.capitalize()} boundary layer", loc="left", fontsize=NORMAL)
            axes.legend(
                loc="upper right", fontsize=SMALL, ncols=2, framealpha=1.0, handlelength=3.4
            )
        axes.set_xlabel("Reynolds number on the shaft's diameter (10⁴)")
    return {"arrow_drag": figure}


def _draw_parts(axes: Axes, arrow: Arrow, transition: float) -> None:
    """The four parts, one on the other."""
    parts = np.array([drag_parts(arrow, float(one), transition) for one in REYNOLDS])
    below = np.zeros(REYNOLDS.size)
    for name, column, stroke in zip(PARTS, (0, 3, 1, 2), STROKES, strict=False):
        above = below + parts[:, column]
        axes.fill_between(
            REYNOLDS / 1e4, below, above, facecolor=PAPER, edgecolor=stroke.color,
            hatch=stroke.hatch, linewidth=0.8, label=name,
        )  # fmt: skip
        below = above
    axes.set_xlim(0.5, 3.0)
    axes.set_ylim(0.0, 5.5)
    axes.set_ylabel("CD on the shaft's cross-section (1)")
    axes.grid(True)


def _draw_total(
    axes: Axes, arrow: Arrow, transition: float | None, label: str, stroke: Stroke
) -> None:
    total = [sum(drag_parts(arrow, float(one), transition)) for one in REYNOLDS]
    axes.plot(REYNOLDS / 1e4, total, label=label, **stroke.line)


def _draw_published(axes: Axes, state: str) -> None:
    """Published values of this state of the layer, from this case and its neighbors."""
    published = [point for point in POINTS if point.state == state]
    for point, stroke in zip(published, STROKES[2:], strict=False):
        case = load_case(Path(__file__).parent.parent / point.folder).data
        check = next(one for one in case.check if one.id == point.check)
        axes.errorbar(
            point.reynolds / 1e4, check.published, yerr=check.limit, capsize=3.0, zorder=5,
            ecolor=stroke.color, label=f"{case.source}{point.note}", **stroke.spot,
        )  # fmt: skip
        if point.and_above:
            axes.annotate(
                "", xy=(point.reynolds / 1e4 + 0.28, check.published),
                xytext=(point.reynolds / 1e4 + 0.03, check.published), zorder=4,
                arrowprops={"arrowstyle": "->", "color": stroke.color},
            )  # fmt: skip
