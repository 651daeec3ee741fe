"""From bow, rest setting and arrow to the state in which the arrow leaves the string."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from vireton.arrow import STANDARD_GRAVITY, Arrow, kinetic_energy
from vireton.bow import Bow
from vireton.launch.draw_force import stored_energy
from vireton.launch.stroke import StrokeParameters, through_stroke
from vireton.problems import InputProblem

FloatArray = npt.NDArray[np.float64]

_STEPS = 160
_FOOT_POUND = 1.3558179483314004
_FEET_PER_SECOND = 0.3048

#: A share of the stored energy beyond which the speed cannot belong to this bow. Real bows stay
#: below 1; the draw-force curve here is a typical one, so some room is left (our choice).
_IMPOSSIBLE_SHARE = 1.25
#: Above this the moving mass of the bow is taken as if its efficiency were this (our choice).
_HIGHEST_EFFICIENCY = 0.95


@dataclass(frozen=True)
class Launch:
    """The arrow as it leaves the string. SI units and the archer's signs.

    ``speed`` m/s; ``direction_right``, ``direction_up`` rad of the centre of gravity's path from
    the bore line; ``yaw`` nose right and ``pitch`` nose up rad of the shaft against that path;
    their rates rad/s; ``offset_right``, ``offset_up`` m of the centre of gravity from the bore
    line; ``spin`` rad/s, clockwise for the archer.
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


@dataclass(frozen=True)
class PowerStroke:
    """What the bow gives, worked out once from the measured speed of its fletched arrow.

    ``stored_energy`` J at full draw; ``efficiency`` kinetic ÷ stored; ``bow_mass`` kg that moves as
    if fixed to the arrow, by which other arrow masses get other speeds.
    """

    stored_energy: float
    efficiency: float
    bow_mass: float
    notes: tuple[str, ...] = ()

    def speed_of(self, mass: float) -> float:
        """Launch speed of an arrow of this mass (kg), m/s: ½(m + bow_mass)v² is what is stored."""
        return float(np.sqrt(2.0 * self.stored_energy / (mass + self.bow_mass)))


def power_stroke(bow: Bow, fletched: Arrow) -> PowerStroke:
    """Match the draw-force curve to the measured speed of the fletched arrow.

    Raises InputProblem where the arrow carries far more energy than the bow can store.
    """
    peak = bow.draw_weight
    holding = peak * (1.0 - bow.let_off)
    stroke = bow.power_stroke
    stored = float(stored_energy(stroke, peak, holding, stroke))
    kinetic = kinetic_energy(fletched.mass, bow.arrow_speed)
    share = kinetic / stored
    if share > _IMPOSSIBLE_SHARE:
        possible = np.sqrt(2.0 * stored / fletched.mass)
        raise InputProblem(
            f"bow.arrow_speed of {bow.arrow_speed / _FEET_PER_SECOND:.0f} fps gives this arrow "
            f"{kinetic / _FOOT_POUND:.0f} ft·lbf, but the bow stores about "
            f"{stored / _FOOT_POUND:.0f} ft·lbf: at most some "
            f"{possible / _FEET_PER_SECOND:.0f} fps. Check the speed, the draw weight, the draw "
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
    return PowerStroke(stored, share, fletched.mass * (1.0 / share - 1.0), notes)


def _cubic_path(places: tuple[float, ...], stroke: float) -> FloatArray:
    """Nock path as cubic pieces (4, n) through equally spaced places; a straight line if empty."""
    if not places:
        return np.zeros((4, 1))
    from scipy.interpolate import CubicSpline  # noqa: PLC0415 (costs 0.3 s, seldom needed)

    travel = np.linspace(0.0, stroke, len(places))
    return np.ascontiguousarray(CubicSpline(travel, places, bc_type="natural").c)


def release(
    bow: Bow, stroke: PowerStroke, arrow: Arrow, move_right: float = 0.0, move_up: float = 0.0
) -> Launch:
    """Shoot this arrow with the rest moved by (right, up) m from where the bow has it.

    Rigid shaft; sideways the string gives, up and down the nock stays on its path (cams tied
    together). Valid for small angles: offsets of a few mm on a rest some 0.2 m or more ahead of
    the nock.
    """
    peak = bow.draw_weight
    shared = StrokeParameters(
        peak=peak,
        holding=peak * (1.0 - bow.let_off),
        stroke=bow.power_stroke,
        bow_mass=_bow_mass_for_force(bow, stroke, arrow.mass),
        mass=arrow.mass,
        inertia=arrow.transverse_inertia,
        arm=arrow.balance,
        string_mass=bow.string_mass / 3.0,
        stiffness_factor=1.0 / (1.0 + bow.sideways_softness),
        steady_acceleration=0.0,
        guided=0.0,
        let_go=bow.rest.lets_go * bow.power_stroke,
        rest_at_full_draw=bow.power_stroke + bow.rest.ahead_of_string,
        offset=bow.rest.offset_right + move_right,
    )
    sideways = through_stroke(shared, _cubic_path(bow.nock_travel_right, bow.power_stroke), _STEPS)
    vertical = through_stroke(
        shared._replace(
            guided=1.0,
            steady_acceleration=-STANDARD_GRAVITY,
            offset=bow.rest.offset_up + move_up,
        ),
        _cubic_path(bow.nock_travel_up, bow.power_stroke),
        _STEPS,
    )
    speed = stroke.speed_of(arrow.mass)
    direction_right, yaw, yaw_rate, offset_right = _at_release(sideways, arrow.balance, speed)
    direction_up, pitch, pitch_rate, offset_up = _at_release(vertical, arrow.balance, speed)
    return Launch(
        speed=speed,
        direction_right=direction_right,
        direction_up=direction_up,
        yaw=yaw,
        pitch=pitch,
        yaw_rate=yaw_rate,
        pitch_rate=pitch_rate,
        offset_right=offset_right,
        offset_up=offset_up,
    )


def _bow_mass_for_force(bow: Bow, stroke: PowerStroke, mass: float) -> float:
    """Moving mass of the bow against the *typical* draw-force curve, so that the speed comes out.

    Equal to ``stroke.bow_mass`` unless the curve had to be scaled up for a fast bow.
    """
    peak = bow.draw_weight
    typical = float(
        stored_energy(bow.power_stroke, peak, peak * (1.0 - bow.let_off), bow.power_stroke)
    )
    return (mass + stroke.bow_mass) * typical / stroke.stored_energy - mass


def _at_release(end: FloatArray, arm: float, speed: float) -> tuple[float, float, float, float]:
    """Direction, angle against it, angular rate and offset of the centre of gravity."""
    y, y_rate, psi, psi_rate = (float(value) for value in end[:4])
    direction = (y_rate + arm * psi_rate) / speed
    return direction, psi - direction, psi_rate, y + arm * psi
