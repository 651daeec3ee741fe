"""Truths that fly: a launch of some kind, the flight of this folder, an archer's scatter.

Draws are invented; ranges that are common practice say so.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from protocol import AT, HERE, INCH, ArrowKind, Truth, Vector, View

from filmed import phone
from truths.flight import Body, FloatArray, Start, course, impact, tear
from truths.rig import Rig, mass_balance_inertia

#: What a tear is read to (SD), and a fletched one: the vanes' slits hide its middle.
TEAR_ERROR = {"bare": INCH / 16.0, "fletched": INCH / 8.0}
SLIT = 3.0 / 32.0 * INCH
_TEAR_GRID = INCH / 32.0


@dataclass(frozen=True)
class Air:
    """What is uncertain in the flight, and how the archer shoots."""

    crossflow: float
    growth: float
    point_slope: float
    vane_lift: float
    vane_air: float
    drag: float
    vane_drag: float
    efficiency: float
    scatter: float
    form: float
    sight: Vector

    @staticmethod
    def draw(random: np.random.Generator, rig: Rig) -> "Air":
        """One archer on one day."""
        axis = random.uniform(1.2, 1.7) if rig.streamlined else random.uniform(1.5, 2.2)
        return Air(
            crossflow=random.uniform(0.75, 1.25),
            growth=random.choice([0.0, 3.0]),
            point_slope=2.0 * random.uniform(0.7, 1.3),
            vane_lift=random.uniform(0.8, 1.2),
            vane_air=random.uniform(0.88, 0.97),
            drag=axis,
            vane_drag=random.uniform(0.2, 0.5),
            efficiency=random.uniform(0.75, 0.88),
            # 0.7 in at 20 yd for one arrow (invented; typical of a release aid)
            scatter=0.7 * INCH / AT * float(np.exp(random.normal(0.0, 0.25))),
            # rad/s by which launches of one archer differ: a tear by 0.02 to 0.07 in (invented)
            form=random.uniform(0.03, 0.12),
            sight=Vector(*(random.normal(0.0, 1.0 * INCH / AT, 2))),
        )


class Leave(NamedTuple):
    """How an arrow leaves the string in one plane: rad, rad/s, rad."""

    angle: float
    rate: float
    direction: float


CLEAN = Leave(0.0, 0.0, 0.0)
Launcher = Callable[[ArrowKind, Vector], tuple[Leave, Leave]]
#: (arrow, setting, s to the point's hole, s to the tail's): what bending adds to a tear, m.
Flex = Callable[[ArrowKind, Vector, float, float], Vector]
#: (arrow, setting, (k,) s): how far nock and point are off the straight shaft, (k, 2, 2) m.
Ends = Callable[[ArrowKind, Vector, FloatArray], FloatArray]


def _stiff(arrow: ArrowKind, setting: Vector, point: float, tail: float) -> Vector:
    return HERE


def bare_speed(rig: Rig, efficiency: float) -> float:
    """m/s: the same energy goes into the lighter arrow and the bow's own moving mass."""
    fletched = mass_balance_inertia((*rig.parts, rig.vanes))[0]
    moving = fletched * (1.0 / efficiency - 1.0)
    light = mass_balance_inertia(rig.parts)[0]
    return rig.speed * float(np.sqrt((fletched + moving) / (light + moving)))


def body(rig: Rig, air: Air, arrow: ArrowKind) -> Body:
    """The flight's record of this arrow."""
    bare = arrow == "bare"
    mass, balance, across, axial = mass_balance_inertia(
        rig.parts if bare else (*rig.parts, rig.vanes)
    )
    area = rig.vane_fill * rig.vane_length * rig.vane_height
    # the shaft is a wall that doubles the vane
    ratio = 2.0 * rig.vane_height**2 / area
    slope = 2.0 * np.pi * ratio / (2.0 + np.sqrt(4.0 + ratio * ratio))
    return Body(
        mass=mass,
        inertia=across,
        axial_inertia=axial,
        tail=-balance,
        tip=rig.tip - balance,
        radius=rig.radius,
        density=1.2,
        viscosity=1.5e-5,
        drag=air.drag + (0.0 if bare else air.vane_drag),
        point_slope=air.point_slope,
        crossflow=air.crossflow,
        growth=air.growth,
        vane_count=0.0 if bare else float(rig.vane_count),
        vane_area=area,
        vane_slope=slope * air.vane_lift,
        vane_place=rig.vanes.start + 0.5 * rig.vane_length - balance,
        vane_arm=rig.radius + 0.45 * rig.vane_height,
        vane_upwash=1.0 + rig.radius / (rig.radius + rig.vane_height),
        vane_air=air.vane_air,
        vane_offset=rig.vane_offset,
    )


def read_tear(random: np.random.Generator, arrow: ArrowKind, exact: Vector) -> Vector:
    """A tear as it is read: with an error, in 32nds, nothing where vanes hide it."""
    seen = np.array(exact) + random.normal(0.0, TEAR_ERROR[arrow], 2)
    if arrow == "fletched":
        seen[np.abs(seen) < SLIT] = 0.0
    return Vector(*(_TEAR_GRID * np.round(seen / _TEAR_GRID)))


class Flown(Truth):
    """A bow whose arrows leave as ``launcher`` says and fly as :mod:`truths.flight` does."""

    def __init__(
        self,
        rig: Rig,
        air: Air,
        launcher: Launcher,
        random: np.random.Generator,
        flex: Flex = _stiff,
        ends: Ends | None = None,
    ) -> None:
        self._air, self._launcher, self._random, self._flex = air, launcher, random, flex
        self._ends = ends
        self._tip = rig.tip
        self._bodies = {kind: body(rig, air, kind) for kind in ("bare", "fletched")}
        self._speeds = {"bare": bare_speed(rig, air.efficiency), "fletched": rig.speed}
        self._elevation = lru_cache(self._elevate)
        self._flights = lru_cache(self._fly)

    def _start(self, arrow: ArrowKind, up: float, leave: tuple[Leave, Leave]) -> Start:
        right, above = leave
        return Start(
            speed=self._speeds[arrow],
            right=right.direction,
            up=up + above.direction,
            yaw=right.angle,
            pitch=up + above.angle,
            yaw_rate=right.rate,
            pitch_rate=above.rate,
        )

    def _elevate(self, distance: float) -> float:
        """Of the bore line, so that a clean fletched arrow hits the aim: the pin for it is used."""
        up = 0.5 * 9.81 * distance / self._speeds["fletched"] ** 2
        for _ in range(3):
            miss = impact(
                self._bodies["fletched"], self._start("fletched", up, (CLEAN, CLEAN)), distance
            )[1]
            up -= miss / distance
        return float(up)

    def _fly(self, arrow: ArrowKind, leave: tuple[Leave, Leave], distance: float) -> FloatArray:
        start = self._start(arrow, self._elevation(distance), leave)
        return impact(self._bodies[arrow], start, distance)

    def mean(self, arrow: ArrowKind, setting: Vector, distance: float) -> Vector:
        """Where this arrow hits on average, with a sight that is right for a clean launch."""
        return Vector(*self._flights(arrow, self._launcher(arrow, setting), distance))

    def _loosed(self, arrow: ArrowKind, setting: Vector) -> tuple[Leave, Leave]:
        """How one arrow leaves: no two alike."""
        right, up = self._launcher(arrow, setting)
        more = self._random.normal(0.0, self._air.form, 2)
        return right._replace(rate=right.rate + more[0]), up._replace(rate=up.rate + more[1])

    def mean_tear(self, arrow: ArrowKind, setting: Vector, paper: float) -> Vector:
        """The tear without a reading error."""
        return self._tear(arrow, setting, paper, self._launcher(arrow, setting))

    def _tear(
        self, arrow: ArrowKind, setting: Vector, paper: float, leave: tuple[Leave, Leave]
    ) -> Vector:
        start = self._start(arrow, self._elevation(AT), leave)
        rigid = tear(self._bodies[arrow], start, paper)
        speed = self._speeds[arrow]
        bent = self._flex(arrow, setting, (paper - self._tip) / speed, paper / speed)
        return Vector(*(rigid + np.array(bent)))

    def shoot(self, arrow: ArrowKind, setting: Vector, distance: float) -> Vector:
        """See :class:`protocol.Truth`; the sight was set with the fletched arrow at the start."""
        start = self._start(arrow, self._elevation(distance), self._loosed(arrow, setting))
        hit = impact(self._bodies[arrow], start, distance)
        hit -= np.array(self.mean("fletched", HERE, distance))
        hit += distance * np.array(self._air.sight)
        return Vector(*(hit + self._random.normal(0.0, self._air.scatter * distance, 2)))

    def tear(self, arrow: ArrowKind, setting: Vector, paper: float) -> Vector:
        """See :class:`protocol.Truth`."""
        exact = self._tear(arrow, setting, paper, self._loosed(arrow, setting))
        return read_tear(self._random, arrow, exact)

    def film(
        self, arrow: ArrowKind, setting: Vector, view: View, error: float
    ) -> list[list[float]] | None:
        """See :class:`protocol.Truth`: a pinhole that shows 9 ft of path, set up by eye."""
        start = self._start(arrow, self._elevation(AT), self._loosed(arrow, setting))
        body, speed, chance = self._bodies[arrow], self._speeds[arrow], self._random
        course_of = course(body, start, 4.0)
        ticks = np.linspace(0.0, 4.0 / speed, 120)
        bent = np.zeros((120, 2, 2)) if self._ends is None else self._ends(arrow, setting, ticks)

        def motion(stations: FloatArray, at: FloatArray) -> FloatArray:
            place, axis = course_of(at)
            found = place + stations[:, None] * axis
            for k, station in enumerate(stations):
                off = bent[:, int(station > 0.0)]
                found[k, 2] += np.interp(at[k], ticks, off[:, 0])
                found[k, 1] += np.interp(at[k], ticks, off[:, 1])
            return found

        shows = 2.75
        middle = np.array([0.5 * shows, 0.02, 0.0]) + chance.normal(0.0, 0.05, 3)
        camera = phone(
            view, middle, shows * 1400.0 / 1920.0, off=tuple(chance.normal(0.0, 0.035, 3)),
            lens=chance.normal(0.0, 0.004), readout=0.003 * chance.choice([-1.0, 1.0]),
        )  # fmt: skip
        moments = (chance.uniform() + np.arange(12)) / 240.0
        frames = camera.film(
            motion, np.array([body.tail, body.tip]), moments[moments < 3.9 / speed]
        )
        marked = [(n, m + error * chance.normal(size=(2, 2))) for n, m in frames]
        return [[n, *map(float, m.ravel())] for n, m in marked] if len(marked) > 1 else None

    def separation(self, setting: Vector, distance: float = AT) -> Vector:
        """See :class:`protocol.Truth`."""
        bare = self.mean("bare", setting, distance)
        fletched = self.mean("fletched", setting, distance)
        return Vector(bare.right - fletched.right, bare.up - fletched.up)

    def clean(self, distance: float = AT) -> Vector:
        """See :class:`protocol.Truth`."""
        bare, fletched = (
            self._flights(kind, (CLEAN, CLEAN), distance) for kind in ("bare", "fletched")
        )
        return Vector(*(bare - fletched))

    def rates(self, setting: Vector) -> Vector:
        """See :class:`protocol.Truth`."""
        right, above = self._launcher("bare", setting)
        return Vector(right.rate, above.rate)


def mirrored_rig(rig: Rig) -> Rig:
    """The same with vanes that turn the other way."""
    return replace(rig, vane_offset=-rig.vane_offset)
