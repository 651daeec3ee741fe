"""From a setup file and the shared options to a rig that is ready to shoot."""

import sys
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from vireton.units.quantities import (
    FARTHEST,
    LARGEST_MOVE,
    LIKE_DISTANCE,
    LIKE_MOVE,
    NEAREST,
    lengths,
    quantity,
)
from vireton_cli.options import UnitChoice

__all__ = [
    "LARGEST_MOVE",
    "ShotOptions",
    "load_rig",
    "option_name",
    "read_distances",
    "read_move",
    "read_moves",
    "rig_of",
    "say_if_first_run",
    "warn",
]

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.setup import Setup


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
    """Distances in m; without any, every ten yards (or meters) to a hundred."""
    usual = "10:100:10 yd" if units is UnitChoice.US else "10:100:10 m"
    chosen = usual if text is None else text
    return sorted(set(lengths(chosen, "--distances", NEAREST, FARTHEST, like=LIKE_DISTANCE)))


def read_moves(text: str | None, option: str) -> list[float]:
    """Rest moves in m, [0] without any."""
    return (
        lengths(text, option, f"-{LARGEST_MOVE}", LARGEST_MOVE, like=LIKE_MOVE)
        if text is not None
        else [0.0]
    )


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
    from vireton.answers.readying import shot_of
    from vireton.bow.cautions import cautions

    shot = shot_of(setup, **vars(options), spelled=option_name)
    say_if_first_run()
    rig = shot.rig(setup)
    warn(cautions(rig.bow, *rig.arrows))
    return rig


def warn(texts: Iterable[str]) -> None:
    """Say each on stderr, where it is seen whatever becomes of the results."""
    for text in texts:
        print(f"vireton: {text}", file=sys.stderr)


def option_name(argument: str) -> str:
    """``"--sight-in"`` of the library's ``sight_in``."""
    return f"--{argument.replace('_', '-')}"


def read_move(right: str, up: str) -> tuple[float, float]:
    """One rest move, (right, up) m."""
    return (
        quantity(right, "length", "--right", f"-{LARGEST_MOVE}", LARGEST_MOVE, like=LIKE_MOVE),
        quantity(up, "length", "--up", f"-{LARGEST_MOVE}", LARGEST_MOVE, like=LIKE_MOVE),
    )
