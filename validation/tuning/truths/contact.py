"""Something touches: the arrow leaves the same way wherever the rest stands."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from protocol import ArrowKind, Vector

from truths.flown import Air, Flown, Launcher, Leave
from truths.rig import Rig, read


@dataclass(frozen=True)
class Causes:
    """The kick that the contact gives: rad/s and, with it, rad."""

    yaw_rate: float
    pitch_rate: float
    seconds: float

    @staticmethod
    def draw(random: np.random.Generator) -> "Causes":
        """Mostly tail-high, the nose kicked down (common practice, no source; sizes invented)."""
        return Causes(
            yaw_rate=random.normal(0.0, 0.4),
            pitch_rate=-random.uniform(0.4, 1.5),
            seconds=random.uniform(0.001, 0.006),
        )

    def mirrored(self) -> "Causes":
        """Left and right exchanged."""
        return replace(self, yaw_rate=-self.yaw_rate)


def launcher(causes: Causes) -> Launcher:
    """The same kick always."""
    right, up = (
        Leave(rate * causes.seconds, rate, 0.0) for rate in (causes.yaw_rate, causes.pitch_rate)
    )

    def leave(kind: ArrowKind, setting: Vector) -> tuple[Leave, Leave]:
        return right, up

    return leave


class Touching(Flown):
    """A flown truth whose rest does not answer."""

    contact = True


def build(rig: Rig, causes: Causes, air: Air, random: np.random.Generator) -> Flown:
    """The truth of this bow."""
    return Touching(rig, air, launcher(causes), random)


def make(setup_path: Path, seed: int) -> Flown:
    """The bow of this seed."""
    random = np.random.default_rng([seed, 3])
    rig = read(setup_path)
    causes, air = Causes.draw(random), Air.draw(random, rig)
    return build(rig, causes, air, random)
