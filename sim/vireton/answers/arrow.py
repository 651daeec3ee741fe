"""What every answer says of the bow and the arrow that it is about."""

from typing import TYPE_CHECKING, Any

from vireton.answers.table import Column, json_row
from vireton.units.display import ENERGY, MASS, SMALL, SPEED, Display, Unit
from vireton.units.numbers import FOOT, GRAIN

if TYPE_CHECKING:
    from vireton.rig import Rig

FOOT_POUND = ENERGY.size
SLUG = 14.593902937206365

_PERCENT = Unit("percent", 1.0, ("%", 1.0), ("%", 1.0))
_INERTIA = Unit("kg_m2", 1.0, ("kg·m²", 1.0), ("kg·m²", 1.0))
_MOMENTUM = Unit("slug_ft_s", SLUG * FOOT, ("slug·ft/s", SLUG * FOOT), ("kg·m/s", 1.0))
_BALANCE = (
    Column("balance", SMALL, words="balance point from the nock's throat", exact=True),
    Column("foc", _PERCENT, words="front of center, ATA/AMO definition", exact=True),
    Column("transverse_inertia", _INERTIA, words="about the balance point", exact=True),
    Column("axial_inertia", _INERTIA, words="about the shaft's axis", exact=True),
)

#: The ``arrow`` object of the JSON.
ARROW = (
    Column("name"),
    Column("mass", MASS, words="fletched", exact=True),
    Column("bare_mass", MASS, words="without vanes", exact=True),
    *_BALANCE,
    Column("bending_stiffness", Unit("n_m2", 1.0, ("N·m²", 1.0), ("N·m²", 1.0)), exact=True),
    Column("launch_speed", SPEED, exact=True),
    Column("kinetic_energy", ENERGY, words="at the bow", exact=True),
    Column("momentum", _MOMENTUM, words="at the bow", exact=True),
    Column("grains_per_pound", words="arrow mass over draw weight, gr/lbf", exact=True),
)
#: The ``broadhead`` object of the JSON: the arrow with it.
BROADHEAD = (
    Column("blades"),
    Column("cutting_diameter", SMALL, exact=True),
    Column("mass", MASS, exact=True),
    *_BALANCE,
    Column("launch_speed", SPEED, exact=True),
)


def arrow_json(rig: "Rig") -> dict[str, Any]:
    """The arrow as bow and scale know it."""
    from vireton.bow.arrow import grains_per_pound, kinetic_energy, momentum

    arrow, bow = rig.fletched, rig.bow
    return json_row(
        ARROW,
        {
            "name": arrow.parts.name,
            "mass": arrow.mass,
            "bare_mass": rig.bare.mass,
            "balance": arrow.balance,
            "foc": arrow.foc * 100.0,
            "transverse_inertia": arrow.transverse_inertia,
            "axial_inertia": arrow.axial_inertia,
            "bending_stiffness": arrow.stiffness,
            "launch_speed": bow.arrow_speed,
            "kinetic_energy": kinetic_energy(arrow.mass, bow.arrow_speed),
            "momentum": momentum(arrow.mass, bow.arrow_speed),
            "grains_per_pound": grains_per_pound(arrow.mass, bow.draw_weight),
        },
    )


def broadhead_json(rig: "Rig") -> dict[str, Any]:
    """The arrow with its broadhead; empty without one."""
    arrow = rig.broadhead
    if arrow is None or arrow.parts.point.blades is None:
        return {}
    return json_row(
        BROADHEAD,
        {
            "blades": arrow.parts.point.blades.count,
            "cutting_diameter": arrow.parts.point.blades.cutting_diameter,
            "mass": arrow.mass,
            "balance": arrow.balance,
            "foc": arrow.foc * 100.0,
            "transverse_inertia": arrow.transverse_inertia,
            "axial_inertia": arrow.axial_inertia,
            "launch_speed": rig.stroke.speed_of(arrow.mass),
        },
    )


def arrow_facts(rig: "Rig", display: Display) -> list[str]:
    """Bow and arrow, a line each."""
    from vireton.bow.arrow import POUND_FORCE, grains_per_pound, kinetic_energy, momentum

    bow, arrow = rig.bow, rig.fletched
    energy = kinetic_energy(arrow.mass, bow.arrow_speed)
    push = momentum(arrow.mass, bow.arrow_speed)
    per_pound = f"{grains_per_pound(arrow.mass, bow.draw_weight):.1f} gr/lbf"
    if display.name == "us":
        return [
            f"{bow.name}, {bow.draw_weight / POUND_FORCE:.0f} lbf: {bow.arrow_speed / FOOT:.0f} "
            f"fps, {energy / ENERGY.size:.1f} ft·lbf, {push / SLUG / FOOT:.3f} slug·ft/s",
            f"{arrow.parts.name}: {arrow.mass / GRAIN:.0f} gr fletched, "
            f"{rig.bare.mass / GRAIN:.0f} gr bare, FOC {arrow.foc * 100:.1f} %, {per_pound}",
        ]
    return [
        f"{bow.name}, {bow.draw_weight:.0f} N: {bow.arrow_speed:.1f} m/s, {energy:.0f} J, "
        f"{push:.2f} kg·m/s",
        f"{arrow.parts.name}: {arrow.mass * 1e3:.1f} g fletched, {rig.bare.mass * 1e3:.1f} g "
        f"bare, FOC {arrow.foc * 100:.1f} %, {per_pound}",
    ]


def heading(rig: "Rig", display: Display, draws: int) -> list[str]:
    """Bow, arrow, where impacts are measured from, and what the brackets hold."""
    if rig.sight.sight_in is None:
        measured = "impacts from the bore line (no sight-in): right and up positive"
    else:
        measured = (
            f"impacts from the line of sight, sighted in at "
            f"{display.distance(rig.sight.sight_in)}: right and up positive"
        )
    band = (
        f"in brackets: 9 of 10 of {draws} plausible bows (see [uncertainty] in the setup file); "
        "shot scatter comes on top"
    )
    return [*arrow_facts(rig, display), measured, band]


def broadhead_facts(rig: "Rig", display: Display) -> list[str]:
    """The broadhead and the arrow with it in a line; none without one."""
    arrow = rig.broadhead
    if arrow is None or arrow.parts.point.blades is None:
        return []
    blades = arrow.parts.point.blades
    unit, size = display.unit(MASS)
    mass = f"{arrow.mass / size:.{0 if unit == 'gr' else 1}f} {unit}"
    across = blades.cutting_diameter / display.small_size
    return [
        f"with the broadhead: {mass}, FOC {arrow.foc * 100:.1f} %, {blades.count} blades "
        f"{across:.2f} {display.small} across"
    ]
