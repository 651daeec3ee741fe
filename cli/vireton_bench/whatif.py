"""What if: one plausible bow, flown anew for every place of the sliders."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from vireton.units.problems import InputProblem

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.units.text import UnitSystem

#: What the sliders reach: steps of the rest, miles an hour or meters a second, yards or meters.
STEPS, WIND, NEAR, FAR = 8, {"us": 20, "metric": 10}, 5, 100
_rigs: dict[tuple[Path, str], tuple["Rig", float]] = {}
_MOST = 8


@dataclass(frozen=True)
class Slid:
    """Where the sliders stand: steps of the rest from where it is now, crosswind, distance."""

    right: int = 0
    up: int = 0
    wind: int = 0
    distance: int = 20

    def __post_init__(self) -> None:
        inside = (
            abs(self.right) <= STEPS
            and abs(self.up) <= STEPS
            and abs(self.wind) <= max(WIND.values())
            and NEAR <= self.distance <= FAR
        )
        if not inside:
            raise ValueError("outside of what the sliders reach")


def slide(path: Path, version: str, at: Slid, units: "UnitSystem") -> dict[str, Any]:
    """Where both arrows land, in the display's inches or centimeters, and in words."""
    from vireton.flight.flight import Wind
    from vireton.tuning.observations.group import beside
    from vireton.units.display import display
    from vireton.units.move_names import HOLE_SIDES
    from vireton.units.numbers import MPH

    try:
        rig, step = _rig(path, version)
    except InputProblem as problem:
        return {"problem": str(problem).replace(str(path), path.name)}
    shown = display(units)
    speed = at.wind * (MPH if units == "us" else 1.0)
    far = at.distance * shown.far_size
    blown = replace(rig, conditions=replace(rig.conditions, wind=Wind(0.0, speed)))
    spots, lines = {}, []
    for kind in ("fletched", "bare"):
        flown = blown.shoot(getattr(rig, kind), [far], at.right * step, at.up * step)
        spot = float(flown.right[0]), float(flown.up[0])
        spots[kind] = [round(one / shown.small_size, 3) for one in spot]
        said = " and ".join(
            beside(value, names, units) for value, names in zip(spot, HOLE_SIDES, strict=True)
        )
        lines.append(f"{kind}: {said} where you aim")
    return {"spots": spots, "lines": lines}


def _rig(path: Path, version: str) -> tuple["Rig", float]:
    """The bow of a job as it is now."""
    from vireton.answers.tune import Tune
    from vireton.job import read_log

    key = path, version
    if key not in _rigs:
        question = Tune.read({"log": read_log(path)})
        _rigs[key] = question.rig, question.setup.rest_step
        while len(_rigs) > _MOST:
            del _rigs[next(iter(_rigs))]
    return _rigs[key]
