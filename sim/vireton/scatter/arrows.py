"""Arrows that differ a little from one another, ready for the kernel in any number.

A launch takes a millisecond and packing 12 µs, too slow for a hundred thousand arrows. Both are
smooth in the few numbers that differ, so a few dozen are worked out and the rest interpolated.
"""

from dataclasses import dataclass, replace

import numpy as np

from vireton.bow.arrow import assemble, bare
from vireton.flight.flight import prepare
from vireton.kernel.arrays import FloatArray
from vireton.kernel.parameters import Parameters
from vireton.kernel.start import START
from vireton.rig import Rig
from vireton.scatter.sources import Scatter
from vireton.scatter.surface import Surface, fit_surface
from vireton.units.problems import InputProblem

#: SDs either way that the surfaces hold. A draw cannot be farther out: see vireton.scatter.draws.
REACH = 6.5

#: Largest share by which REACH SDs may change mass, speed and spine (our choice: beyond it the
#: arrow is another arrow, and interpolation is no longer sure).
_LARGEST_CHANGE = {"mass": 0.15, "speed": 0.25, "spine": 0.25}

#: Points of the surfaces by the share that REACH SDs change, for some 0.01 mm at 60 yd out there.
#: Speed, at a given mass, only thins the boundary layer a little.
_POINTS = ((0.0, 1), (0.03, 3), (0.1, 5), (1.0, 12))
_SPEED_POINTS = 3

#: What a launch is told by in a start, see vireton.kernel.start.
LAUNCH = START[1:11]
#: Whole numbers, which the kernel compares: interpolation must not round them.
_COUNTS = [Parameters._fields.index(name) for name in ("vane_count", "blade_count")]
_SAME_INERTIA = [Parameters._fields.index(n) for n in ("inertia_across", "inertia_across_other")]


@dataclass(frozen=True, eq=False)
class Family:
    """One kind of arrow with all its brothers. SDs from the mean are the coordinates.

    ``launches`` over mass and spine: the numbers of :data:`LAUNCH`, then balance and the distance
    from the balance to the tip, m. ``bodies`` over mass and speed: the kernel's parameters.
    """

    launches: Surface
    bodies: Surface

    def launched(self, mass: FloatArray, spine: FloatArray) -> dict[str, FloatArray]:
        """Numbers (m,) of each launch, with ``balance`` and ``front``; (m,) SDs from the mean."""
        values = self.launches.at(mass / REACH, spine / REACH)
        return dict(zip((*LAUNCH, "balance", "front"), values.T, strict=True))

    def packed(self, mass: FloatArray, speed: FloatArray) -> FloatArray:
        """Parameter rows (m, P)."""
        rows = self.bodies.at(mass / REACH, speed / REACH)
        rows[:, _COUNTS] = np.round(rows[:, _COUNTS])
        # alike to the last bit: the kernel takes the short state for it
        rows[:, _SAME_INERTIA[1]] = rows[:, _SAME_INERTIA[0]]
        return rows


def families(rig: Rig, scatter: Scatter) -> dict[str, Family]:
    """The family of the fletched arrow (only where it has vanes) and that of the bare shaft.

    Raises InputProblem where mass, speed or spine differ so much that no arrow is left, or where
    spine differs but is not known.
    """
    _check(rig, scatter)
    kinds = ("fletched", "bare") if rig.fletched.is_fletched else ("bare",)
    return {kind: _family(rig, scatter, kind) for kind in kinds}


def one_of(rig: Rig, heavier: float, weaker: float) -> Rig:
    """The same rig with an arrow ``heavier`` by kg and ``weaker`` by m of spine deflection.

    The sight stays as it is; the bare shaft is this arrow's own.
    """
    parts = rig.fletched.parts
    if heavier:
        parts = replace(parts, measured_mass=rig.fletched.mass + heavier)
    if weaker:
        spine = (parts.shaft.spine_deflection or 0.0) + weaker
        parts = replace(parts, shaft=replace(parts.shaft, spine_deflection=spine))
    fletched = assemble(parts)
    naked = bare(fletched) if fletched.is_fletched else fletched
    return replace(rig, fletched=fletched, bare=naked)


def _family(rig: Rig, scatter: Scatter, kind: str) -> Family:
    def launch(mass: float, spine: float) -> FloatArray:
        one = one_of(rig, REACH * mass * scatter.mass, REACH * spine * scatter.spine)
        arrow = getattr(one, kind)
        left = one.launch(arrow)
        front = arrow.total_length - arrow.balance
        return np.array([*(getattr(left, name) for name in LAUNCH), arrow.balance, front])

    def body(mass: float, speed: float) -> FloatArray:
        one = one_of(rig, REACH * mass * scatter.mass, 0.0)
        arrow = getattr(one, kind)
        fast = one.stroke.speed_of(arrow.mass) + REACH * speed * scatter.speed
        return np.array(prepare(arrow, fast, rig.conditions))

    by_mass = _points(scatter.mass, rig.bare.mass)
    by_spine = _points(scatter.spine, rig.fletched.parts.shaft.spine_deflection or 1.0)
    return Family(
        fit_surface(launch, by_mass, by_spine),
        fit_surface(body, by_mass, _SPEED_POINTS if scatter.speed else 1),
    )


def _points(deviation: float, usual: float) -> int:
    return next(count for share, count in _POINTS if REACH * deviation / usual <= share)


def _check(rig: Rig, scatter: Scatter) -> None:
    spine = rig.fletched.parts.shaft.spine_deflection
    if scatter.spine and spine is None:
        raise InputProblem(
            "the spine cannot differ from arrow to arrow where it is not known: give "
            'arrow.shaft.spine, or scatter.spine = "0 in"'
        )
    usual = {"mass": rig.bare.mass, "speed": rig.bow.arrow_speed, "spine": spine or 1.0}
    for name, value in usual.items():
        most = _LARGEST_CHANGE[name] * value / REACH
        if getattr(scatter, name) > most:
            raise InputProblem(
                f"scatter.{name} is more than {100.0 * most / value:.2g} % of the arrow's own: "
                "that is no longer the same arrow. Give the standard deviation from arrow to arrow"
            )
