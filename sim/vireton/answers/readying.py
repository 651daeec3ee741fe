"""From a setup and what was asked to a rig that is sighted in and ready to shoot."""

import warnings
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from vireton.answers.asking import Quantity, WindGiven, blowing, one
from vireton.bow.bow import Sight
from vireton.bow.cautions import cautions
from vireton.flight.flight import Conditions, Flight, Wind
from vireton.flight.reaching import demand_reached
from vireton.rig import LaunchOverride, Rig, arrows_of, assemble_rig
from vireton.setup import Setup, load_setup, parse_setup, template_text
from vireton.units.quantities import FARTHEST, LIKE_DISTANCE, NEAREST


class Caution(UserWarning):
    """What can hurt someone, such as an arrow that is too light for the bow."""


def load(path: str | Path | None = None) -> Setup:
    """Read a setup file; without one, the invented demo bow that ``vireton new`` writes.

    Raises InputProblem with all that is wrong with the file, each in one line.

    >>> import vireton
    >>> setup = vireton.load()
    >>> setup.bow.name
    'Mill bow'
    >>> print(f"{setup.parts.length:.4f} m")
    0.7239 m
    """
    return parse_setup(template_text()) if path is None else load_setup(path)


def setup_of(given: Setup | str | Path) -> Setup:
    """The setup itself, read where a file is given."""
    return given if isinstance(given, Setup) else load(given)


@dataclass(frozen=True)
class Shot:
    """What one shot is made under, in SI: see :func:`shot_of`."""

    conditions: Conditions
    sight: Sight
    override: LaunchOverride
    cant: float

    def rig(self, setup: Setup) -> Rig:
        """The setup's bow and arrows, sighted in for this shot."""
        return assemble_rig(
            setup.bow,
            setup.parts,
            self.conditions,
            self.sight,
            override=self.override,
            cant=self.cant,
        )


def shot_of(
    setup: Setup,
    *,
    sight_in: Quantity | None = None,
    wind: WindGiven | None = None,
    slope: Quantity = 0.0,
    cant: Quantity = 0.0,
    yaw: Quantity | None = None,
    pitch: Quantity | None = None,
    yaw_rate: Quantity | None = None,
    pitch_rate: Quantity | None = None,
    spelled: Callable[[str], str] = str,
) -> Shot:
    """Read what may be changed about the setup's shot; None keeps the setup's own.

    Args:
        setup: whose air, wind, drag coefficient and sight hold where nothing else is given.
        sight_in: distance; ``"none"`` measures from the bore line.
        wind: see :data:`~vireton.answers.asking.WindGiven`.
        slope: of the line of sight, uphill positive, -80 to 80 deg.
        cant: of the bow, its top to the right positive, -90 to 90 deg.
        yaw: nose right; it and the three below replace those of the launch model.
        pitch: nose up.
        yaw_rate: nose turning right.
        pitch_rate: nose turning up.
        spelled: how the caller spells an argument's name, for errors.

    Raises InputProblem.
    """
    comes = setup.wind if wind is None else blowing(wind, spelled("wind"))
    conditions = Conditions(
        air=setup.air,
        wind=Wind.from_clock(*comes, *setup.wind_profile),
        slope=one(slope, "angle", spelled("slope"), "-80 deg", "80 deg"),
        drag_coefficient=setup.drag_coefficient,
    )

    def launched(given: Quantity | None, dimension: str, name: str, most: str) -> float | None:
        return None if given is None else one(given, dimension, spelled(name), f"-{most}", most)

    override = LaunchOverride(
        yaw=launched(yaw, "angle", "yaw", "180 deg"),
        pitch=launched(pitch, "angle", "pitch", "180 deg"),
        yaw_rate=launched(yaw_rate, "angular_rate", "yaw_rate", "1000 rad/s"),
        pitch_rate=launched(pitch_rate, "angular_rate", "pitch_rate", "1000 rad/s"),
    )
    sight = setup.sight
    if isinstance(sight_in, str) and sight_in.strip().lower() == "none":
        sight = replace(sight, sight_in=None)
    elif sight_in is not None:
        there = one(sight_in, "length", spelled("sight_in"), NEAREST, FARTHEST, like=LIKE_DISTANCE)
        sight = replace(sight, sight_in=there)
    return Shot(
        conditions, sight, override, one(cant, "angle", spelled("cant"), "-90 deg", "90 deg")
    )


def caution(rig: Rig) -> None:
    """Warn of what can hurt someone, as a :class:`Caution`."""
    for text in cautions(rig.bow, *rig.arrows):
        warnings.warn(text, Caution, stacklevel=3)


def cautions_of(setup: Setup) -> tuple[str, ...]:
    """Warnings about the arrows of a setup, without a shot: see :mod:`vireton.bow.cautions`."""
    arrows = arrows_of(setup.parts)
    return cautions(setup.bow, *(one for one in arrows if one is not None))


def sideways_open(rig: Rig, move_right: float) -> bool:
    """Whether the launch model, and not the user, decides what happens sideways."""
    if rig.override.yaw is not None and rig.override.yaw_rate is not None:
        return False
    rest = rig.bow.rest.offset_right + move_right
    return rest != 0.0 or bool(rig.bow.nock_travel_right)


def demand_flown(kind: str, flight: Flight) -> None:
    """Refuse distances that this flight never reaches. Raises InputProblem."""
    demand_reached(f"the {kind} arrow", flight.distance, flight.time, why=flight.message)
