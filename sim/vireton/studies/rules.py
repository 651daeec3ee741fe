"""Limits that the user has entered, against this bow and arrow: numbers only, never a verdict on
what may be shot where. Only the authority and the current text of its rule can say that.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from vireton.bow.arrow import POUND_FORCE, kinetic_energy
from vireton.units.numbers import GRAIN, INCH

if TYPE_CHECKING:  # the setup file's reader takes the rule from here and must not bring numba
    from vireton.rig import Rig

Outcome = Literal["meets", "fails", "too close to tell"]
Limit = Literal[
    "least_energy",
    "least_arrow_mass",
    "least_mass_per_draw_weight",
    "least_draw_weight",
    "most_draw_weight",
    "most_speed",
    "most_let_off",
    "most_shaft_diameter",
]

#: How far a value may be off, either way: what the usual tool tells (our choice). A draw weight
#: from a bow scale, a let-off from two readings of one, a mass from a grain scale, or added up from
#: the parts; a caliper.
DRAW_WEIGHT_ERROR = 1.0 * POUND_FORCE
LET_OFF_ERROR = 0.02
WEIGHED_ERROR = 1.0 * GRAIN
ADDED_UP_ERROR = 0.01  # share of the mass
CALIPER_ERROR = 0.001 * INCH


@dataclass(frozen=True)
class Rule:
    """Limits as the user read them somewhere: ``name``, ``place`` and ``date`` are their words.

    ``limits`` in SI: J, kg, kg/N, N, m/s, a fraction, m.
    """

    name: str
    place: str
    date: str
    limits: Mapping[Limit, float]


@dataclass(frozen=True)
class ComparedLimit:
    """One limit: the value with its measuring error, ``low`` to ``high``, and how they compare."""

    rule: Rule
    limit: Limit
    bound: float
    value: float
    low: float
    high: float
    outcome: Outcome


def compare_rules(
    rig: "Rig", rules: tuple[Rule, ...], speed_range: tuple[float, float]
) -> list[ComparedLimit]:
    """Each limit of each rule against the fletched arrow and the bow.

    Args:
        rig: the setup.
        rules: as entered.
        speed_range: m/s, plausible low and high of the arrow's speed.

    A value whose measuring error reaches the limit is "too close to tell": measure it.
    """
    values = _values(rig, speed_range)
    return [
        ComparedLimit(
            rule, limit, bound, *values[limit], _outcome(limit, bound, *values[limit][1:])
        )
        for rule in rules
        for limit, bound in rule.limits.items()
    ]


def _values(
    rig: "Rig", speed_range: tuple[float, float]
) -> dict[Limit, tuple[float, float, float]]:
    """Value, low and high of everything that a limit may be about."""
    bow, arrow = rig.bow, rig.fletched
    weighed = arrow.parts.measured_mass is not None
    off = WEIGHED_ERROR if weighed else ADDED_UP_ERROR * arrow.mass
    mass, low, high = arrow.mass, arrow.mass - off, arrow.mass + off
    slow, fast = speed_range
    weight, spare = bow.draw_weight, DRAW_WEIGHT_ERROR
    drawn = (weight, weight - spare, weight + spare)
    let_off, diameter = bow.let_off, arrow.parts.shaft.outside_diameter
    return {
        "least_energy": (
            kinetic_energy(mass, bow.arrow_speed),
            kinetic_energy(low, slow),
            kinetic_energy(high, fast),
        ),
        "least_arrow_mass": (mass, low, high),
        "least_mass_per_draw_weight": (mass / weight, low / drawn[2], high / drawn[1]),
        "least_draw_weight": drawn,
        "most_draw_weight": drawn,
        "most_speed": (bow.arrow_speed, slow, fast),
        "most_let_off": (let_off, let_off - LET_OFF_ERROR, let_off + LET_OFF_ERROR),
        "most_shaft_diameter": (diameter, diameter - CALIPER_ERROR, diameter + CALIPER_ERROR),
    }


def _outcome(limit: Limit, bound: float, low: float, high: float) -> Outcome:
    if low <= bound <= high:
        return "too close to tell"
    return "meets" if (low > bound) == limit.startswith("least") else "fails"
