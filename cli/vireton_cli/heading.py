"""The lines above every table: which bow, which arrow, measured from where, how sure."""

from vireton.arrow import (
    GRAIN,
    POUND_FORCE,
    grains_per_pound,
    kinetic_energy,
    momentum,
)
from vireton.rig import Rig
from vireton_cli.showing import Shown

_FOOT_POUND = 1.3558179483314004
_SLUG = 14.593902937206365


def arrow_facts(rig: Rig, shown: Shown) -> tuple[str, str]:
    """Bow and arrow, a line each."""
    bow, arrow = rig.bow, rig.fletched
    energy = kinetic_energy(arrow.mass, bow.arrow_speed)
    push = momentum(arrow.mass, bow.arrow_speed)
    if shown.small == "in":
        return (
            f"{bow.name}, {bow.draw_weight / POUND_FORCE:.0f} lbf: {bow.arrow_speed / 0.3048:.0f} "
            f"fps, {energy / _FOOT_POUND:.1f} ft·lbf, {push / _SLUG / 0.3048:.3f} slug·ft/s",
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


def broadhead_json(rig: Rig) -> dict[str, float | None]:
    """The ``broadhead`` object of the JSON output: the arrow with it; empty without one."""
    arrow = rig.broadhead
    if arrow is None or arrow.parts.point.blades is None:
        return {}
    return {
        "blades": arrow.parts.point.blades.count,
        "cutting_diameter_in": arrow.parts.point.blades.cutting_diameter / 0.0254,
        "mass_grains": arrow.mass / GRAIN,
        "balance_in": arrow.balance / 0.0254,
        "foc_percent": arrow.foc * 100.0,
        "transverse_inertia_kg_m2": arrow.transverse_inertia,
        "axial_inertia_kg_m2": arrow.axial_inertia,
        "launch_speed_fps": rig.stroke.speed_of(arrow.mass) / 0.3048,
    }


def arrow_json(rig: Rig) -> dict[str, float | str | None]:
    """The ``arrow`` object of the JSON output."""
    arrow, bow = rig.fletched, rig.bow
    return {
        "name": arrow.parts.name,
        "mass_grains": arrow.mass / GRAIN,
        "bare_mass_grains": rig.bare.mass / GRAIN,
        "balance_in": arrow.balance / 0.0254,
        "foc_percent": arrow.foc * 100.0,
        "transverse_inertia_kg_m2": arrow.transverse_inertia,
        "axial_inertia_kg_m2": arrow.axial_inertia,
        "bending_stiffness_n_m2": arrow.stiffness,
        "launch_speed_fps": bow.arrow_speed / 0.3048,
        "kinetic_energy_ft_lbf": kinetic_energy(arrow.mass, bow.arrow_speed) / _FOOT_POUND,
        "momentum_slug_ft_s": momentum(arrow.mass, bow.arrow_speed) / _SLUG / 0.3048,
        "grains_per_pound": grains_per_pound(arrow.mass, bow.draw_weight),
    }
