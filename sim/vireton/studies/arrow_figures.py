"""What sets one arrow apart from another on its bow, as plain numbers."""

from dataclasses import dataclass, fields, replace

import numpy as np

from vireton.bow.arrow import Arrow, kinetic_energy
from vireton.flight.flight import Flight, Wind, fly_prepared, prepare, surround
from vireton.flight.stability import (
    drag_area,
    settling_distance,
    small_swing,
    spin_up_distance,
    static_margin,
    steady_spin,
)
from vireton.kernel.arrays import FloatArray
from vireton.kernel.parameters import Parameters
from vireton.launch import Launch
from vireton.rig import Rig
from vireton.studies.rest_moves import TALKING_DISTANCE

#: m/s, 10 mph out of 3 o'clock: the crosswind of the drift.
CROSSWIND = 4.4704
#: rad/s of launch yaw rate, nose right, that the shifts are for: a small error of a launch.
YAW_RATE = 0.1


@dataclass(frozen=True)
class ArrowFigures:
    """One arrow from its bow in still air on level ground. SI; arrays (n,) at the distances.

    ``mass`` kg and ``foc`` (a fraction) of the fletched arrow; ``margin`` m of the center of
    pressure behind the balance point (``margin_share``: ÷ the arrow's length):
    :func:`vireton.flight.stability.static_margin`; ``wavelength`` m of one swing at small yaw and
    steady spin: :func:`vireton.flight.stability.small_swing`; ``settling`` m:
    :func:`vireton.flight.stability.settling_distance`. ``drag_area`` m² (drag ÷ dynamic pressure)
    and ``drag_coefficient`` on the shaft's cross-section are at launch speed, zero yaw, before it
    spins; ``spinning_drag_coefficient`` at its steady spin. ``steady_spin`` rad/s, either way, is
    that at launch speed, ``spin_up`` m the distance to nine tenths of it. ``launch_speed`` m/s.

    ``speed`` m/s; ``energy`` J; ``drop`` m of the impact below the bore line; ``drift`` m down a
    crosswind of :data:`CROSSWIND`, against the same shot in still air; ``yaw_rate_shift`` m to the
    right for :data:`YAW_RATE` of launch yaw rate more, nose right. ``bare_separation`` m: how far
    that yaw rate moves the bare shaft to the right of the fletched arrow at
    :data:`TALKING_DISTANCE`. nan where there is no such thing, or the distance is not reached.
    """

    mass: float
    foc: float
    margin: float
    margin_share: float
    drag_area: float
    drag_coefficient: float
    spinning_drag_coefficient: float
    launch_speed: float
    wavelength: float
    settling: float
    steady_spin: float
    spin_up: float
    bare_separation: float
    speed: FloatArray
    energy: FloatArray
    drop: FloatArray
    drift: FloatArray
    yaw_rate_shift: FloatArray

    def by_name(self) -> dict[str, FloatArray]:
        """Every figure as an array: of shape () or (n,)."""
        return {item.name: np.asarray(getattr(self, item.name)) for item in fields(self)}


def arrow_figures(rig: Rig, distances: FloatArray) -> ArrowFigures:
    """Work out the figures of the rig's fletched arrow.

    Args:
        rig: measured from the bore line (no sight-in), in still air on level ground, no cant; its
            launch errors are flown as the bow makes them.
        distances: (n,) m from the grip.
    """
    arrow, conditions = rig.fletched, rig.conditions
    launch = rig.launch(arrow)
    body = prepare(arrow, launch.speed, conditions)
    windy = surround(body, replace(conditions, wind=Wind(towards_right=-CROSSWIND)))

    def shot(flown: Parameters, errors: Launch) -> Flight:
        return fly_prepared(arrow, flown, errors, distances, rig.aim, rig.bow.brace_height)

    still = shot(body, launch)
    spin = steady_spin(body, launch.speed)
    swing = small_swing(body, launch.speed, spin)
    margin = static_margin(body, launch.speed)
    area = drag_area(body, launch.speed)
    turned = [shot(body, one).right for one in _turned(launch)]
    return ArrowFigures(
        mass=arrow.mass,
        foc=arrow.foc,
        margin=margin,
        margin_share=margin / arrow.parts.length,
        drag_area=area,
        drag_coefficient=area / body.cross_section,
        spinning_drag_coefficient=drag_area(body, launch.speed, spin) / body.cross_section,
        launch_speed=launch.speed,
        wavelength=swing.wavelength,
        settling=settling_distance(body, launch.speed, swing),
        steady_spin=abs(spin),
        spin_up=spin_up_distance(body, launch.speed),
        bare_separation=_bare_separation(rig),
        speed=still.speed,
        energy=np.asarray(kinetic_energy(arrow.mass, 1.0) * still.speed**2),
        drop=-still.up,
        drift=still.right - shot(windy, launch).right,
        yaw_rate_shift=0.5 * (turned[0] - turned[1]),
    )


def _turned(launch: Launch) -> tuple[Launch, Launch]:
    """The launch with the yaw rate more and less."""
    return (
        replace(launch, yaw_rate=launch.yaw_rate + YAW_RATE),
        replace(launch, yaw_rate=launch.yaw_rate - YAW_RATE),
    )


def _bare_separation(rig: Rig) -> float:
    if not rig.fletched.is_fletched:
        return float("nan")

    def moved(arrow: Arrow) -> float:
        launch = rig.launch(arrow)
        body = prepare(arrow, launch.speed, rig.conditions)
        right = [
            fly_prepared(arrow, body, one, [TALKING_DISTANCE], rig.aim, rig.bow.brace_height).right[
                0
            ]
            for one in _turned(launch)
        ]
        return 0.5 * float(right[0] - right[1])

    return moved(rig.bare) - moved(rig.fletched)
