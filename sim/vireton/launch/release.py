"""From bow, rest setting and arrow to the state in which the arrow leaves the string."""

from dataclasses import dataclass, replace

import numpy as np

from vireton.bow.arrow import POUND_FORCE, Arrow, kinetic_energy
from vireton.bow.bow import Bow
from vireton.kernel.arrays import FloatArray
from vireton.launch.beam import critical_acceleration, free_frequencies, modes
from vireton.launch.draw_force import draw_of, highest_push, stored_energy
from vireton.launch.planes import PlaneShot, plane_at_release
from vireton.units.numbers import FOOT, INCH
from vireton.units.problems import InputProblem

_FOOT_POUND = FOOT * POUND_FORCE

#: A share of the energy that the bow can store at most, beyond which the speed cannot belong to it.
#: Real bows stay below 1; the draw-force curve is seldom measured, so some room is left (our
#: choice).
_IMPOSSIBLE_SHARE = 1.2
#: The steepest rise of the draw force that is plausible, of the stroke (our choice).
_STEEPEST_RISE = 0.15
#: Above this the moving mass of the bow is taken as if its efficiency were this (our choice).
_HIGHEST_EFFICIENCY = 0.95


@dataclass(frozen=True)
class Launch:
    """The arrow as it leaves the string. SI units and the archer's signs.

    ``speed`` m/s; ``direction_right``, ``direction_up`` rad of the center of gravity's path from
    the bore line; ``yaw`` nose right and ``pitch`` nose up rad of the shaft against that path;
    their rates rad/s; ``offset_right``, ``offset_up`` m of the center of gravity from the bore
    line; ``spin`` rad/s, clockwise for the archer. ``bend_right`` and ``bend_up`` m are what is
    left of the shaft's bending: the amplitude at the nock of its lowest free shape, whose nock then
    stands ``bent_right``, ``bent_up`` m off a straight shaft, and which swings at
    ``bend_frequency`` Hz (0: a rigid shaft) with ``bend_damping`` of critical; at the point it is
    ``bend_point_share`` as large.
    """

    speed: float
    direction_right: float = 0.0
    direction_up: float = 0.0
    yaw: float = 0.0
    pitch: float = 0.0
    yaw_rate: float = 0.0
    pitch_rate: float = 0.0
    offset_right: float = 0.0
    offset_up: float = 0.0
    spin: float = 0.0
    bend_right: float = 0.0
    bend_up: float = 0.0
    bent_right: float = 0.0
    bent_up: float = 0.0
    bend_frequency: float = 0.0
    bend_damping: float = 0.0
    bend_point_share: float = 0.0

    @property
    def by_axis(self) -> FloatArray:
        """(2, 3), right then up: turning rad/s, angle to the path rad, the path's direction rad."""
        return np.array(
            [
                [self.yaw_rate, self.yaw, self.direction_right],
                [self.pitch_rate, self.pitch, self.direction_up],
            ]
        )


@dataclass(frozen=True)
class PowerStroke:
    """What the bow gives, worked out once from the measured speed of its fletched arrow.

    ``stored_energy`` J at full draw; ``bow_mass`` kg that moves as if fixed to the arrow, by which
    other arrow masses get other speeds.
    """

    stored_energy: float
    bow_mass: float
    notes: tuple[str, ...] = ()

    def speed_of(self, mass: float) -> float:
        """Launch speed of an arrow of this mass (kg), m/s: ½(m + bow_mass)v² is what is stored."""
        return float(np.sqrt(2.0 * self.stored_energy / (mass + self.bow_mass)))


def power_stroke(bow: Bow, fletched: Arrow) -> PowerStroke:
    """Match the draw-force curve to the measured speed of the fletched arrow.

    Raises InputProblem where the arrow carries far more energy than the bow can store, or is so
    short that it falls off the rest at full draw.
    """
    _shaft_reaches_rest(bow, fletched)
    stored = _energy_by_curve(bow)
    kinetic = kinetic_energy(fletched.mass, bow.arrow_speed)
    share = kinetic / stored
    # not by the bow's own rise: where that is drawn, no draw may be refused that others pass
    steep = min(bow.draw_curve.rise, _STEEPEST_RISE)
    most = _energy_by_curve(replace(bow, draw_curve=replace(bow.draw_curve, rise=steep)))
    if kinetic > _IMPOSSIBLE_SHARE * most:
        possible = np.sqrt(2.0 * most / fletched.mass)
        raise InputProblem(
            f"bow.arrow_speed of {bow.arrow_speed / FOOT:.0f} fps gives this arrow "
            f"{kinetic / _FOOT_POUND:.0f} ft·lbf, but the bow stores about "
            f"{most / _FOOT_POUND:.0f} ft·lbf: at most some "
            f"{possible / FOOT:.0f} fps. Check the speed, the draw weight, the draw "
            "length and the arrow's mass"
        )
    notes: tuple[str, ...] = ()
    if share > _HIGHEST_EFFICIENCY:
        notes = (
            f"this arrow carries {share:.0%} of what a typical draw-force curve of this weight and "
            "length stores: a fast bow, or one of the numbers is off",
        )
        stored = kinetic / _HIGHEST_EFFICIENCY
        share = _HIGHEST_EFFICIENCY
    return PowerStroke(stored, fletched.mass * (1.0 / share - 1.0), notes)


def speed_on_bow(measured_bow: Bow, measured_arrow: Arrow, bow: Bow, arrow: Arrow) -> float:
    """Launch speed, m/s, of ``arrow`` from ``bow``, from a speed measured with another pair.

    What moves with the string stays as it was measured, so that ½(m + bow_mass)v² follows what is
    stored; a bow of another weight or stroke stores more or less by its draw-force curve.
    ``measured_bow.arrow_speed`` is the measured speed; that of ``bow`` is not looked at. Raises
    InputProblem as :func:`power_stroke` does.
    """
    stroke = power_stroke(measured_bow, measured_arrow)
    gain = _energy_by_curve(bow) / _energy_by_curve(measured_bow)
    return replace(stroke, stored_energy=gain * stroke.stored_energy).speed_of(arrow.mass)


def _energy_by_curve(bow: Bow) -> float:
    """J at full draw, by the readings of a bow scale, or by the typical shape without any."""
    return stored_energy(draw_of(bow))


def _shaft_reaches_rest(bow: Bow, arrow: Arrow) -> None:
    reach = bow.power_stroke + bow.rest.ahead_of_string
    if arrow.parts.length <= reach:
        raise InputProblem(
            f"DANGER: an arrow of {arrow.parts.length / INCH:.2f} in is too short for this bow: "
            f"at full draw the rest is {reach / INCH:.2f} in from the nock's throat and the "
            "shaft falls off it. Do not draw it; take a longer one"
        )


def release(
    bow: Bow, stroke: PowerStroke, arrow: Arrow, move_right: float = 0.0, move_up: float = 0.0
) -> Launch:
    """Shoot this arrow with the rest moved by (right, up) m from where the bow has it.

    The shaft bends where ``bow.launch_model`` is flexible and its spine is known, else it is rigid.
    Sideways the string gives; up and down the nock stays on its path (cams tied together) or rides
    along the string (a free idler, bending shaft only). Valid for small angles: offsets of a few mm
    on a rest some 0.2 m or more ahead of the nock.
    """
    bow_mass = _bow_mass_for_force(bow, stroke, arrow.mass)
    right = plane_at_release(
        PlaneShot(bow, arrow, "right", bow.rest.offset_right + move_right, bow_mass)
    )
    up = plane_at_release(PlaneShot(bow, arrow, "up", bow.rest.offset_up + move_up, bow_mass))
    speed = stroke.speed_of(arrow.mass)
    direction_right, direction_up = right.rate / speed, up.rate / speed
    launch = Launch(
        speed=speed,
        direction_right=direction_right,
        direction_up=direction_up,
        yaw=right.angle - direction_right,
        pitch=up.angle - direction_up,
        yaw_rate=right.turning,
        pitch_rate=up.turning,
        offset_right=right.place,
        offset_up=up.place,
    )
    if bow.launch_model == "rigid" or arrow.stiffness is None:
        return launch
    free = modes(arrow, pinned=False, flexible=1)
    return replace(
        launch,
        bend_right=right.bend,
        bend_up=up.bend,
        bent_right=right.bent,
        bent_up=up.bent,
        bend_frequency=float(free_frequencies(arrow, arrow.stiffness, 1)[0]),
        bend_damping=bow.shaft_damping,
        bend_point_share=free.first_bending_at_point / free.first_bending_at_nock,
    )


def column_load_share(bow: Bow, stroke: PowerStroke, arrow: Arrow) -> float | None:
    """Largest push of the string ÷ the push that would buckle the shaft between nock and rest.

    Taken where the draw force reaches its peak, the rest still under the shaft. None where the
    spine is not known. Near or above 1 the shaft's answer to a rest move grows without measure.
    """
    if arrow.stiffness is None:
        return None
    most, draw = highest_push(draw_of(bow))
    push = most / (arrow.mass + _bow_mass_for_force(bow, stroke, arrow.mass))
    rest = bow.rest.ahead_of_string + draw
    return push / critical_acceleration(arrow, arrow.stiffness, rest)


def _bow_mass_for_force(bow: Bow, stroke: PowerStroke, mass: float) -> float:
    """Moving mass, kg, that makes the speed come out under the push of the bow's draw-force curve.

    Equal to ``stroke.bow_mass`` unless more had to be taken as stored than the curve holds.
    """
    return (mass + stroke.bow_mass) * _energy_by_curve(bow) / stroke.stored_energy - mass
