"""Bows of the second launch model that can be changed: a bare shaft's own bend, tape on it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from protocol import AT, INCH, ArrowKind, Vector

from truths.bent import Causes, launcher
from truths.flown import Air, Flown, body
from truths.rig import Rig

Random = np.random.Generator


@dataclass(frozen=True)
class Bow:
    """``bend`` m: a bare shaft that is not straight lands there off at 20 yd; ``tape`` on it, kg.

    ``paper`` m: what that adds to a tear.
    """

    rig: Rig
    causes: Causes
    air: Air
    bend: Vector = Vector(0.0, 0.0)
    paper: Vector = Vector(0.0, 0.0)
    tape: bool = False

    @staticmethod
    def draw(random: Random, rig: Rig) -> "Bow":
        """A bow as it comes in; its bare shaft is straight to some 0.15 in at 20 yd."""
        bow = Bow(rig, Causes.draw(random, rig), Air.draw(random, rig))
        return bow.with_other_shaft(random)

    def with_other_shaft(self, random: Random) -> "Bow":
        """Another bare shaft, with a bend of its own."""
        bend, paper = random.normal(0.0, 0.15 * INCH, 2), random.normal(0.0, INCH / 64.0, 2)
        return replace(self, bend=Vector(*bend), paper=Vector(*paper))

    def truth(self, random: Random) -> "Shooting":
        """Ready to shoot."""
        return Shooting(self, random)


class Shooting(Flown):
    """A bow's truth whose bare shaft has a bend of its own and may be taped."""

    def __init__(self, bow: Bow, random: Random) -> None:
        leave, flex, _ = launcher(bow.rig, bow.causes, bow.air.efficiency)
        if bow.tape:  # of the vanes' weight and where they would be: it leaves as they do

            def taped(kind: ArrowKind, setting: Vector):  # type: ignore[no-untyped-def]
                return leave("fletched", setting)

            def swings(kind: ArrowKind, setting: Vector, point: float, tail: float) -> Vector:
                return flex("fletched", setting, point, tail)

            super().__init__(bow.rig, bow.air, taped, random, swings)
            heavier = replace(bow.rig, parts=(*bow.rig.parts, bow.rig.vanes))
            self._bodies["bare"] = body(heavier, bow.air, "bare")
            self._speeds["bare"] = bow.rig.speed
        else:
            super().__init__(bow.rig, bow.air, leave, random, flex)
        self._bow = bow

    def _beside(self, distance: float) -> np.ndarray:
        return np.array(self._bow.bend) * (distance / AT) ** 2

    def shoot(self, arrow: ArrowKind, setting: Vector, distance: float) -> Vector:
        """See :class:`protocol.Truth`."""
        hit = np.array(super().shoot(arrow, setting, distance))
        return Vector(*(hit + (self._beside(distance) if arrow == "bare" else 0.0)))

    def mean_tear(self, arrow: ArrowKind, setting: Vector, paper: float) -> Vector:
        """The tear without a reading error."""
        return Vector(*(np.array(super().mean_tear(arrow, setting, paper)) + self._torn(arrow)))

    def _torn(self, arrow: ArrowKind) -> np.ndarray:
        return np.array(self._bow.paper) * (arrow == "bare")

    def tear(self, arrow: ArrowKind, setting: Vector, paper: float) -> Vector:
        """See :class:`protocol.Truth`."""
        return Vector(*(np.array(super().tear(arrow, setting, paper)) + self._torn(arrow)))

    def separation(self, setting: Vector, distance: float = AT) -> Vector:
        """See :class:`protocol.Truth`."""
        return Vector(*(np.array(super().separation(setting, distance)) + self._beside(distance)))

    def clean(self, distance: float = AT) -> Vector:
        """See :class:`protocol.Truth`."""
        return Vector(*(np.array(super().clean(distance)) + self._beside(distance)))


@dataclass(frozen=True)
class Told:
    """What the log says of a change: amounts in m or turns, numbers of the setup file by key."""

    what: str
    right: float = 0.0
    up: float = 0.0
    turns: float = 0.0
    sets: Mapping[str, str] = field(default_factory=dict)


Effect = Callable[[Random, Bow], tuple[Bow, Told]]
