"""The shots that figures are read off, and the figures of one arrow as plain numbers."""

from dataclasses import replace
from functools import cached_property

import numpy as np

from vireton.bow.arrow import Arrow, kinetic_energy
from vireton.flight.flight import Flight, Wind, fly_prepared, prepare, surround
from vireton.flight.stability import (
    Swing,
    drag_area,
    settling_distance,
    small_swing,
    spin_up_distance,
    static_margin,
    steady_spin,
)
from vireton.kernel.arrays import FloatArray
from vireton.kernel.parameters import Parameters
from vireton.rig import Rig
from vireton.studies.figures import FIGURES
from vireton.studies.rest_moves import TALKING_DISTANCE

#: m/s, 10 mph out of 3 o'clock: the crosswind of the drift.
CROSSWIND = 4.4704
#: rad/s of launch yaw rate, nose right, that the shifts are for: a small error of a launch.
YAW_RATE = 0.1


def arrow_figures(rig: Rig, distances: FloatArray) -> dict[str, FloatArray]:
    """Work out the figures of the rig's fletched arrow.

    Args:
        rig: measured from the bore line (no sight-in), in still air on level ground, no cant; its
            launch errors are flown as the bow makes them.
        distances: (n,) m from the grip.

    Returns:
        By the names of :data:`~vireton.studies.figures.FIGURES`, SI, of shape () or (n,).
    """
    shots = Shots(rig, distances)
    return {one.name: np.asarray(one.read(shots)) for one in FIGURES}


class Shots:
    """The fletched arrow shot in still air and in a crosswind, straight and crooked. SI."""

    def __init__(self, rig: Rig, distances: FloatArray) -> None:
        self._rig, self._where = rig, distances
        self.arrow: Arrow = rig.fletched
        self._launch = rig.launch(self.arrow)
        self.speed: float = self._launch.speed
        self.body: Parameters = prepare(self.arrow, self.speed, rig.conditions)

    @cached_property
    def still(self) -> Flight:
        """In still air."""
        return self._shot(self.body)

    @cached_property
    def windy(self) -> Flight:
        """In the crosswind."""
        wind = Wind(towards_right=-CROSSWIND)
        return self._shot(surround(self.body, replace(self._rig.conditions, wind=wind)))

    def _shot(self, body: Parameters) -> Flight:
        return fly_prepared(
            self.arrow, body, self._launch, self._where, self._rig.aim, self._rig.bow.brace_height
        )

    @cached_property
    def turned(self) -> FloatArray:
        """(n,) m to the right for :data:`YAW_RATE` of launch yaw rate more, nose right."""
        return self._turned(self.arrow, self._where)

    @cached_property
    def bare_separation(self) -> float:
        """How far that moves the bare shaft to the right of the fletched arrow at 20 yd, m."""
        if not self.arrow.is_fletched:
            return float("nan")
        there = np.array([TALKING_DISTANCE])
        bare, fletched = (self._turned(one, there) for one in (self._rig.bare, self.arrow))
        return float(bare[0]) - float(fletched[0])

    def _turned(self, arrow: Arrow, where: FloatArray) -> FloatArray:
        rig = self._rig
        launch = rig.launch(arrow)
        body = prepare(arrow, launch.speed, rig.conditions)
        more, less = (
            fly_prepared(
                arrow, body, replace(launch, yaw_rate=launch.yaw_rate + rate), where, rig.aim,
                rig.bow.brace_height,
            ).right
            for rate in (YAW_RATE, -YAW_RATE)
        )  # fmt: skip
        return 0.5 * (more - less)

    @cached_property
    def energy(self) -> FloatArray:
        """(n,) J in still air."""
        return np.asarray(kinetic_energy(self.arrow.mass, 1.0) * self.still.speed**2)

    @cached_property
    def spin(self) -> float:
        """Steady at launch speed, rad/s."""
        return steady_spin(self.body, self.speed)

    @cached_property
    def swing(self) -> Swing:
        """At small yaw and steady spin."""
        return small_swing(self.body, self.speed, self.spin)

    @cached_property
    def margin(self) -> float:
        """Center of pressure behind the balance point, m."""
        return static_margin(self.body, self.speed)

    @cached_property
    def settling(self) -> float:
        """See :func:`~vireton.flight.stability.settling_distance`, m."""
        return settling_distance(self.body, self.speed, self.swing)

    @cached_property
    def spin_up(self) -> float:
        """See :func:`~vireton.flight.stability.spin_up_distance`, m."""
        return spin_up_distance(self.body, self.speed)

    def drag_area(self, spin: float = 0.0) -> float:
        """Drag ÷ dynamic pressure at launch speed and zero yaw, m²."""
        return drag_area(self.body, self.speed, spin)
