"""From a setup file and the shared options to a rig that is ready to shoot."""

import math
import sys
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from vireton.problems import InputProblem
from vireton_cli.options import UnitChoice
from vireton_cli.quantities import lengths, quantity, wind

if TYPE_CHECKING:
    from vireton.flight import Flight
    from vireton.rig import Rig
    from vireton.setup import Setup

NEAREST, FARTHEST = "1 m", "2000 m"
LARGEST_MOVE = "1/2 in"


@dataclass(frozen=True)
class ShotOptions:
    """What the command line may change about the setup's shot, as typed."""

    sight_in: str | None = None
    wind: str | None = None
    slope: str = "0 deg"
    cant: str = "0 deg"
    yaw: str | None = None
    pitch: str | None = None
    yaw_rate: str | None = None
    pitch_rate: str | None = None


def read_distances(text: str | None, units: UnitChoice) -> list[float]:
    """Distances in m; without any, every ten yards (or metres) to a hundred."""
    usual = "10:100:10 yd" if units is UnitChoice.US else "10:100:10 m"
    chosen = usual if text is None else text
    return sorted(set(lengths(chosen, "--distances", NEAREST, FARTHEST)))


def read_moves(text: str | None, option: str) -> list[float]:
    """Rest moves in m, [0] without any."""
    return lengths(text, option, f"-{LARGEST_MOVE}", LARGEST_MOVE) if text is not None else [0.0]


def say_if_first_run(*, derivatives: bool = False) -> None:
    """One line on stderr when the flight kernel has to be compiled first.

    ``derivatives``: the tuner needs it a second time, for the slopes of its flights.
    """
    from vireton.kernel.compiled import is_compiled_before

    if not is_compiled_before(derivatives=derivatives):
        seconds = 20 if derivatives else 10
        print(
            "vireton: first run of this version: compiling the flight kernel once, "
            f"some {seconds} s",
            file=sys.stderr,
        )


def load_rig(path: Path, options: ShotOptions) -> "tuple[Setup, Rig]":
    """Read the setup file, apply the options, sight in. Warnings come first, on stderr."""
    from vireton.setup import load_setup

    setup = load_setup(path)
    return setup, rig_of(setup, options)


def rig_of(setup: "Setup", options: ShotOptions) -> "Rig":
    """The setup with the options applied, sighted in. Warnings come first, on stderr."""
    from vireton.cautions import cautions
    from vireton.flight import Conditions, Wind
    from vireton.rig import LaunchOverride, assemble_rig

    blowing = setup.wind if options.wind is None else wind(options.wind)
    conditions = Conditions(
        air=setup.air,
        wind=Wind.from_clock(*blowing, *setup.wind_profile) if blowing else Wind(),
        slope=quantity(options.slope, "angle", "--slope", "-80 deg", "80 deg"),
        drag_coefficient=setup.drag_coefficient,
    )
    override = LaunchOverride(
        yaw=_angle(options.yaw, "--yaw"),
        pitch=_angle(options.pitch, "--pitch"),
        yaw_rate=_rate(options.yaw_rate, "--yaw-rate"),
        pitch_rate=_rate(options.pitch_rate, "--pitch-rate"),
    )
    sight = setup.sight
    if options.sight_in is not None:
        there = None
        if options.sight_in.strip().lower() != "none":
            there = quantity(options.sight_in, "length", "--sight-in", NEAREST, FARTHEST)
        sight = replace(sight, sight_in=there)
    say_if_first_run()
    rig = assemble_rig(
        setup.bow,
        setup.parts,
        conditions,
        sight,
        override=override,
        cant=quantity(options.cant, "angle", "--cant", "-90 deg", "90 deg"),
    )
    for warning in cautions(rig.bow, *rig.arrows):
        print(f"vireton: {warning}", file=sys.stderr)
    return rig


def _angle(text: str | None, option: str) -> float | None:
    return None if text is None else quantity(text, "angle", option, "-180 deg", "180 deg")


def _rate(text: str | None, option: str) -> float | None:
    if text is None:
        return None
    return quantity(text, "angular_rate", option, "-1000 rad/s", "1000 rad/s")


def read_move(right: str, up: str) -> tuple[float, float]:
    """One rest move, (right, up) m."""
    return (
        quantity(right, "length", "--right", f"-{LARGEST_MOVE}", LARGEST_MOVE),
        quantity(up, "length", "--up", f"-{LARGEST_MOVE}", LARGEST_MOVE),
    )


def sideways_open(rig: "Rig", move_right: float, yaw: str | None, yaw_rate: str | None) -> bool:
    """Whether the launch model, and not the user, decides what happens sideways."""
    if yaw is not None and yaw_rate is not None:
        return False
    rest = rig.bow.rest.offset_right + move_right
    return rest != 0.0 or bool(rig.bow.nock_travel_right)


def demand_reached(kind: str, flight: "Flight") -> None:
    """Refuse distances that this flight never reaches. Raises InputProblem."""
    for distance, time in zip(flight.distance, flight.time, strict=True):
        if not math.isfinite(time):
            raise InputProblem(
                f"the {kind} arrow never reaches {distance / 0.9144:.4g} yd "
                f"({distance:.4g} m): {flight.message}. Ask for shorter distances, or sight "
                "in farther out"
            )
