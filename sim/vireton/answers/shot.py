"""One shot with a setup's bow: what may be changed about it, and the rig that is ready for it."""

from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from vireton.answers.kinds import SIGHT_IN, SetupFile, WindFrom, angle, rate
from vireton.answers.question import Question, asked

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.setup import Setup

#: Fields that several questions have, in the same words.
SETUP = (SetupFile(), None, "Setup file written by `vireton new`.")
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
SLOPE = (angle("80 deg"), "0 deg", "Slope of the shot, uphill positive.")
CANT = (angle("90 deg"), "0 deg", "Cant of the bow, its top to the right positive.")
YAW = (angle("180 deg"), None, "Launch yaw, nose right; replaces the model's.")
PITCH = (angle("180 deg"), None, "Launch pitch, nose up; replaces the model's.")
YAW_RATE = (rate("1000 rad/s"), None, "Launch yaw rate, nose turning right.")
PITCH_RATE = (rate("1000 rad/s"), None, "Launch pitch rate, nose turning up.")


def setup_field() -> Any:
    """The file that most questions are about."""
    return asked(*SETUP)


def rig_for(setup: "Setup", **changed: Any) -> "Rig":
    """The setup's bow and arrows, sighted in for this shot.

    Args:
        setup: whose own numbers hold where nothing else is given.
        changed: any of ``sight_in`` m (inf: measured from the bore line), ``wind`` (m/s, clock),
            ``slope``, ``cant``, ``yaw``, ``pitch`` rad, ``yaw_rate``, ``pitch_rate`` rad/s; None
            keeps the setup's own.

    Raises InputProblem where the parts, the speed or the sight-in cannot be.
    """
    from vireton.flight.flight import Conditions, Wind  # noqa: PLC0415
    from vireton.rig import LaunchOverride, assemble_rig  # noqa: PLC0415

    given = {name: value for name, value in changed.items() if value is not None}
    conditions = Conditions(
        air=setup.air,
        wind=Wind.from_clock(*given.get("wind", setup.wind), *setup.wind_profile),
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
    )


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
