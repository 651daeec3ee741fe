"""The lines that the causes of a walk-back draw down the target, by real flights.

One pin and one sight setting for all distances, the common walk-back: arrows fall below the aim
point by the drop of that pin. The sight is taken as set with none of the causes at work, so each
draws its whole line. Sight windage and center shot are one straight line from the bow. A bow that
is tipped carries its bore line aside in proportion to the height of that line above the line of
sight, which grows in proportion to distance: but for the sight's height at the bow (0.1 in for each
2° with the *Mill bow*) the same line as windage. So is the fletched arrow's answer to a yaw rate, a
few yards from the bow. Only wind bends away. A cause that was at work when the sight was set is
undone by the sight as far as its line is straight: then there is nothing of it to see, which is why
a bare shaft tells a small yaw and a walk-back cannot.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from vireton.flight.flight import Wind
from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig, assemble_rig
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.belief import Belief
from vireton.tuning.observations import WalkbackPoint
from vireton.tuning.unknowns import AXES, PLACE
from vireton.units.problems import InputProblem

CAUSES = ("windage", "cant", "wind", "yaw_rate")
#: Spread of each cause where it is at work: rad, rad, m/s, rad/s. No setup says whether a level was
#: checked or how windy it was, so these are the usual doubt (our choice, no source).
SPREADS = {"windage": 0.003, "cant": 0.03, "wind": 1.0, "yaw_rate": 0.5}
#: How often each is at work in a walk-back (our choice, no source).
AT_WORK = 0.15
#: The same of a launch that the rest of the log tells of: whether the sight was set with it or
#: without it nobody knows (our choice).
_LAUNCH_AT_WORK = 0.5
_SMALL = {"windage": 1e-3, "cant": 0.01, "wind": 1.0, "yaw_rate": 0.2}
_MODES = 3  # of launches: yaw rate, yaw, and how much of the bare shaft's answer is real


def sighted(rig: Rig) -> Rig:
    """The rig with a pin set; at 20 yd where it has none."""
    if rig.sight.sight_in is not None:
        return rig
    sight = replace(rig.sight, sight_in=TALKING_DISTANCE)
    return assemble_rig(rig.bow, rig.fletched.parts, rig.conditions, sight)


def responses(rig: Rig, distances: FloatArray) -> dict[str, FloatArray]:
    """(n + 1,) m to the right per unit of each cause: of the fletched arrow at each of the
    distances, then of the bare shaft beside it at 20 yd.
    """
    plain = _seen(rig, distances)
    rate = rig.launch(rig.fletched).yaw_rate + _SMALL["yaw_rate"]
    turned = {
        "windage": replace(rig, aim=replace(rig.aim, windage=rig.aim.windage + _SMALL["windage"])),
        "cant": replace(rig, aim=replace(rig.aim, cant=rig.aim.cant + _SMALL["cant"])),
        "wind": replace(
            rig, conditions=replace(rig.conditions, wind=Wind(towards_right=_SMALL["wind"]))
        ),
        "yaw_rate": replace(rig, override=replace(rig.override, yaw_rate=rate)),
    }
    return {name: (_seen(one, distances) - plain) / _SMALL[name] for name, one in turned.items()}


def _seen(rig: Rig, distances: FloatArray) -> FloatArray:
    fletched = rig.shoot(rig.fletched, np.append(distances, TALKING_DISTANCE)).right
    bare = rig.shoot(rig.bare, [TALKING_DISTANCE]).right[0]
    return np.append(fletched[:-1], bare - fletched[-1])


def drops(rig: Rig, distances: FloatArray) -> FloatArray:
    """(n,) m above the aim point at each distance with the one pin, below it negative."""
    return np.asarray(sighted(rig).shoot(rig.fletched, distances).up)


@dataclass(frozen=True)
class Lines:
    """All that the causes can draw: ``mean`` + ``modes`` · z, z standard normal.

    n ``distances`` m; ``units`` (n + 1,) per unit of each cause as of :func:`responses`; ``modes``
    (n + 1, p) m, each of the cause ``owner`` (p,), a number in :data:`CAUSES`; ``mean`` (n + 1,) m
    of the launch; ``at_work`` (4,): how often each cause is.
    """

    distances: FloatArray
    units: dict[str, FloatArray]
    modes: FloatArray
    owner: npt.NDArray[np.int64]
    mean: FloatArray
    at_work: FloatArray

    def at(self, distances: Iterable[float]) -> list[int]:
        """Rows of these distances."""
        return [int(np.argmin(np.abs(self.distances - one))) for one in distances]

    def acting(self, points: Sequence[WalkbackPoint]) -> FloatArray:
        """(points, 4): 1 where a cause can be at work, 0 where it was ruled out at the shot."""
        found = np.ones((len(points), len(CAUSES)))
        for row, point in zip(found, points, strict=True):
            row[CAUSES.index("cant")] = not point.level
            row[CAUSES.index("wind")] = not point.calm
        return found


def lines_of(rig: Rig, distances: FloatArray, launch: Belief | None = None) -> Lines:
    """Those of a rig that is sighted in, upright and in still air.

    Args:
        rig: as of :func:`sighted`.
        distances: (n,) m.
        launch: what the rest of the log says of the launch at the rest setting of the walk-back;
            without it the usual doubt, :data:`SPREADS`.
    """
    units = responses(rig, distances)
    modes = [SPREADS[name] * units[name] for name in CAUSES]
    owner = list(range(len(CAUSES)))
    mean, at_work = np.zeros(distances.size + 1), np.full(len(CAUSES), AT_WORK)
    if launch is not None:
        mean, own = _launched(launch, distances)
        last = len(CAUSES) - 1
        modes[last:], owner[last:] = list(own), [last] * len(own)
        at_work[last] = _LAUNCH_AT_WORK
    return Lines(distances, units, np.array(modes).T, np.array(owner), mean, at_work)


def _launched(belief: Belief, distances: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Mean (n + 1,) and modes (k, n + 1) of what the launch's turning and yaw do."""
    theta = belief.theta.copy()
    for axis in AXES:  # where the arrow is pointed is the sight's and the center shot's line
        theta[:, [PLACE[f"sight_{axis}"], PLACE[f"direction_gain_{axis}"]]] = 0.0
    turned = replace(belief, theta=theta)
    here = np.zeros(1, complex)
    drawn = [turned.turned("fletched", "target", float(one), here)[:, 0].real for one in distances]
    drawn.append(turned.separation(TALKING_DISTANCE).real)
    lines = np.array(drawn).T
    lines = lines[np.isfinite(lines).all(axis=1)]
    if len(lines) < 2:
        raise InputProblem(
            f"walk-back: as this log has the launch, hardly any arrow carries to "
            f"{distances.max():.0f} m; check what was recorded of tears and groups"
        )
    mean = lines.mean(axis=0)
    _, sizes, modes = np.linalg.svd((lines - mean) / np.sqrt(len(lines)), full_matrices=False)
    return mean, (sizes[:, None] * modes)[:_MODES]
