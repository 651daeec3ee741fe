"""What a change on the bench does to a bow of the second launch model, and what the log is told.

Written without the library. Directions are common practice (no source); every size here is our
choice, no source, drawn at random over what is plausible.
"""

from dataclasses import replace

import numpy as np
from protocol import AT, INCH, Vector

from truths.bent import Causes
from truths.changed import Bow, Effect, Random, Told
from truths.effects_arrow import arrow, bare_shaft, nock_turned, point, vanes

GRAIN = 6.479891e-5
_16TH, _32ND, _64TH = INCH / 16.0, INCH / 32.0, INCH / 64.0


def _moved(bow: Bow, **by: float) -> Bow:
    """The causes with these added."""
    return replace(
        bow,
        causes=replace(bow.causes, **{key: getattr(bow.causes, key) + x for key, x in by.items()}),
    )


def _faster(bow: Bow, energy: float) -> Bow:
    """The same arrow from a bow that stores so many times the energy."""
    return replace(bow, rig=replace(bow.rig, speed=bow.rig.speed * float(np.sqrt(energy))))


def _side(random: Random) -> float:
    return 1.0 if random.random() < 0.5 else -1.0


def loop(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """Up or down by 1/32 or 1/16, 0.7 to 1.2 of it; a twist in it; told in three of four."""
    by = float(random.choice([_32ND, _16TH])) * _side(random)
    done = by * random.uniform(0.7, 1.2) + random.normal(0.0, _64TH / 2.0)
    after = _moved(bow, nock_height=done, kick=random.normal(0.0, 0.05))
    return after, Told("loop", up=by if random.random() < 0.75 else 0.0)


def cam_spacer(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """The string's line goes along by 0.3 to 1.2 of it, on one bow in four the other way.

    Cams to the right take the string to the right: as a rest that goes left.
    """
    by = float(random.choice([_32ND, _16TH])) * _side(random)
    way = -1.0 if random.random() < 0.75 else 1.0
    after = _moved(
        bow,
        rest_right=way * by * random.uniform(0.3, 1.2),
        travel_right=by * random.normal(0.0, 0.2),
        travel_up=random.normal(0.0, _64TH / 4.0),
    )
    return after, Told("cam spacer", right=by)


def yoke(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """A turn leans the cam: the nock swings aside by 0.3 to 1 of 1/32, the line moves a little."""
    turns = float(random.choice([0.5, 1.0])) * _side(random)
    after = _moved(
        bow,
        travel_right=turns * _32ND * random.uniform(0.3, 1.0) * _side(random),
        rest_right=turns * random.normal(0.0, _64TH),
        nock_height=random.normal(0.0, _64TH / 2.0),
        travel_up=random.normal(0.0, _64TH / 4.0),
    )
    return after, Told("yoke", turns=turns)


def cable(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """A twist shifts the timing: nock travel by some 1/32, height by 1/64, weight by 1 %."""
    turns = float(random.choice([0.5, 1.0])) * _side(random)
    after = _moved(
        bow,
        travel_up=turns * random.normal(0.0, _32ND),
        nock_height=turns * random.normal(0.0, _64TH),
        travel_right=random.normal(0.0, _64TH / 4.0),
    )
    return _faster(after, 1.0 + 0.01 * turns * random.uniform(0.3, 1.7)), Told("cable", turns=turns)


def draw_weight(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """A turn out or in: 2 to 6 % of the force; tiller and timing a little. Turns, or the weight."""
    turns = float(random.choice([-1.0, -1.0, -2.0, 1.0]))
    energy = 1.0 + turns * random.uniform(0.02, 0.06)
    after = _moved(
        bow,
        nock_height=random.normal(0.0, _64TH),
        travel_up=random.normal(0.0, _64TH / 2.0),
        travel_right=random.normal(0.0, _64TH / 2.0),
    )
    if random.random() < 0.5:
        told = Told("draw weight", turns=turns)
    else:
        pounds = round(60.0 * energy * 2.0) / 2.0
        told = Told("draw weight", sets={"bow.draw_weight": f"{pounds:g} lbf"})
    return _faster(after, energy), told


def draw_length(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """Half an inch more or less: stroke and energy go along; other modules, another force curve."""
    by = 0.5 * _side(random)
    stroke = bow.rig.stroke + by * INCH
    after = _faster(bow, stroke / bow.rig.stroke * random.uniform(0.98, 1.02))
    after = _moved(
        replace(after, rig=replace(after.rig, stroke=stroke)),
        nock_height=random.normal(0.0, _64TH),
        travel_up=random.normal(0.0, _64TH),
        travel_right=random.normal(0.0, _64TH),
        fall=random.uniform(-0.03, 0.03),
        rise=random.uniform(-0.03, 0.03),
        valley=random.uniform(0.0, 0.02),
    )
    return after, Told("draw length", sets={"bow.draw_length": f"{29.0 + by:g} in"})


def new_string(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """Its mass by a tenth, nock height by up to 1/16, loop and line by 1/64, speed by 1 %."""
    after = _moved(
        bow,
        nock_height=random.uniform(-_16TH, _16TH),
        rest_right=random.normal(0.0, _64TH),
        travel_right=random.normal(0.0, _64TH / 2.0),
        kick=random.normal(0.0, 0.1),
        string_mass=bow.causes.string_mass * random.uniform(-0.1, 0.1),
    )
    return _faster(after, random.uniform(0.97, 1.02)), Told("new string")


def new_cable(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """Timing by 1/32 and height by 1/64 of nock travel, weight by 2 %, draw length by 1/8 in."""
    stroke = bow.rig.stroke + random.uniform(-INCH / 8.0, INCH / 8.0)
    after = _moved(
        replace(bow, rig=replace(bow.rig, stroke=stroke)),
        travel_up=random.normal(0.0, _32ND),
        nock_height=random.normal(0.0, _64TH),
        travel_right=random.normal(0.0, _64TH),
        rest_right=random.normal(0.0, _64TH / 2.0),
    )
    return _faster(after, random.uniform(0.97, 1.03)), Told("new cable")


def sight(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """The impacts go along; the launch does not notice. All changes move the impacts, see below."""
    by = random.normal(0.0, INCH / 8.0, 2)
    return bow, Told("sight", right=float(by[0]), up=float(by[1]))


def peep(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """The head stands elsewhere: the hand kicks a little otherwise."""
    after = _moved(bow, kick=random.normal(0.0, 0.03), nock_height=random.normal(0.0, _64TH / 4.0))
    return after, Told("peep", up=float(random.choice([_32ND, _16TH])) * _side(random))


def new_rest(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """It stands elsewhere by up to 1/16, lets go elsewhere, gives otherwise, may hold all round."""
    causes = replace(
        bow.causes,
        rest_right=bow.causes.rest_right + random.uniform(-_16TH, _16TH),
        rest_up=bow.causes.rest_up + random.uniform(-_16TH, _16TH),
        lets_go=random.uniform(0.3, 0.6),
        rest_stiffness=float(np.exp(random.uniform(np.log(2e3), np.log(1.2e4)))),
        one_sided=bool(random.random() < 0.5),
    )
    return replace(bow, causes=causes), Told("new rest")


def loose_part(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """Rest and nocking point stand elsewhere by some 1/32 once it is tight; the hold may kick."""
    after = _moved(
        bow,
        rest_right=random.normal(0.0, _32ND),
        rest_up=random.normal(0.0, _32ND),
        travel_right=random.normal(0.0, _64TH),
        kick=random.normal(0.0, 0.05),
    )
    return after, Told("loose part")


def visit(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """A year: the string stretched, its middle crept by 1/32, timing 1/64; a bare shaft anew."""
    after = _moved(
        bow,
        nock_height=random.normal(0.0, _32ND),
        travel_up=random.normal(0.0, _64TH),
        travel_right=random.normal(0.0, _64TH),
        rest_right=random.normal(0.0, _64TH),
        rest_up=random.normal(0.0, _64TH),
        kick=random.normal(0.0, 0.1),
    )
    after = _faster(after, random.uniform(0.95, 1.0)).with_other_shaft(random)
    scatter = after.air.scatter * float(np.exp(random.normal(0.0, 0.15)))
    return replace(after, air=replace(after.air, scatter=scatter)), Told("visit")


EFFECTS: dict[str, Effect] = {
    "loop": loop,
    "cam spacer": cam_spacer,
    "yoke": yoke,
    "cable": cable,
    "draw weight": draw_weight,
    "draw length": draw_length,
    "new string": new_string,
    "new cable": new_cable,
    "point": point,
    "arrow": arrow,
    "vanes": vanes,
    "nock turned": nock_turned,
    "bare shaft": bare_shaft,
    "sight": sight,
    "peep": peep,
    "new rest": new_rest,
    "loose part": loose_part,
    "visit": visit,
}


def other(random: Random, bow: Bow) -> tuple[Bow, Told]:
    """Any of the bow's own changes, and nothing is said of it."""
    names = ("loop", "cam spacer", "yoke", "cable", "draw weight", "new string", "peep")
    after, _ = EFFECTS[names[random.integers(len(names))]](random, bow)
    return after, Told("other")


EFFECTS["other"] = other


def put_back(random: Random, bow: Bow, changed: Bow) -> Bow:
    """Nearly as it was: up to 15 % of what the change did to causes and speed is left."""
    share = random.uniform(-0.15, 0.15)
    was, now = vars(bow.causes), vars(changed.causes)
    causes = {
        key: value + share * (now[key] - value) if isinstance(value, float) else value
        for key, value in was.items()
    }
    speed = bow.rig.speed + share * (changed.rig.speed - bow.rig.speed)
    return replace(bow, causes=Causes(**causes), rig=replace(bow.rig, speed=speed))


def aimed_anew(random: Random, bow: Bow) -> Bow:
    """After a change the groups lie elsewhere, on every second bow: by some 3 in at 20 yd."""
    if random.random() < 0.5:
        return bow
    off = np.array(bow.air.sight) + random.normal(0.0, 3.0 * INCH / AT, 2)
    return replace(bow, air=replace(bow.air, sight=Vector(*off)))
