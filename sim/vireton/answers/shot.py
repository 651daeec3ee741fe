"""One shot with a setup's bow: what may be changed about it, and the rig that is ready for it."""

from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from vireton.answers.kinds import (
    DISTANCES,
    DRAWS,
    SEED,
    SIGHT_IN,
    SetupSource,
    WindFrom,
    angle,
    rate,
)
from vireton.answers.question import Question

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.setup import Setup

#: Fields that several questions have, in the same words.
SETUP = (SetupSource(), None, "Setup file written by `vireton new`.")
SIGHTED = (
    SIGHT_IN,
    None,
    "Sight in here instead of where the setup says; 'none' measures from the bore line.",
)
WIND = (
    WindFrom(),
    None,
    "E.g. '10 mph from 3': out of 3 o'clock, which is from the right; 12 is in the face.",
)
EVERY_TEN = (
    DISTANCES,
    "10:100:10 yd",
    "Distances, e.g. '20,40,60 yd' or first:last:step '10:60:5 yd'; without it every 10 to 100, in "
    "yd or m by --units.",
)
EVERY_TEN_METRIC = "10:100:10 m"
DRAWN = (DRAWS, 64, "How many bows like yours the brackets come from; more of them take longer.")
SEEDED = (SEED, 1, "Which bows are drawn: the same number gives the same brackets.")
SLOPE = (angle("80 deg"), "0 deg", "Slope of the shot, uphill positive.")
CANT = (angle("90 deg"), "0 deg", "Cant of the bow, its top to the right positive.")
_OFF_THE_STRING = "as it leaves the string, in place of the model's."
YAW = (angle("180 deg"), None, f"Nose to the right {_OFF_THE_STRING}")
PITCH = (angle("180 deg"), None, f"Nose up {_OFF_THE_STRING}")
YAW_RATE = (rate("1000 rad/s"), None, f"Nose turning right {_OFF_THE_STRING}")
PITCH_RATE = (rate("1000 rad/s"), None, f"Nose turning up {_OFF_THE_STRING}")


def rig_for(setup: "Setup", **changed: Any) -> "Rig":
    """The setup's bow and arrows, sighted in for this shot.

    Args:
        setup: whose own numbers hold where nothing else is given.
        changed: any of ``sight_in`` m (inf: measured from the bore line), ``wind`` (m/s, clock),
            ``slope``, ``cant``, ``yaw``, ``pitch`` rad, ``yaw_rate``, ``pitch_rate`` rad/s; None
            keeps the setup's own.

    Raises InputProblem where the parts, the speed or the sight-in cannot be.
    """
    from vireton.flight.flight import Conditions, Wind
    from vireton.rig import LaunchOverride, assemble_rig

    given = {name: value for name, value in changed.items() if value is not None}
    speed, clock = given.get("wind", setup.wind)
    conditions = Conditions(
        air=setup.air,
        wind=Wind.from_clock(speed, clock, *setup.wind_profile),
        slope=given.get("slope", 0.0),
        drag_coefficient=setup.drag_coefficient,
    )
    launch = {name: given.get(name) for name in ("yaw", "pitch", "yaw_rate", "pitch_rate")}
    sight = setup.sight
    if "sight_in" in given:
        there = given["sight_in"]
        sight = replace(sight, sight_in=None if there == float("inf") else there)
    return assemble_rig(
        setup.bow,
        setup.parts,
        conditions,
        sight,
        override=LaunchOverride(**launch),
        cant=given.get("cant", 0.0),
        experience=setup.experience,
        left_open=setup.left_open,
        odd=setup.odd,
    )


def load(path: str | Path | None = None) -> "Setup":
    """Read a setup file; without one, the invented demo bow that ``vireton new`` writes.

    Raises InputProblem with all that is wrong with the file, each in one line.

    >>> import vireton
    >>> setup = vireton.load()
    >>> setup.bow.name
    'Mill bow'
    >>> print(f"{setup.parts.length:.4f} m")
    0.7239 m
    """
    from vireton.setup import load_setup, parse_setup, template_text

    return parse_setup(template_text()) if path is None else load_setup(path)


class OneBow(Question):
    """A question about one setup's bow, as that is or with what the question changes."""

    setup: Any

    @property
    def changed(self) -> dict[str, Any]:
        """What this question changes about the shot, see :func:`rig_for`."""
        return {}

    @cached_property
    def rig(self) -> "Rig":
        """The bow, ready to shoot."""
        return rig_for(self.setup, **self.changed)

    @property
    def rigs(self) -> "dict[str, Rig]":
        """The one."""
        return {"": self.rig}
