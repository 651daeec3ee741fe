"""What ``vireton scatter`` shoots with: spreads as typed, the runner, the count on the screen."""

import sys
from contextlib import nullcontext
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from contextlib import AbstractContextManager

    from rich.status import Status

    from vireton.scatter.blocks import Runner
    from vireton.scatter.sources import Scatter

#: What each option changes, its dimension and its range; the aim is read apart.
_OPTIONS = {
    "aim": (("aim_right", "aim_up"), "seen_angle", "0 mrad", "50 mrad"),
    "yaw-rate": (("yaw_rate",), "angular_rate", "0 rad/s", "10 rad/s"),
    "pitch-rate": (("pitch_rate",), "angular_rate", "0 rad/s", "10 rad/s"),
    "yaw": (("yaw",), "angle", "0 deg", "5 deg"),
    "pitch": (("pitch",), "angle", "0 deg", "5 deg"),
    "speed": (("speed",), "speed", "0 fps", "15 fps"),
    "gust": (("gust_across", "gust_along"), "speed", "0 mph", "40 mph"),
    "mass": (("mass",), "mass", "0 gr", "30 gr"),
    "spine": (("spine",), "length", "0 in", "0.05 in"),
}


def changed(spread: "Scatter", typed: dict[str, str | None]) -> "Scatter":
    """The setup's scatter with what the command line gives put in."""
    from dataclasses import replace

    from vireton.units.problems import InputProblem
    from vireton.units.quantities import quantity
    from vireton.units.seen_angle import parse_seen_angle
    from vireton.units.text import as_typed, parse

    changes = {}
    for name, text in typed.items():
        if text is None:
            continue
        fields, dimension, low, high = _OPTIONS[name]
        option = f"--{name}"
        if dimension == "seen_angle":
            value = parse_seen_angle(text, where=option)
            if not parse(low, "angle") <= value <= parse(high, "angle"):
                raise InputProblem(f"{option}: {as_typed(text)} is outside {low} to {high}")
        else:
            value = quantity(text, dimension, option, low, high)
        changes.update(dict.fromkeys(fields, value))
    return replace(spread, **changes)


def runner_at(address: str | None) -> "AbstractContextManager[Runner]":
    """The cores here, or the cluster at this address."""
    if address is None:
        from vireton.scatter.blocks import run_here

        return nullcontext(run_here)
    from vireton.scatter.cluster import on_cluster

    return on_cluster(address)


class Bar:
    """Arrows shot so far, on stderr, once it takes more than a second and somebody watches."""

    def __init__(self) -> None:
        import time

        self._clock = time.monotonic
        self._begun = self._clock()
        self._shot = 0
        self._status: Status | None = None

    def __enter__(self) -> "Bar":
        return self

    def add(self, arrows: int) -> None:
        """So many more."""
        self._shot += arrows
        if self._clock() - self._begun < 1.0 or not sys.stderr.isatty():
            return
        words = f"{self._shot:,} arrows shot"
        if self._status is None:
            from rich.console import Console

            self._status = Console(file=sys.stderr).status(words)
            self._status.start()
        self._status.update(words)

    def __exit__(self, *_: object) -> None:
        if self._status is not None:
            self._status.stop()
