"""What is not known of a bow, in one row of numbers; and a prior of it, a mixture of Gaussians.

Both axes are told by one complex number each where it helps: right + i·up.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from vireton.kernel.arrays import FloatArray

if TYPE_CHECKING:
    from vireton.tuning.benchwork import Benchwork

#: Per axis (right, then up). ``rate``, ``angle``, ``sight``: yaw rate, yaw and direction by which
#: the launch is off the model's at the first setting; ``*_gain``: how a rest move changes them, per
#: m.
PER_AXIS = ("rate", "angle", "sight", "rate_gain", "angle_gain", "direction_gain")
AXES = ("right", "up")
#: Then what both axes share, logarithms of factors: on the bare shaft's answer, on tears; and by
#: axis: what paper shows beside the launch, m; what the bare shaft does by itself at 20 yd, m, off
#: the model; how far the bow is from where the log has it, m of rest, after something happened.
SHARED = ("bare_scale", "tear_scale")
BESIDE = ("tear", "bare", "shift")
NAMES = (
    *(f"{name}_{axis}" for axis in AXES for name in PER_AXIS),
    *SHARED,
    *(f"{name}_{axis}" for name in BESIDE for axis in AXES),
)
SIZE = len(NAMES)
PLACE = {name: at for at, name in enumerate(NAMES)}

#: Signs of the unknowns of a bow that is mirrored sideways: errors turn round, gains do not.
MIRROR = np.ones(SIZE)
MIRROR[[PLACE[f"{name}_right"] for name in ("rate", "angle", "sight", *BESIDE)]] = -1.0

Model = Literal["launch", "practice", "rigid"]


@dataclass(frozen=True)
class Component:
    """One Gaussian of the prior: mean (SIZE,) and covariance (SIZE, SIZE) in SI, and its weight.

    ``model``: where it is from; ``sideways_sign``: of the sideways gain.
    """

    mean: FloatArray
    covariance: FloatArray
    weight: float
    sideways_sign: int
    model: Model = "launch"


@dataclass(frozen=True)
class Prior:
    """A mixture of components, whose weights add up to 1.

    ``share_right``: share of the launch model's draws in which rest right turns the nose right, by
    the model alone; ``share_weighed`` with the trade's experience. ``follows_unmeasured``: of a bow
    that was measured, the share of bows like it that follow the sideways rule, weighed. ``bench``:
    what may be worth measuring.
    """

    components: tuple[Component, ...]
    share_right: float
    share_weighed: float
    follows_unmeasured: float | None = None
    bench: "tuple[Benchwork, ...]" = ()
