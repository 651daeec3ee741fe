"""What bare and fletched arrows do for given launch errors, with derivatives.

Launch errors are counted from the launch model at the log's first rest setting and are the same for
both arrows: yaw rate and pitch rate, yaw and pitch, direction to the right and up.
"""

from dataclasses import dataclass, replace

import numpy as np

from vireton.bow.arrow import Arrow
from vireton.kernel.arrays import FloatArray
from vireton.kernel.door import DEFAULT_TOLERANCE
from vireton.kernel.start import START
from vireton.rig import Rig
from vireton.tuning.observations import ShotArrow
from vireton.tuning.sensitivities import Released, by_start, released, sensitivities

#: Order of the launch errors: rad/s, rad/s, rad, rad, rad, rad.
ERRORS = ("yaw_rate", "pitch_rate", "yaw", "pitch", "direction_right", "direction_up")
PLACES = [START.index(name) for name in ERRORS]
_DIRECTIONS = [by_start(name) for name in ERRORS]


@dataclass(frozen=True)
class Planes:
    """Where an arrow is asked for: its points at targets (m), its tears at papers (m)."""

    arrow: ShotArrow
    targets: tuple[float, ...] = ()
    papers: tuple[float, ...] = ()


@dataclass(frozen=True)
class Response:
    """Points (n, 2) and tears (k, 2), right and up, m; derivatives (n or k, 2, 6) by the errors."""

    points: FloatArray
    tears: FloatArray
    points_by_error: FloatArray
    tears_by_error: FloatArray


@dataclass(frozen=True)
class Shooter:
    """A rig made ready for many launches of its two arrows."""

    rig: Rig
    shots: dict[ShotArrow, Released]

    @staticmethod
    def of(rig: Rig) -> "Shooter":
        """Its arrows at the rig's own rest setting, the broadhead where it has one."""
        shots: dict[ShotArrow, Released] = {
            "bare": released(rig, rig.bare),
            "fletched": released(rig, rig.fletched),
        }
        if rig.broadhead is not None:
            shots["broadhead"] = released(rig, rig.broadhead)
        return Shooter(rig, shots)

    def arrow(self, kind: ShotArrow) -> Arrow:
        """The arrow of this kind."""
        if kind == "broadhead" and self.rig.broadhead is not None:
            return self.rig.broadhead
        return self.rig.bare if kind == "bare" else self.rig.fletched

    def nominal(self, kind: ShotArrow) -> FloatArray:
        """The rig's own launch, (6,) in the order of :data:`ERRORS`."""
        return np.asarray(self.shots[kind].start[PLACES])

    def _with(self, kind: ShotArrow, errors: FloatArray) -> Released:
        shot = self.shots[kind]
        start = shot.start.copy()
        start[PLACES] += errors
        return replace(shot, start=start)

    def shoot(self, planes: Planes, errors: FloatArray) -> Response:
        """Fly with these launch errors (6,); the derivatives are the flight's own."""
        found = sensitivities(
            self._with(planes.arrow, errors),
            _DIRECTIONS,
            planes.targets,
            planes.papers,
            brace_height=self.rig.bow.brace_height,
            tolerance=DEFAULT_TOLERANCE,
        )
        return Response(found.points, found.tears, found.points_by, found.tears_by)
