"""An invented bow that shoots what it is told, for tests of the tuner. It flies; no formulas."""

from functools import lru_cache

import numpy as np

from demo import INCH, RANGES, YARD, mill_rig
from vireton.bow.setting import BowSetting
from vireton.tuning.loop import Tuner
from vireton.tuning.observations import Group, Tear, group_of_shots
from vireton.tuning.response import Planes, Response, Shooter
from vireton.tuning.rounds import Round
from vireton.tuning.unknowns import PER_AXIS, PLACE, SIZE

AT = 20 * YARD
PAPER = 6 * 0.3048
STEP = INCH / 32


@lru_cache(maxsize=1)
def tuner() -> Tuner:
    return Tuner.of(mill_rig(), RANGES, STEP)


def unknowns(**values: float) -> np.ndarray:
    """Unknowns (SIZE,) of a true bow, by name; gains per 1/32 in."""
    theta = np.zeros(SIZE)
    for name, value in values.items():
        theta[PLACE[name]] = value / STEP if "gain" in name else value
    return theta


def flown(theta, kind, rest=(0.0, 0.0), targets=(AT,), papers=(), shooter: Shooter | None = None):
    """Points and tears of real flights, (response)."""
    own = shooter or tuner().flown.shooter
    errors = np.zeros(6)
    for k, name in enumerate(PER_AXIS[:3]):
        for axis, side in enumerate(("right", "up")):
            moved = theta[PLACE[f"{PER_AXIS[3 + k]}_{side}"]] * rest[axis]
            errors[2 * k + axis] = theta[PLACE[f"{name}_{side}"]] + moved
    found: Response = own.shoot(Planes(kind, tuple(targets), tuple(papers)), errors)
    return found


def apart(theta, rest, far):
    """Bare minus fletched (n, 2) at ``far`` (n,), by real flights.

    What the launch does to the bare shaft is scaled, and what it does by itself comes on top.
    """
    bare, fletched = (flown(theta, kind, rest, far).points for kind in ("bare", "fletched"))
    still = theta.copy()
    turning = ("rate_right", "rate_up", "angle_right", "angle_up")
    for name, own in zip(turning, tuner().flown.shooter.nominal("bare")[:4], strict=True):
        still[PLACE[name]] = -own
    for side in ("right", "up"):
        for gain in ("rate_gain", "angle_gain"):
            still[PLACE[f"{gain}_{side}"]] = 0.0
    clean = flown(still, "bare", rest, far).points
    beside = theta[[PLACE["bare_right"], PLACE["bare_up"]]] * (np.array(far)[:, None] / AT) ** 2
    return clean + np.exp(theta[PLACE["bare_scale"]]) * (bare - clean) + beside - fletched


def ring(center, count, sd):
    """Shots with exactly this center and this standard deviation on each axis."""
    angle = 2 * np.pi * np.arange(count) / count
    circle = np.column_stack([np.cos(angle), np.sin(angle)])
    circle *= sd * np.sqrt((count - 1) / count * 2.0)
    return tuple((float(x), float(y)) for x, y in np.asarray(center) + circle)


def tear(theta, rest=(0.0, 0.0), number=1, count=1):
    """A round of bare tears of this bow, without luck; the log may believe another ``rest``."""
    size = flown(theta, "bare", rest, (), (PAPER,)).tears[0]
    torn = Tear("bare", PAPER, float(size[0]), float(size[1]))
    return Round(number, BowSetting(*map(float, rest)), (torn,) * count)


def seen(theta, rest=(0.0, 0.0), number=1, count=6, sd=0.4 * INCH, paper=True):
    """A round of fletched and bare arrows of this bow, without luck."""
    observations: list[Group | Tear] = []
    for kind in ("fletched", "bare"):
        papers = (PAPER,) if paper and kind == "bare" else ()
        response = flown(theta, kind, rest, (AT,), papers)
        observations.append(group_of_shots(kind, AT, ring(response.points[0], count, sd)))
        for right, up in response.tears:
            observations.append(Tear(kind, PAPER, float(right), float(up)))
    return Round(number, BowSetting(*map(float, rest)), tuple(observations))


def believing(one: Round, right: float, up: float = 0.0) -> Round:
    """The same round, with the rest where the log believes it."""
    return Round(one.number, BowSetting(right, up), one.observations, one.note)


def groups(bare, fletched=(0.0, 0.0), rest=(0.0, 0.0), number=1, count=6, sd=0.4):
    """A round by where the groups' centers were, inches."""
    shots = [
        group_of_shots(kind, AT, ring(np.array(center) * INCH, count, sd * INCH))
        for kind, center in (("fletched", fletched), ("bare", bare))
    ]
    return Round(number, BowSetting(*map(float, rest)), tuple(shots))
