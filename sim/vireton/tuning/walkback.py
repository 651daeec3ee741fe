"""What walk-back points say: sight windage, cant, wind, the nose's turn, or the shots' own scatter.

Each cause draws its own line down the target: windage grows with distance, cant with the drop below
the bore line, a crosswind with the arrow's lag, a yaw rate with the fletched arrow's answer. Which
of them can be told apart depends on the points.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from vireton.flight import Wind
from vireton.observations import WalkbackPoint
from vireton.rig import LaunchOverride, Rig, assemble_rig

FloatArray = npt.NDArray[np.float64]

#: Spread of each cause before any shot (our choice, no source): rad, rad, m/s, rad/s.
SPREADS = {"windage": 0.005, "cant": 0.03, "wind": 1.0, "yaw_rate": 0.5}
_TELLING = 0.75  # probability from which a cause is named

ADVICE = {
    "nothing": "nothing but scatter: leave it",
    "windage": "move the sight",
    "cant": "level the bow first",
    "wind": "shoot it again without wind",
    "yaw_rate": "tune the rest with bare shafts",
}


@dataclass(frozen=True)
class WalkbackAnswer:
    """What the points say.

    ``probabilities`` of each single cause (and of nothing) that add up to 1; ``sizes`` the size
    that the cause would have, with its standard deviation (rad, rad, m/s, rad/s); ``verdict`` a key
    of :data:`ADVICE`, or ``cannot_tell``; ``curves`` (n,) m the line of each at the points.
    """

    distances: FloatArray
    seen: FloatArray
    probabilities: dict[str, float]
    sizes: dict[str, tuple[float, float]]
    curves: dict[str, FloatArray]
    verdict: str

    @property
    def words(self) -> str:
        """The verdict in the archer's words."""
        if self.verdict != "cannot_tell":
            return ADVICE[self.verdict]
        likely = [k for k, v in self.probabilities.items() if v > 0.1]
        names = " and ".join(likely).replace("_", " ")
        return f"cannot tell between {names}: shoot farther, or more at each distance"


def responses(rig: Rig, distances: FloatArray) -> dict[str, FloatArray]:
    """(n,) m to the right at each distance of the fletched arrow, per unit of each cause.

    By flights of the same rig with a little of each cause; the sight stays as it was set without.
    """
    plain = rig.shoot(rig.fletched, distances).right
    small = {"windage": 1e-3, "cant": 0.01, "wind": 1.0, "yaw_rate": 0.2}
    turned = {
        "windage": replace(rig, aim=replace(rig.aim, windage=rig.aim.windage + small["windage"])),
        "cant": replace(rig, aim=replace(rig.aim, cant=rig.aim.cant + small["cant"])),
        "wind": replace(
            rig, conditions=replace(rig.conditions, wind=Wind(towards_right=small["wind"]))
        ),
        "yaw_rate": replace(
            rig,
            override=LaunchOverride(yaw_rate=rig.launch(rig.fletched).yaw_rate + small["yaw_rate"]),
        ),
    }
    return {
        name: (one.shoot(rig.fletched, distances).right - plain) / small[name]
        for name, one in turned.items()
    }


def read_walkback(rig: Rig, points: Sequence[WalkbackPoint], spread_angle: float) -> WalkbackAnswer:
    """Weigh the causes of these points.

    Args:
        rig: sighted in, upright, in still air.
        points: two or more, of one shot each; ValueError below that.
        spread_angle: rad, standard deviation of one arrow.

    Linear Gaussian models, one a cause, compared by their evidence (closed form); the shots'
    scatter grows with distance.
    """
    if len(points) < 2:
        raise ValueError("walk-back needs points at two distances or more")
    distances = np.array([point.distance for point in points])
    seen = np.array([point.right for point in points])
    if rig.sight.sight_in is None:
        rig = assemble_rig(
            rig.bow, rig.fletched.parts, rig.conditions, replace(rig.sight, sight_in=18.288)
        )
    unit = responses(rig, distances)
    noise = (spread_angle * distances) ** 2
    logs = {"nothing": _log_density(seen, np.diag(noise))}
    sizes: dict[str, tuple[float, float]] = {}
    curves: dict[str, FloatArray] = {}
    for name, spread in SPREADS.items():
        line = unit[name]
        logs[name] = _log_density(seen, np.diag(noise) + spread**2 * np.outer(line, line))
        precision = float(line @ (line / noise)) + 1.0 / spread**2
        size = float(line @ (seen / noise)) / precision
        sizes[name] = (size, precision**-0.5)
        curves[name] = size * line
    top = max(logs.values())
    weights = {name: float(np.exp(log - top)) for name, log in logs.items()}
    total = sum(weights.values())
    shares = {name: weight / total for name, weight in weights.items()}
    best = max(shares, key=lambda name: shares[name])
    verdict = best if shares[best] >= _TELLING else "cannot_tell"
    return WalkbackAnswer(distances, seen, shares, sizes, curves, verdict)


def _log_density(values: FloatArray, covariance: FloatArray) -> float:
    _, log_determinant = np.linalg.slogdet(covariance)
    return float(-0.5 * (values @ np.linalg.solve(covariance, values) + log_determinant))
