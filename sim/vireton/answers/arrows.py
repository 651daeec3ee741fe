"""The arrow of an answer, with the units of its numbers in the keys."""

from vireton.bow.arrow import GRAIN, grains_per_pound, kinetic_energy, momentum
from vireton.rig import Rig
from vireton.units.numbers import INCH

FOOT_POUND = 1.3558179483314004
SLUG = 14.593902937206365


def broadhead_json(rig: Rig) -> dict[str, float | None]:
    """The ``broadhead`` object of the JSON output: the arrow with it; empty without one."""
    arrow = rig.broadhead
    if arrow is None or arrow.parts.point.blades is None:
        return {}
    return {
        "blades": arrow.parts.point.blades.count,
        "cutting_diameter_in": arrow.parts.point.blades.cutting_diameter / INCH,
        "mass_grains": arrow.mass / GRAIN,
        "balance_in": arrow.balance / INCH,
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
        "balance_in": arrow.balance / INCH,
        "foc_percent": arrow.foc * 100.0,
        "transverse_inertia_kg_m2": arrow.transverse_inertia,
        "axial_inertia_kg_m2": arrow.axial_inertia,
        "bending_stiffness_n_m2": arrow.stiffness,
        "launch_speed_fps": bow.arrow_speed / 0.3048,
        "kinetic_energy_ft_lbf": kinetic_energy(arrow.mass, bow.arrow_speed) / FOOT_POUND,
        "momentum_slug_ft_s": momentum(arrow.mass, bow.arrow_speed) / SLUG / 0.3048,
        "grains_per_pound": grains_per_pound(arrow.mass, bow.draw_weight),
    }
