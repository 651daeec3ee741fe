"""What a technician saw: tears, groups and walk-back points, each at a rest setting. SI, archer's
signs: right and up positive.
"""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
ArrowKind = Literal["bare", "fletched"]


@dataclass(frozen=True)
class Tear:
    """One hole in paper, ``distance`` m from the grip: tail hole minus point hole, m."""

    arrow: ArrowKind
    distance: float
    right: float
    up: float


@dataclass(frozen=True)
class Group:
    """Shots at one target, ``distance`` m away, measured from the aim point.

    Either every shot, ``shots`` (right, up) m, or where only that was noted a ``center`` with
    ``count`` shots and, if known, their ``spread``: the standard deviation of one arrow on one
    axis, m. Build one with :func:`group_of_shots` or :func:`group_of_center`.
    """

    arrow: ArrowKind
    distance: float
    center: tuple[float, float]
    count: int
    shots: tuple[tuple[float, float], ...] = ()
    spread: float | None = None


@dataclass(frozen=True)
class WalkbackPoint:
    """A fletched arrow shot from ``distance`` m with one sight setting: ``right`` m of the plumb
    line through the aim point.
    """

    distance: float
    right: float


Observation = Tear | Group | WalkbackPoint


@dataclass(frozen=True)
class Round:
    """All that was seen at one rest setting.

    ``rest_right``, ``rest_up`` m: where the rest stands, counted from the setting at the start of
    the log. ``undoes`` is the number of the round that this one takes back, None otherwise: what
    that round saw then no longer counts, and its rest setting neither.
    """

    number: int
    rest_right: float
    rest_up: float
    observations: tuple[Observation, ...] = ()
    note: str = ""
    undoes: int | None = None


@dataclass(frozen=True)
class Rounds:
    """The rounds of a log in order, and which of them still count."""

    all: tuple[Round, ...] = field(default=())

    @property
    def counting(self) -> tuple[Round, ...]:
        """Rounds that no later round took back, without the undoing rounds themselves."""
        undone = {one.undoes for one in self.all if one.undoes is not None}
        return tuple(r for r in self.all if r.number not in undone and r.undoes is None)


def group_of_shots(
    arrow: ArrowKind, distance: float, shots: tuple[tuple[float, float], ...]
) -> Group:
    """A group of which every shot was measured. Raises ValueError without any shot."""
    if not shots:
        raise ValueError("a group has one shot at least")
    # numpy would take longer over a few shots than all else in reading them
    right, up = (sum(axis) / len(shots) for axis in zip(*shots, strict=True))
    return Group(arrow, distance, (right, up), len(shots), shots)


def group_of_center(
    arrow: ArrowKind,
    distance: float,
    center: tuple[float, float],
    count: int,
    spread: float | None = None,
) -> Group:
    """A group of which only the middle was noted. Raises ValueError for a count below 1."""
    if count < 1:
        raise ValueError(f"a group has one shot at least, not {count}")
    return Group(arrow, distance, center, count, (), spread)
