"""What was filmed, and the marks in its frames."""

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from vireton.units.problems import InputProblem

#: ``above``: looking down on the path, which shows yaw; ``beside``: from its side, which shows
#: pitch.
View = Literal["above", "beside"]
VIEWS: tuple[View, ...] = ("above", "beside")

#: Width and height of a phone's usual slow-motion picture, frames a second and exposure in s, for
#: who says nothing else (from memory; the exposure of a bright day or a lamp, our choice).
PICTURE = (1920.0, 1080.0)
FRAMES_A_SECOND = 240.0
EXPOSURE = 1.0 / 2000.0
#: How well a mark is set across the arrow, as a share of the picture's longer side: a pixel and a
#: half of 1920 (our choice, no source).
READING_SHARE = 1.5 / 1920.0
#: A phone reads its rows out within this share of the time between two frames (our choice).
READOUT_SHARE = 0.75

FEWEST_FRAMES, MOST_FRAMES = 2, 60


@dataclass(frozen=True)
class Frame:
    """One frame: its number in the film, nock and point (across, down) in picture units."""

    number: int
    nock: tuple[float, float]
    point: tuple[float, float]


@dataclass(frozen=True)
class Clip:
    """Marked frames of one shot, in the order of the flight; picture units count right and down.

    ``picture`` (width, height) in the marks' own unit; ``exposure`` s; ``readout`` s from the first
    row to the last, None for a usual one; ``off_string`` m of the nock in the first frame, None
    where that is the first one off the string; ``reading_error`` picture units of a mark across the
    arrow, None for a usual one.

    Raises InputProblem where frames are too few, stand still, or lie outside of the picture.
    """

    view: View
    frames: tuple[Frame, ...]
    frames_a_second: float = FRAMES_A_SECOND
    picture: tuple[float, float] = PICTURE
    exposure: float = EXPOSURE
    readout: float | None = None
    off_string: float | None = None
    reading_error: float | None = None

    def __post_init__(self) -> None:
        _check(self)

    @property
    def longer_side(self) -> float:
        """Of the picture."""
        return max(self.picture)

    @property
    def mark_error(self) -> float:
        """Picture units, one standard deviation across the arrow."""
        return self.reading_error or READING_SHARE * self.longer_side

    @property
    def readout_time(self) -> float:
        """s from the first row to the last."""
        return READOUT_SHARE / self.frames_a_second if self.readout is None else self.readout

    @property
    def times(self) -> tuple[float, ...]:
        """s of the frames, from the first one."""
        first = self.frames[0].number
        return tuple((one.number - first) / self.frames_a_second for one in self.frames)

    @property
    def way(self) -> tuple[float, float]:
        """Unit vector of the flight in the picture, from the first arrow to the last."""
        across, down = _between(_middle(self.frames[0]), _middle(self.frames[-1]))
        size = math.hypot(across, down)
        return across / size, down / size


def _middle(frame: Frame) -> tuple[float, float]:
    return (frame.nock[0] + frame.point[0]) / 2.0, (frame.nock[1] + frame.point[1]) / 2.0


def _between(one: tuple[float, float], other: tuple[float, float]) -> tuple[float, float]:
    return other[0] - one[0], other[1] - one[1]


def _check(clip: Clip) -> None:
    count = len(clip.frames)
    if not FEWEST_FRAMES <= count <= MOST_FRAMES:
        raise InputProblem(
            f"{count} marked frame{'' if count == 1 else 's'}: a film needs {FEWEST_FRAMES} to "
            f"{MOST_FRAMES} in which both nock and point are seen. Mark more frames; at fewer than "
            "240 frames a second step back until the camera sees more of the path"
        )
    numbers = [one.number for one in clip.frames]
    for before, after in pairwise(numbers):
        if after <= before:
            raise InputProblem(
                f"frame {after} comes after frame {before}: list each frame once, in the order of "
                "the flight"
            )
    width, height = clip.picture
    for one in clip.frames:
        for name, (across, down) in (("nock", one.nock), ("point", one.point)):
            if not (0.0 <= across <= width and 0.0 <= down <= height):
                raise InputProblem(
                    f"frame {one.number}: the {name} at {across:g}, {down:g} is outside of a "
                    f"picture of {width:g} by {height:g}. Count from the upper left corner, right "
                    'and down; say the picture\'s size, like "picture: 3840 x 2160"'
                )
        if math.dist(one.nock, one.point) < 0.05 * min(width, height):
            raise InputProblem(
                f"frame {one.number}: nock and point are nearly one place. Mark the nock's throat "
                "and the tip of the point"
            )
    _check_way(clip)


def _check_way(clip: Clip) -> None:
    first, last = clip.frames[0], clip.frames[-1]
    if math.dist(_middle(first), _middle(last)) < 0.02 * clip.longer_side:
        raise InputProblem(
            f"between frame {first.number} and frame {last.number} the arrow hardly moves: mark "
            "frames after the nock has left the string"
        )
    for one in clip.frames:
        along = _between(one.nock, one.point)
        if along[0] * clip.way[0] + along[1] * clip.way[1] <= 0.0:
            raise InputProblem(
                f"frame {one.number}: the point is behind the nock. Nock comes first, then point"
            )
    if clip.view == "beside" and abs(clip.way[0]) < 0.7:
        raise InputProblem(
            "seen from beside, the arrow goes up or down in this picture, so nobody can tell what "
            "is up. Turn the picture until the arrow flies to the right or to the left"
        )
