"""What if: one plausible bow, flown anew for every place of the sliders."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from vireton.units.problems import InputProblem
from vireton_bench.shop import without_folder

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.units.text import UnitSystem

#: What the sliders reach: steps of the rest and of the nocking point, miles an hour or meters a
#: second, tenths of the vanes' height, yards or meters.
STEPS, WIND, VANES, NEAR, FAR = 8, {"us": 20, "metric": 10}, 5, 5, 100
_rigs: dict[tuple[Path, str, int], tuple["Rig", float]] = {}
_MOST = 24


@dataclass(frozen=True)
class Slid:
    """Where the sliders stand: steps from where the bow is now, crosswind, vanes, distance."""

    right: int = 0
    up: int = 0
    nock: int = 0
    vanes: int = 0
    wind: int = 0
    distance: int = 20

    def __post_init__(self) -> None:
        inside = (
            abs(self.right) <= STEPS
            and abs(self.up) <= STEPS
            and abs(self.nock) <= STEPS
            and abs(self.vanes) <= VANES
            and abs(self.wind) <= max(WIND.values())
            and NEAR <= self.distance <= FAR
        )
        if not inside:
            raise ValueError("outside of what the sliders reach")


def slide(path: Path, version: str, at: Slid, units: "UnitSystem") -> dict[str, Any]:
    """Where both arrows land, in the display's inches or centimeters, and in words."""
    from vireton.answers.tune_words import BESIDE, side
    from vireton.bow.setting import BowSetting
    from vireton.flight.flight import Wind
    from vireton.tuning.evidence import rest_of
    from vireton.units.display import display
    from vireton.units.numbers import MPH

    try:
        rig, step = _rig(path, version, at.vanes)
    except InputProblem as problem:
        return {"problem": without_folder(problem, path.parent)}
    shown = display(units)
    speed = at.wind * (MPH if units == "us" else 1.0)
    far = at.distance * shown.far_size
    blown = replace(rig, conditions=replace(rig.conditions, wind=Wind(0.0, speed)))
    rest = rest_of(BowSetting(at.right * step, at.up * step, at.nock * step))
    spots, lines = {}, []
    for kind in ("fletched", "bare"):
        flown = blown.shoot(getattr(rig, kind), [far], rest.real, rest.imag)
        spot = float(flown.right[0]), float(flown.up[0])
        spots[kind] = [round(one / shown.small_size, 3) for one in spot]
        said = [side(value, names, shown) for value, names in zip(spot, BESIDE, strict=True)]
        centered = said == [BESIDE[0][2], BESIDE[1][2]]
        lines.append(f"{kind}: {'where you aim' if centered else ', '.join(said)}")
    return {"spots": spots, "lines": lines}


def _rig(path: Path, version: str, vanes: int) -> tuple["Rig", float]:
    """The bow of a job as it is now, sighted in with vanes so many tenths higher."""
    from vireton.answers.shot import rig_for
    from vireton.job import read_log, setup_of

    key = path, version, vanes
    if key not in _rigs:
        setup = setup_of(read_log(path))
        own = setup.parts.vanes
        if own is not None and vanes:
            size = 1.0 + vanes / 10.0
            higher = replace(own, height=own.height * size, mass=own.mass * size)
            setup = replace(setup, parts=replace(setup.parts, vanes=higher))
        _rigs[key] = rig_for(setup), setup.rest_step
        while len(_rigs) > _MOST:
            del _rigs[next(iter(_rigs))]
    return _rigs[key]
