"""What a hunter's card takes from a job, and what stands in where a setup file says nothing."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from vireton.bow.parts import Blades, Point
from vireton.units.numbers import INCH

if TYPE_CHECKING:
    from vireton.answers.tune import Tuned
    from vireton.kernel.arrays import ComplexArray, FloatArray
    from vireton.setup import Setup

#: A common fixed head (our choice, no source); it is as heavy as the point that it stands in for.
_BLADES = Blades(
    count=3,
    cutting_diameter=1.0625 * INCH,
    length=0.9 * INCH,
    thickness=0.7e-3,
    ferrule_diameter=0.25 * INCH,
    rear_from_shaft=0.1 * INCH,
)
_LENGTH = 1.2 * INCH
#: Of the middle nine tenths.
_ENDS = (5.0, 95.0)


def with_usual_broadhead(setup: "Setup") -> "Setup":
    """The setup with a common broadhead in its point's weight."""
    head = Point(setup.parts.point.mass, _LENGTH, blades=_BLADES)
    return replace(setup, parts=replace(setup.parts, broadhead=head))


@dataclass(frozen=True)
class Shooter:
    """How one arrow of a job scatters, rad on either axis: ``sd`` with its 95 % interval.

    ``arrows`` it is from, the farthest of them shot at ``farthest`` m.
    """

    sd: float
    low: float
    high: float
    arrows: int
    farthest: float


def shooter_of(tuned: "Tuned") -> Shooter | None:
    """What the job's groups say; None where none was shot."""
    spread, scale = tuned.turn.spread, tuned.turn.scatter
    arrows = sum(one.count for one in spread.groups)
    if not arrows:
        return None
    farthest = max(one.distance for one in spread.groups)
    return Shooter(spread.sd * scale, spread.low * scale, spread.high * scale, arrows, farthest)


@dataclass(frozen=True)
class Left:
    """The launch of the fletched arrow as a job left the bow.

    k draws alike in weight: ``rates`` rad/s and ``angles`` rad, yaw and pitch as a complex number.
    """

    rates: "ComplexArray"
    angles: "ComplexArray"

    @property
    def middle(self) -> dict[str, float]:
        """Its mean, as a question about the broadhead takes it."""
        rate, angle = complex(self.rates.mean()), complex(self.angles.mean())
        return {
            "yaw_rate": rate.real,
            "pitch_rate": rate.imag,
            "yaw": angle.real,
            "pitch": angle.imag,
        }

    def beside(self, per_rate: "FloatArray", per_angle: "FloatArray") -> "FloatArray":
        """(2, n, 2) m: low and high ends of what the launch leaves open around its mean.

        ``per_rate`` and ``per_angle`` (n,): what a launch error moves the broadhead away from the
        field point, m per rad/s and per rad, in its own direction.
        """
        off = np.outer(self.rates - self.rates.mean(), per_rate) + np.outer(
            self.angles - self.angles.mean(), per_angle
        )
        return np.asarray(np.percentile(np.stack([off.real, off.imag], axis=-1), _ENDS, axis=0))


def left_by(tuned: "Tuned") -> Left:
    """The launch as the job left the bow."""
    return Left(*tuned.turn.belief.launches())
