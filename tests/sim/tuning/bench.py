"""An invented bow that shoots what it is told, for tests of the tuner."""

from functools import lru_cache

import numpy as np

from demo import INCH, RANGES, YARD, mill_rig
from vireton.bow.setting import BowSetting
from vireton.tuning.fit import predict
from vireton.tuning.loop import Tuner
from vireton.tuning.observations import Group, Tear, group_of_shots
from vireton.tuning.prior import NAMES, SIZE
from vireton.tuning.response import Planes
from vireton.tuning.rounds import Round

AT = 20 * YARD
PAPER = 6 * 0.3048
STEP = INCH / 32


@lru_cache(maxsize=1)
def tuner() -> Tuner:
    return Tuner.of(mill_rig(), RANGES, STEP)


def unknowns(**values: float) -> np.ndarray:
    """Unknowns (13,) of a true bow, by name; gains per 1/32 in."""
    theta = np.zeros(SIZE)
    for name, value in values.items():
        theta[NAMES.index(name)] = value / STEP if "gain" in name else value
    return theta


def ring(center, count, sd):
    """Shots with exactly this center and this standard deviation on each axis."""
    angle = 2 * np.pi * np.arange(count) / count
    circle = np.column_stack([np.cos(angle), np.sin(angle)])
    circle *= sd * np.sqrt((count - 1) / count * 2.0)
    return tuple((float(x), float(y)) for x, y in np.asarray(center) + circle)


def seen(theta, rest=(0.0, 0.0), number=1, count=6, sd=0.4 * INCH, paper=True):
    """A round of fletched and bare arrows of this bow, without luck."""
    setting = BowSetting(*map(float, rest))
    observations: list[Group | Tear] = []
    for kind in ("fletched", "bare"):
        papers = (PAPER,) if paper and kind == "bare" else ()
        value, _ = predict(tuner().shooter, Planes(kind, (AT,), papers), theta, setting)
        observations.append(group_of_shots(kind, AT, ring(value[0], count, sd)))
        if papers:
            observations.append(Tear(kind, PAPER, float(value[1, 0]), float(value[1, 1])))
    return Round(number, setting, tuple(observations))


def groups(bare, fletched=(0.0, 0.0), rest=(0.0, 0.0), number=1, count=6, sd=0.4):
    """A round by where the groups' centers were, inches."""
    shots = [
        group_of_shots(kind, AT, ring(np.array(center) * INCH, count, sd * INCH))
        for kind, center in (("fletched", fletched), ("bare", bare))
    ]
    return Round(number, BowSetting(*map(float, rest)), tuple(shots))
