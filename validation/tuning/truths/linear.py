"""A bow that answers in proportion, drawn from common practice alone; no launch, no flight.

A sixteenth of an inch brings bare and fletched together by one to two inches at 20 yd; up and down
the rule (tail-high: rest up) holds, sideways it holds on three bows in four (the share is our
choice; common practice, no source). Separations grow with a power of the distance, tears go with
the separation; how much is invented.
"""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from protocol import AT, INCH, PAPER, ArrowKind, Truth, Vector

from truths.flown import read_tear
from truths.rig import read


@dataclass(frozen=True)
class Causes:
    """Gains m of separation a m of rest; the aim, the start (rest off, m); powers and shares."""

    gain_right: float
    gain_up: float
    clean_up: float
    off_right: float
    off_up: float
    power: float
    tear_share: float
    tear_right: float
    tear_up: float
    moves_along: float
    scatter: float
    sight_right: float
    sight_up: float

    @staticmethod
    def draw(random: np.random.Generator) -> "Causes":
        """One bow."""
        right, up = np.exp(random.uniform(np.log(16.0), np.log(32.0), 2))
        sixteenth = INCH / 16.0
        return Causes(
            # the rule: bare to the right of the fletched, rest to the right
            gain_right=float(-right if random.random() < 0.75 else right),
            gain_up=float(up),
            clean_up=random.uniform(0.0, 0.6 * INCH),
            off_right=random.normal(0.0, 1.4 * sixteenth),
            off_up=random.normal(0.0, 1.4 * sixteenth),
            power=random.uniform(1.4, 2.0),
            tear_share=0.3 * float(np.exp(random.normal(0.0, 0.35))),
            # what paper shows and the target does not
            tear_right=random.normal(0.0, INCH / 16.0),
            tear_up=random.normal(0.0, INCH / 16.0),
            moves_along=random.uniform(10.0, 25.0),
            scatter=0.7 * INCH / AT * float(np.exp(random.normal(0.0, 0.25))),
            sight_right=random.normal(0.0, INCH / AT),
            sight_up=random.normal(0.0, INCH / AT),
        )

    def mirrored(self) -> "Causes":
        """Left and right exchanged; the gain keeps its sign, for both of its sides turn."""
        return replace(
            self,
            off_right=-self.off_right,
            tear_right=-self.tear_right,
            sight_right=-self.sight_right,
        )


class Linear(Truth):
    """See above."""

    def __init__(self, causes: Causes, random: np.random.Generator) -> None:
        self._causes, self._random = causes, random

    def _off(self, setting: Vector) -> Vector:
        """Separation from the clean one at 20 yd."""
        c = self._causes
        return Vector(
            c.gain_right * (c.off_right + setting.right), c.gain_up * (c.off_up + setting.up)
        )

    def separation(self, setting: Vector, distance: float = AT) -> Vector:
        """See :class:`protocol.Truth`."""
        grown = (distance / AT) ** self._causes.power
        off, clean = self._off(setting), self.clean(distance)
        return Vector(grown * off.right + clean.right, grown * off.up + clean.up)

    def clean(self, distance: float = AT) -> Vector:
        """See :class:`protocol.Truth`."""
        return Vector(0.0, self._causes.clean_up * (distance / AT) ** 2)

    def mean(self, arrow: ArrowKind, setting: Vector, distance: float) -> Vector:
        """Both arrows move along with the rest; the bare one by the separation more."""
        along = self._causes.moves_along * distance / AT
        hit = along * np.array(setting)
        if arrow == "bare":
            hit = hit + np.array(self.separation(setting, distance))
        return Vector(*hit)

    def mean_tear(self, arrow: ArrowKind, setting: Vector, paper: float) -> Vector:
        """A nose that goes right tears tail-left: against the separation; the same with vanes."""
        c = self._causes
        off = self._off(setting)
        share = -c.tear_share * paper / PAPER
        return Vector(share * off.right + c.tear_right, share * off.up + c.tear_up)

    def shoot(self, arrow: ArrowKind, setting: Vector, distance: float) -> Vector:
        """See :class:`protocol.Truth`."""
        c = self._causes
        hit = np.array(self.mean(arrow, setting, distance))
        hit = hit + distance * np.array([c.sight_right, c.sight_up])
        return Vector(*(hit + self._random.normal(0.0, c.scatter * distance, 2)))

    def tear(self, arrow: ArrowKind, setting: Vector, paper: float) -> Vector:
        """See :class:`protocol.Truth`."""
        return read_tear(self._random, arrow, self.mean_tear(arrow, setting, paper))


def make(setup_path: Path, seed: int) -> Linear:
    """The bow of this seed; of the setup only that it can be read."""
    read(setup_path)
    random = np.random.default_rng([seed, 4])
    return Linear(Causes.draw(random), random)
