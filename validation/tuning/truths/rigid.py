"""A stiff arrow on a hard rest with its nock held in both planes: the launch in closed form."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from protocol import INCH, ArrowKind, Vector

from second_launch import Arrow, Bow, Rod, rigid_launch
from truths.flown import Air, Flown, Launcher, Leave, bare_speed
from truths.rig import Rig, read


@dataclass(frozen=True)
class Causes:
    """Let-go share; rest off the bore line and nock height, m; what the release adds sideways."""

    lets_go: float
    rest_right: float
    rest_up: float
    nock_height: float
    release_angle: float
    release_rate: float

    @staticmethod
    def draw(random: np.random.Generator, rig: Rig) -> "Causes":
        """A bow set up by eye, a sixteenth off (common practice, no source)."""
        late = (0.3, 0.6) if rig.drop_away else (0.85, 1.0)
        sixteenth = INCH / 16.0
        return Causes(
            lets_go=random.uniform(*late),
            rest_right=random.normal(0.0, sixteenth),
            rest_up=random.normal(0.0, sixteenth),
            nock_height=random.normal(0.0, sixteenth),
            release_angle=random.normal(0.0, 0.002),
            release_rate=random.normal(0.0, 0.2),
        )

    def mirrored(self) -> "Causes":
        """Left and right exchanged."""
        return replace(
            self,
            rest_right=-self.rest_right,
            release_angle=-self.release_angle,
            release_rate=-self.release_rate,
        )


def launcher(rig: Rig, causes: Causes, efficiency: float) -> Launcher:
    """How arrows leave: proportional to the rest's distance from the line of the nock."""
    slopes = {}
    for kind, parts, speed in (
        ("bare", rig.parts, bare_speed(rig, efficiency)),
        ("fletched", (*rig.parts, rig.vanes), rig.speed),
    ):
        rods = tuple(Rod(part.mass, part.start, part.end) for part in parts)
        bow = Bow(stroke=rig.stroke, speed=speed, ahead=rig.ahead, lets_go=causes.lets_go)
        slopes[kind] = np.array(rigid_launch(Arrow(rig.length, 1.0, rods), bow, 1.0))
    release = np.array([causes.release_angle, causes.release_rate, 0.0])

    def leave(kind: ArrowKind, setting: Vector) -> tuple[Leave, Leave]:
        right = causes.rest_right + setting.right
        up = causes.rest_up + setting.up - causes.nock_height
        return Leave(*(right * slopes[kind] + release)), Leave(*(up * slopes[kind]))

    return leave


def build(rig: Rig, causes: Causes, air: Air, random: np.random.Generator) -> Flown:
    """The truth of this bow."""
    return Flown(rig, air, launcher(rig, causes, air.efficiency), random)


def make(setup_path: Path, seed: int) -> Flown:
    """The bow of this seed."""
    random = np.random.default_rng([seed, 2])
    rig = read(setup_path)
    causes, air = Causes.draw(random, rig), Air.draw(random, rig)
    return build(rig, causes, air, random)
