"""Independent launch and flight: the second launch model, bows drawn over what is plausible.

The shaft still swings when it goes through the paper, and that shows in the tear.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

import numpy as np
from protocol import INCH, ArrowKind, Vector

from second_launch import Arrow, Bow, Chain, Rod
from truths.flown import Air, Ends, Flex, FloatArray, Flown, Launcher, Leave, bare_speed
from truths.rig import Part, Rig, read


@dataclass(frozen=True)
class Causes:
    """One bow: what makes its launch, and why that is off. SI; right and up positive."""

    holding: float
    valley: float
    fall: float
    rise: float
    tension: float
    lets_go: float
    rest_stiffness: float
    one_sided: bool
    string_mass: float
    give_mass: float
    give_stiffness: float
    shaft_stiffness: float
    shaft_damping: float
    rest_right: float
    rest_up: float
    nock_height: float
    travel_right: float
    travel_up: float
    kick: float

    @staticmethod
    def draw(random: np.random.Generator, rig: Rig) -> "Causes":
        """A bow set up by eye: rest and nock some sixteenth off (common practice, no source)."""
        late = (0.3, 0.6) if rig.drop_away else (0.85, 1.0)
        sixteenth = INCH / 16.0
        return Causes(
            holding=rig.holding * random.uniform(0.9, 1.1),
            valley=random.uniform(0.0, 0.08),
            fall=random.uniform(0.1, 0.3),
            rise=random.uniform(0.15, 0.4),
            tension=random.uniform(1.0, 2.0),
            lets_go=random.uniform(*late),
            rest_stiffness=float(np.exp(random.uniform(np.log(2e3), np.log(1.2e4)))),
            # a blade pushes up only; drop-aways often hold the shaft all round
            one_sided=not rig.drop_away or bool(random.random() < 0.5),
            string_mass=random.uniform(0.006, 0.016),
            give_mass=random.uniform(0.1, 0.4),
            give_stiffness=float(np.exp(random.uniform(np.log(1e3), np.log(1e5)))),
            shaft_stiffness=random.uniform(0.93, 1.07),
            shaft_damping=random.uniform(0.005, 0.03),
            rest_right=random.normal(0.0, 1.5 * sixteenth),
            rest_up=random.normal(0.0, 1.5 * sixteenth),
            nock_height=random.normal(0.0, sixteenth),
            travel_right=random.normal(0.0, sixteenth),
            travel_up=random.normal(0.0, 0.5 * sixteenth),
            kick=random.normal(0.0, 0.4),
        )

    def mirrored(self) -> "Causes":
        """Left and right exchanged."""
        return replace(
            self,
            rest_right=-self.rest_right,
            travel_right=-self.travel_right,
            kick=-self.kick,
        )


def _rod(part: Part) -> Rod:
    return Rod(part.mass, part.start, part.end)


def launcher(rig: Rig, causes: Causes, efficiency: float) -> tuple[Launcher, Flex, Ends]:
    """How bare and fletched arrows leave this bow at any setting, and how they swing on."""
    chains: dict[ArrowKind, Chain] = {}
    for kind, parts, speed in (
        ("bare", rig.parts, bare_speed(rig, efficiency)),
        ("fletched", (*rig.parts, rig.vanes), rig.speed),
    ):
        arrow = Arrow(
            rig.length,
            rig.stiffness * causes.shaft_stiffness,
            tuple(_rod(part) for part in parts),
            causes.shaft_damping,
        )
        bow = Bow(
            stroke=rig.stroke,
            speed=speed,
            holding=causes.holding,
            valley=causes.valley,
            fall=causes.fall,
            rise=causes.rise,
            tension=causes.tension,
            ahead=rig.ahead,
            lets_go=causes.lets_go,
            rest_stiffness=causes.rest_stiffness,
            one_sided=causes.one_sided,
            gravity=9.80665 if causes.one_sided else 0.0,
            string_mass=causes.string_mass,
            give_mass=causes.give_mass,
            give_stiffness=causes.give_stiffness,
        )
        chains["bare" if kind == "bare" else "fletched"] = Chain(arrow, bow)
    # a bulge that is nothing at both ends
    bulge_right = (0.0, 4.0 * causes.travel_right, -4.0 * causes.travel_right)
    up_path = (causes.nock_height, 4.0 * causes.travel_up, -4.0 * causes.travel_up)

    @lru_cache
    def sideways(kind: ArrowKind) -> tuple[np.ndarray, np.ndarray]:
        chain = chains[kind]
        start = np.array(chain.sideways(causes.rest_right, bulge_right, causes.kick))
        return start, np.array(chain.sideways(INCH)) / INCH  # this plane is linear

    @lru_cache
    def upright(kind: ArrowKind, up: float) -> Leave:
        return Leave(*chains[kind].up_and_down(causes.rest_up + up, up_path))

    def leave(kind: ArrowKind, setting: Vector) -> tuple[Leave, Leave]:
        start, answer = sideways(kind)
        return Leave(*(start + setting.right * answer)), upright(kind, setting.up)

    @lru_cache
    def flex(kind: ArrowKind, setting: Vector, point: float, tail: float) -> Vector:
        chain = chains[kind]
        beyond = rig.tip - rig.length

        def bent() -> float:
            return chain.swing(tail, beyond)[0] - chain.swing(point, beyond)[1]

        chain.sideways(causes.rest_right + setting.right, bulge_right, causes.kick)
        right = bent()
        chain.up_and_down(causes.rest_up + setting.up, up_path)
        return Vector(right, bent())

    def ends(kind: ArrowKind, setting: Vector, times: FloatArray) -> FloatArray:
        chain = chains[kind]

        def both() -> FloatArray:
            return np.array([chain.swing(float(t), rig.tip - rig.length) for t in times])

        chain.sideways(causes.rest_right + setting.right, bulge_right, causes.kick)
        right = both()
        chain.up_and_down(causes.rest_up + setting.up, up_path)
        return np.stack([right, both()], axis=-1)

    return leave, flex, ends


def build(rig: Rig, causes: Causes, air: Air, random: np.random.Generator) -> Flown:
    """The truth of this bow."""
    leave, flex, ends = launcher(rig, causes, air.efficiency)
    return Flown(rig, air, leave, random, flex, ends)


def make(setup_path: Path, seed: int) -> Flown:
    """The bow of this seed."""
    random = np.random.default_rng([seed, 1])
    rig = read(setup_path)
    causes, air = Causes.draw(random, rig), Air.draw(random, rig)
    return build(rig, causes, air, random)
