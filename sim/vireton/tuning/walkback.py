"""What walk-back points say: sight windage, cant, wind, the nose's turn, or the shots' own scatter.

Each cause draws its own line down the target: windage grows with distance, cant with the drop below
the bore line, a crosswind with the arrow's lag, a yaw rate with the fletched arrow's answer. Which
of them can be told apart depends on the points. Cant follows the drop where each distance has its
own pin or mark; with one pin for all of them it grows with distance and looks just like windage.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from vireton.flight.flight import Wind
from vireton.kernel.arrays import FloatArray
from vireton.rig import LaunchOverride, Rig, assemble_rig
from vireton.studies.fitting import error_inflation
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.observations import WalkbackPoint

#: Spread of each cause before any shot (our choice, no source): rad, rad, m/s, rad/s.
SPREADS = {"windage": 0.005, "cant": 0.03, "wind": 1.0, "yaw_rate": 0.5}
_TELLING = 0.75  # probability from which a cause is named
_CLEAN = 0.4  # the same for nothing at all: what is not seen need not be ruled out
_LIKELY = 0.1  # and from which it is named among others; the two likeliest always are

#: The causes in the archer's words.
CAUSES = {
    "nothing": "nothing but scatter",
    "windage": "sight windage",
    "cant": "cant of the bow or sight",
    "wind": "crosswind",
    "yaw_rate": "yaw rate at the launch",
}

ADVICE = {
    "nothing": "nothing but scatter: leave it",
    "windage": "move the sight",
    "cant": "level the bow first",
    "wind": "shoot it again without wind",
    "yaw_rate": "tune the rest with bare shafts",
}


@dataclass(frozen=True)
class WalkbackCauses:
    """What the points say.

    ``probabilities`` of each single cause (and of nothing) that add up to 1; ``sizes`` the size
    that the cause would have, with its standard deviation (rad, rad, m/s, rad/s); ``verdict`` a key
    of :data:`ADVICE`, ``cannot_tell`` or ``none_fits``; ``curves`` (n,) m the line of each.
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
        if self.verdict == "none_fits":
            return (
                "no single cause fits these points: check the entries; two causes together, or "
                "shots that scatter more than the groups say, look like this"
            )
        if self.verdict == "windage":
            side = "right" if self.sizes["windage"][0] > 0.0 else "left"
            return (
                f"{ADVICE['windage']} to the {side}, after the arrows (if all were shot with one "
                "pin, a cant looks the same: check the level first)"
            )
        if self.verdict != "cannot_tell":
            return ADVICE[self.verdict]
        two = sorted(self.probabilities.values())[-2]
        likely = [CAUSES[k] for k, v in self.probabilities.items() if v >= min(two, _LIKELY)]
        names = f"{', '.join(likely[:-1])} and {likely[-1]}"
        return f"cannot tell between {names}: shoot farther, or more at each distance"


def responses(rig: Rig, distances: FloatArray) -> dict[str, FloatArray]:
    """(n,) m to the right at each distance of the fletched arrow, per unit of each cause.

    By flights of the same rig with a little of each cause. The sight was set with the cause at
    work, so every line but that of the windage passes through nothing at the sight-in distance.
    """
    at = np.append(distances, rig.sight.sight_in or TALKING_DISTANCE)
    plain = rig.shoot(rig.fletched, at).right
    small = {"windage": 1e-3, "wind": 1.0, "yaw_rate": 0.2}
    turned = {
        "windage": replace(rig, aim=replace(rig.aim, windage=rig.aim.windage + small["windage"])),
        "wind": replace(
            rig, conditions=replace(rig.conditions, wind=Wind(towards_right=small["wind"]))
        ),
        "yaw_rate": replace(
            rig,
            override=LaunchOverride(yaw_rate=rig.launch(rig.fletched).yaw_rate + small["yaw_rate"]),
        ),
    }
    lines = {
        name: (one.shoot(rig.fletched, at).right - plain) / small[name]
        for name, one in turned.items()
    }
    lines["cant"] = _cant_line(rig, at)
    aside = lines["windage"]
    for name in ("cant", "wind", "yaw_rate"):
        lines[name] = lines[name] - lines[name][-1] / aside[-1] * aside
    return {name: line[:-1] for name, line in lines.items()}


def _cant_line(rig: Rig, distances: FloatArray) -> FloatArray:
    """(n,) m to the right per rad of cant, each distance shot with its own pin."""
    small = 0.01
    line = np.zeros_like(distances)
    for i, distance in enumerate(distances):
        own = assemble_rig(
            rig.bow, rig.fletched.parts, rig.conditions, replace(rig.sight, sight_in=distance)
        )
        canted = replace(own, aim=replace(own.aim, cant=small))
        line[i] = canted.shoot(rig.fletched, [distance]).right[0] / small
    return line


def weigh_causes(rig: Rig, points: Sequence[WalkbackPoint], spread_angle: float) -> WalkbackCauses:
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
            rig.bow,
            rig.fletched.parts,
            rig.conditions,
            replace(rig.sight, sight_in=TALKING_DISTANCE),
        )
    unit = responses(rig, distances)
    noise = np.array([point.variance(spread_angle) for point in points])
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
    left = seen - curves.get(best, np.zeros_like(seen))
    if error_inflation(float(np.sum(left**2 / noise)), seen.size)[1] > 1.0:
        verdict = "none_fits"
    elif shares[best] >= (_CLEAN if best == "nothing" else _TELLING):
        verdict = best
    else:
        verdict = "cannot_tell"
    return WalkbackCauses(distances, seen, shares, sizes, curves, verdict)


def _log_density(values: FloatArray, covariance: FloatArray) -> float:
    _, log_determinant = np.linalg.slogdet(covariance)
    return float(-0.5 * (values @ np.linalg.solve(covariance, values) + log_determinant))
