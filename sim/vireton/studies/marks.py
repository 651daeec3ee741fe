"""Where a pin must stand for each distance: the sight's geometry, the elevations of real flights.

A mark is a number on the sight's bar that rises as the pin goes down: farther is a larger number.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from vireton.bow.arrow import STANDARD_GRAVITY
from vireton.bow.bow import AMO_DRAW_EXTRA
from vireton.flight.flight import Flight, Wind, fly_prepared, prepare
from vireton.flight.sighting import CLOSE, not_brought, not_carried
from vireton.flight.volley import Aim
from vireton.kernel.arrays import FloatArray
from vireton.kernel.parameters import Parameters
from vireton.rig import Rig

_ROUNDS = 25
_PEEP_ROUNDS = 4  # each leaves a hundredth of the error of the one before


@dataclass(frozen=True)
class Trial:
    """What a set of marks can tell of bow and arrow.

    ``radius`` m from peep to pin; ``speed`` m/s at the bow; ``drag`` a factor on the drag of the
    model (of point, shaft skin, base and vane edges; 1 is the model's own); ``height`` m by which
    the line of sight is higher above the arrow than the setup says.
    """

    radius: float
    speed: float
    drag: float = 1.0
    height: float = 0.0


def with_drag(body: Parameters, factor: float) -> Parameters:
    """The body with all drag along its axis times ``factor``, but that of its vanes' lift."""
    return body._replace(
        friction_factor=body.friction_factor * factor,
        point_drag=body.point_drag * factor,
        # base drag goes with 1/√friction
        base_factor=body.base_factor * factor**1.5,
        vane_edge_area=body.vane_edge_area * factor,
    )


@dataclass(frozen=True)
class Peep:
    """Where the eye looks through, in the bow: m above the bore line and behind the grip."""

    above: float
    behind: float

    def aim(self, elevation: float, windage: float) -> Aim:
        """The bow held so that the bore line stands ``elevation`` rad above the line of sight.

        The line of sight turns about the peep, so a lower pin also lowers it at the grip.
        """
        height = self.above - self.behind * math.tan(elevation)
        return Aim(elevation, windage, height)


class Marksman:
    """One rig whose elevations are asked for many times.

    The setup's height of the line of sight is half way between peep and pin with the sight set for
    ``zero`` m. The peep is taken as far behind the grip as the nock at full draw, which is right to
    a few inches; three of them change a mark by some two thousandths of an inch.
    """

    def __init__(self, rig: Rig, radius: float, zero: float) -> None:
        self._arrow, self._brace = rig.fletched, rig.bow.brace_height
        self._launch = rig.launch(rig.fletched)
        self._still = replace(rig.conditions, wind=Wind(), slope=0.0)
        self._windage = rig.aim.windage
        behind, height = rig.bow.draw_length - AMO_DRAW_EXTRA, rig.sight.height_above_arrow
        nominal = Trial(radius, rig.bow.arrow_speed)
        self._peep = Peep(height, behind)
        for _ in range(_PEEP_ROUNDS):
            first = self._elevation(zero, nominal, self._peep)
            self._peep = Peep(height + 0.5 * radius * math.tan(first), behind)

    def elevations(self, distances: FloatArray, trial: Trial) -> FloatArray:
        """(n,) rad of the bore line above the line of sight that hits at ``distances`` (n,) m.

        Raises NotSightedError where the arrow does not carry that far.
        """
        peep = replace(self._peep, above=self._peep.above + trial.height)
        return np.array([self._elevation(float(one), trial, peep) for one in distances])

    def speed_left(self, distance: float, trial: Trial) -> float:
        """Speed m/s of the arrow at ``distance`` m, shot along its bore line without gravity."""
        body = self._body(trial)._replace(gravity_x=0.0, gravity_up=0.0)
        return float(self._fly(distance, trial, body, Aim()).speed[0])

    def drag_coefficient(self, distance: float, trial: Trial) -> float:
        """The constant drag coefficient, on the shaft's cross-section, that loses as much speed.

        2m ln(V0/V)/(ρ S x), flat fire of constant drag (McCoy 1999, *Modern Exterior Ballistics*).
        """
        arrow, air = self._arrow, self._still.air
        section = 0.25 * math.pi * arrow.parts.shaft.outside_diameter**2
        run = distance + self._brace - arrow.total_length
        lost = math.log(trial.speed / self.speed_left(distance, trial))
        return 2.0 * arrow.mass * lost / (air.density * section * run)

    def _body(self, trial: Trial) -> Parameters:
        return with_drag(prepare(self._arrow, trial.speed, self._still), trial.drag)

    def _fly(self, distance: float, trial: Trial, body: Parameters, aim: Aim) -> Flight:
        launch = replace(self._launch, speed=trial.speed)
        return fly_prepared(self._arrow, body, launch, [distance], aim, self._brace)

    def _elevation(self, distance: float, trial: Trial, peep: Peep) -> float:
        """Secant on real flights, from the drop of a point mass in a vacuum.

        Not :func:`vireton.flight.sighting.sight_in`: the windage stays, and the height moves with
        the pin.
        """
        body = self._body(trial)

        def miss(elevation: float) -> float:
            flight = self._fly(distance, trial, body, peep.aim(elevation, self._windage))
            if not flight.reached_all:
                raise not_carried(distance, flight)
            return float(flight.up[0])

        here = peep.above / distance + 0.5 * STANDARD_GRAVITY * distance / trial.speed**2
        off = miss(here)
        slope = distance + peep.behind
        for _ in range(_ROUNDS):
            if abs(off) < CLOSE:
                return here
            new = here - min(max(off / slope, -0.2), 0.2)
            missed = miss(new)
            if new != here:
                slope = (missed - off) / (new - here)
            here, off = new, missed
        raise not_brought(distance)
