"""What every answer says of the bow and the arrow that it is about."""

from typing import TYPE_CHECKING, Any

from vireton.answers.bands import BRACKETS
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
    """Bow and arrow on one line, numbers as the setup file has them."""
    from vireton.bow.arrow import POUND_FORCE, grains_per_pound, kinetic_energy, momentum

    bow, arrow = rig.bow, rig.fletched
    energy = kinetic_energy(arrow.mass, bow.arrow_speed)
    push = momentum(arrow.mass, bow.arrow_speed)
    if display.name == "us":
        drawn = f"{bow.draw_weight / POUND_FORCE:.4g} lb, {bow.arrow_speed / FOOT:.4g} fps"
        carried = f"{energy / ENERGY.size:.0f} ft·lbf, {push / SLUG / FOOT:.2f} slug·ft/s"
        masses = [f"{one.mass / GRAIN:.0f} gr" for one in (arrow, rig.bare)]
    else:
        drawn = f"{bow.draw_weight:.0f} N, {bow.arrow_speed:.1f} m/s"
        carried = f"{energy:.0f} J, {push:.1f} kg·m/s"
        masses = [f"{one.mass * 1e3:.1f} g" for one in (arrow, rig.bare)]
    # the archer's own view needs no other signs; whoever typed it wants to know that it was read
    hand = ", left-handed (right and left are as you see them)" if bow.hand == "left" else ""
    per_pound = grains_per_pound(arrow.mass, bow.draw_weight)
    return [
        f"{bow.name}{hand}, {drawn} ({carried}); "
        f"{arrow.parts.name}, {masses[0]} (bare {masses[1]}), FOC {arrow.foc * 100:.1f} %, "
        f"{per_pound:.1f} gr/lb"
    ]


def measured_words(rig: "Rig", display: Display) -> str:
    """The line that impacts are measured from."""
    if rig.sight.sight_in is None:
        return "measured from the bore line, no sight set; plus is right and up"
    at = display.distance(rig.sight.sight_in)
    return f"measured from the aim, sighted in at {at}; plus is right and up"


def heading(rig: "Rig", display: Display) -> list[str]:
    """Bow and arrow, where impacts are measured from, and what the brackets hold."""
    return [*arrow_facts(rig, display), measured_words(rig, display), BRACKETS]


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
