"""The lines above every table: which bow, which arrow, measured from where, how sure."""

from vireton.answers.arrow import FOOT_POUND, SLUG, arrow_json, broadhead_json
from vireton.bow.arrow import (
    GRAIN,
    POUND_FORCE,
    grains_per_pound,
    kinetic_energy,
    momentum,
)
from vireton.rig import Rig
from vireton_cli.showing import Shown

__all__ = [
    "arrow_facts",
    "arrow_json",
    "broadhead_heading",
    "broadhead_json",
    "heading",
]


def arrow_facts(rig: Rig, shown: Shown) -> tuple[str, str]:
    """Bow and arrow, a line each."""
    bow, arrow = rig.bow, rig.fletched
    energy = kinetic_energy(arrow.mass, bow.arrow_speed)
    push = momentum(arrow.mass, bow.arrow_speed)
    if shown.small == "in":
        return (
            f"{bow.name}, {bow.draw_weight / POUND_FORCE:.0f} lbf: {bow.arrow_speed / 0.3048:.0f} "
            f"fps, {energy / FOOT_POUND:.1f} ft·lbf, {push / SLUG / 0.3048:.3f} slug·ft/s",
            f"{arrow.parts.name}: {arrow.mass / GRAIN:.0f} gr fletched, "
            f"{rig.bare.mass / GRAIN:.0f} gr bare, FOC {arrow.foc * 100:.1f} %, "
            f"{grains_per_pound(arrow.mass, bow.draw_weight):.1f} gr/lbf",
        )
    return (
        f"{bow.name}, {bow.draw_weight:.0f} N: {bow.arrow_speed:.1f} m/s, {energy:.0f} J, "
        f"{push:.2f} kg·m/s",
        f"{arrow.parts.name}: {arrow.mass * 1e3:.1f} g fletched, {rig.bare.mass * 1e3:.1f} g "
        f"bare, FOC {arrow.foc * 100:.1f} %, "
        f"{grains_per_pound(arrow.mass, bow.draw_weight):.1f} gr/lbf",
    )


def heading(rig: Rig, shown: Shown, draws: int) -> list[str]:
    """Bow, arrow and reference in a few lines."""
    if rig.sight.sight_in is None:
        measured = "impacts from the bore line (no sight-in): right and up positive"
    else:
        measured = (
            f"impacts from the line of sight, sighted in at "
            f"{shown.distance(rig.sight.sight_in)}: right and up positive"
        )
    band = (
        f"in brackets: 9 of 10 of {draws} plausible bows (see [uncertainty] in the setup file); "
        "shot scatter comes on top"
    )
    return [*arrow_facts(rig, shown), measured, band]


def broadhead_heading(rig: Rig, shown: Shown) -> list[str]:
    """The broadhead and the arrow with it in a line; none without one."""
    arrow = rig.broadhead
    if arrow is None or arrow.parts.point.blades is None:
        return []
    blades = arrow.parts.point.blades
    mass = f"{arrow.mass / GRAIN:.0f} gr"
    if shown.small != "in":
        mass = f"{arrow.mass * 1e3:.1f} g"
    across = blades.cutting_diameter / shown.small_size
    return [
        f"with the broadhead: {mass}, FOC {arrow.foc * 100:.1f} %, {blades.count} blades "
        f"{across:.2f} {shown.small} across"
    ]
