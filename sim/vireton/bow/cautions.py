"""What can hurt someone, said before any result. Nothing here certifies a bow or a shot as safe."""

import math

from vireton.bow.arrow import POUND_FORCE, Arrow, grains_per_pound
from vireton.bow.bow import Bow
from vireton.units.numbers import GRAIN

#: Minimum arrow mass per draw weight, kg/N: 5 grains per pound, or the bow maker's limit if that
#: is higher (common practice, no source).
COMMON_MINIMUM = 5.0 * GRAIN / POUND_FORCE

SHOOTING = (
    "Shoot only at a backstop rated to stop the arrow, with nobody near its path; a far or steep "
    "shot, or one in wind, needs more room behind. Flex-check carbon shafts; never dry-fire; keep "
    "to the bow maker's limits and to local law. A qualified technician's judgment goes before "
    "any number here."
)

SHOOTING_BARE = (
    "Shoot bare shafts close at first and only at a backstop rated to stop them; flex-check carbon "
    "shafts before shooting; never dry-fire; keep to the bow maker's limits and to local law. A "
    "qualified technician's judgment goes before any number here."
)

MEASURING = (
    "Work on string, cams or limbs is a qualified technician's, in a bow press or on a draw board, "
    "within the bow maker's limits. Never dry-fire; never let a weight hang on a drawn bow; shoot "
    "only at a stop-rated backstop; flex-check carbon shafts."
)

SHOOTING_BROADHEADS = (
    "Broadheads are razor-sharp: screw them in with a head wrench, keep fingers and bystanders "
    "away from the blades, carry them covered; check that each spins true; shoot them only at a "
    "target made for broadheads in front of a backstop, and never where the law forbids them."
)

#: What stands on every page in full; a terminal that has said one of them may say it in short.
STANDING = (SHOOTING, SHOOTING_BARE, MEASURING, SHOOTING_BROADHEADS)
IN_SHORT = "Safety first (vireton --help): rated backstop, flex-check carbon, no dry fire"


def too_light(bow: Bow, arrow: Arrow) -> str | None:
    """A warning where the arrow is lighter than the bow may shoot, else None.

    The limit is 5 grains per pound of draw weight, or the bow's ``minimum_mass_per_draw_weight``
    where it is given and higher.
    """
    stated = bow.minimum_mass_per_draw_weight
    limit = max(COMMON_MINIMUM, stated or 0.0)
    if arrow.mass >= limit * bow.draw_weight:
        return None
    whose = "the bow maker's limit" if stated and stated > COMMON_MINIMUM else "the usual minimum"
    # rounded down: "5.0, under 5.0" would read as a mistake
    told = math.floor(10.0 * grains_per_pound(arrow.mass, bow.draw_weight)) / 10.0
    kind = "" if arrow.is_fletched else " without vanes"
    return (
        f"DANGER: this arrow{kind} weighs {told:.1f} "
        f"grains per pound of draw weight, under {whose} of {limit * POUND_FORCE / GRAIN:.1f}. "
        "Shooting it is like a dry fire: the bow can break and hurt someone. Do not shoot it; use "
        f"an arrow of at least {math.ceil(limit * bow.draw_weight / GRAIN - 1e-6)} gr."
    )


def planing(margin: float, lowest: float) -> list[str]:
    """A warning where an arrow with a broadhead may turn away from its flight, else nothing.

    ``margin`` m is its static margin, ``lowest`` that of the worst of nearly all plausible arrows.
    """
    if lowest > 0.0:
        return []
    may = "PLANES" if margin <= 0.0 else "may plane"
    return [
        f"this broadhead {may}: at small angles the air on its blades turns the nose away faster "
        "than the vanes turn it back, and a small launch error grows until the arrow flies "
        "slantwise and off its line. Do not shoot it as it is; take a smaller head, or higher or "
        "more vanes"
    ]


def cautions(bow: Bow, *arrows: Arrow) -> tuple[str, ...]:
    """All warnings about these arrows on this bow, the lightest first."""
    return tuple(
        text
        for arrow in sorted(arrows, key=lambda one: one.mass)
        if (text := too_light(bow, arrow)) is not None
    )
