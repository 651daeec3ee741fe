"""What a change of the arrow does: see :mod:`truths.effects`. Every size is our choice."""

from dataclasses import replace

import numpy as np
from protocol import INCH, Vector

from truths.changed import Bow, Random, Told
from truths.rig import Part, mass_balance_inertia

GRAIN = 6.479891e-5


def _with_arrow(bow: Bow, **parts: object) -> Bow:
    """Another arrow: the same energy goes into it and the bow's own moving mass."""
    rig = replace(bow.rig, **parts)  # type: ignore[arg-type]
    was, now = (mass_balance_inertia((*one.parts, one.vanes))[0] for one in (bow.rig, rig))
    moving = was * (1.0 / bow.air.efficiency - 1.0)
    speed = rig.speed * float(np.sqrt((was + moving) / (now + moving)))
    air = replace(bow.air, efficiency=now / (now + moving))
    return replace(bow, rig=replace(rig, speed=speed), air=air)


def point(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """25 gr more, or 15 gr less."""
    grains = float(random.choice([25.0, -15.0]))
    where = int(np.argmax([part.end for part in bow.rig.parts]))
    parts = list(bow.rig.parts)
    parts[where] = replace(parts[where], mass=parts[where].mass + grains * GRAIN)
    after = _with_arrow(bow, parts=tuple(parts))
    return after, Told("point", sets={"arrow.point.mass": f"{100.0 + grains:g} gr"})


#: Spine in, gr/in.
_SHAFTS = ((0.300, 10.4), (0.340, 8.8), (0.400, 8.5))


def arrow(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """Another shaft, told; a shaft differs from its mark by 7 %; a bare one of its own."""
    spine, heavy = _SHAFTS[random.integers(len(_SHAFTS))]
    first = bow.rig.parts[0]  # the tube
    tube = replace(first, mass=heavy * GRAIN / INCH * (first.end - first.start))
    stiffness = bow.rig.stiffness * 0.340 / spine
    after = _with_arrow(bow, parts=(tube, *bow.rig.parts[1:]), stiffness=stiffness)
    own = random.uniform(0.93, 1.07)
    causes = replace(after.causes, shaft_stiffness=own, shaft_damping=random.uniform(0.005, 0.03))
    after = replace(after, causes=causes).with_other_shaft(random)
    sets = {"arrow.shaft.spine": f"{spine:.3f} in", "arrow.shaft.mass_per_length": f"{heavy} gr/in"}
    return after, Told("arrow", sets=sets)


#: gr, length in, height in.
_VANES = ((5.0, 1.75, 0.45), (7.5, 2.25, 0.5), (8.5, 3.0, 0.45))


def vanes(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """Other vanes; their lift is another; told on every second bow."""
    mass, length, height = _VANES[random.integers(len(_VANES))]
    old = bow.rig.vanes
    radius = bow.rig.radius + 0.4 * height * INCH
    ring = Part(bow.rig.vane_count * mass * GRAIN, old.start, old.start + length * INCH, radius)
    after = _with_arrow(bow, vanes=ring, vane_length=length * INCH, vane_height=height * INCH)
    after = replace(after, air=replace(after.air, vane_lift=random.uniform(0.8, 1.2)))
    said = {"mass": f"{mass} gr", "length": f"{length} in", "height": f"{height} in"}
    sets = {f"arrow.vanes.{key}": value for key, value in said.items()}
    return after, Told("vanes", sets=sets if random.random() < 0.5 else {})


def nock_turned(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """The shaft's own bend turns with it, by a third or any angle; nothing else."""
    angle = random.uniform(0.3, np.pi)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    bend, paper = (Vector(*(turn @ np.array(one))) for one in (bow.bend, bow.paper))
    return replace(bow, bend=bend, paper=paper), Told("nock turned")


def bare_shaft(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """Taped to the vanes' weight, or another shaft."""
    if random.random() < 0.5:
        sets = {"arrow.bare_tape.mass": "19.5 gr"}
        return replace(bow, tape=True), Told("bare shaft", sets=sets)
    return bow.with_other_shaft(random), Told("bare shaft")
