"""The four corner marks of a printed sheet in a picture, and which is which."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.paper import (
    CORNERS,
    FILLED_HALF,
    HALF_FILLED,
    MARK_SIDE,
    MARKS,
    PAPERS,
    Corner,
    Paper,
)
from vireton.photo.edges import Sharp, sharpen
from vireton.photo.frames import Frame, find_frames
from vireton.photo.perspective import rough_misfit
from vireton.units.problems import InputProblem

#: So far, in sides of a mark, the corners may miss a flat sheet: lens, ink and curl (our choice).
_MISFIT = 0.07
_MOST_PLAIN, _MOST_HALF = 14, 5
_MOST_RATIO = 3.5  # of the sides of two marks of one sheet, by perspective

TAKE_AGAIN = "take it again with the whole sheet in it, in even light"


@dataclass(frozen=True, eq=False)
class Mark:
    """One mark that was found.

    ``center`` (2,) is the place of its middle, (column, row) pixels, with the standard deviation
    ``error`` each way; strong blur may move it by a few times that, which the plane's
    misfit shows. ``corners`` (4, 2) are its outer corners as they lie on the sheet:
    lower left, lower right, upper right, upper left; ``corner_errors`` (4,) theirs.
    """

    corner: Corner
    center: FloatArray
    error: float
    corners: FloatArray
    corner_errors: FloatArray


@dataclass(frozen=True, eq=False)
class FoundMarks:
    """Three or four marks by their corner of the sheet.

    ``paper`` is None when the one mark that tells it is not there.
    """

    marks: dict[Corner, Mark]
    paper: Paper | None

    @property
    def missing(self) -> tuple[Corner, ...]:
        """Corners of the sheet whose mark was not found."""
        return tuple(corner for corner in CORNERS if corner not in self.marks)

    @property
    def problem(self) -> str:
        """What to tell who took the picture; empty if all four are there."""
        if not self.missing:
            return ""
        return (
            "only three of the four corner marks are in the picture, the "
            f"{self.missing[0]} one is not: {TAKE_AGAIN}, or tap the middle of the "
            f"{self.missing[0]} mark"
        )


def find_corner_marks(gray: FloatArray) -> FoundMarks:
    """Find a sheet's marks in a gray picture (rows, columns), 0 to 255, turned any way.

    Raises InputProblem, in words, if fewer than three are found, or if two sheets are.
    """
    candidates = _sharpened(gray, find_frames(gray))
    best = min(_fours(candidates), key=lambda one: one.misfit, default=None)
    if best is not None:
        others = [one for one in candidates if all(one is not used for used in best.used)]
        if any(True for _other in _fours(others)):
            raise InputProblem(
                "there are two printed sheets in the picture: take it again with one, or tap the "
                "middles of the four corner marks of the one you mean"
            )
    else:
        best = min(_threes(candidates), key=lambda one: one.misfit, default=None)
    if best is None:
        raise InputProblem(
            "no printed sheet was found in the picture, by the black squares in its four corners: "
            f"{TAKE_AGAIN}, or tap the middles of the four marks"
        )
    return FoundMarks({one.corner: one for one in best.marks}, best.paper)


@dataclass(frozen=True, eq=False)
class _Candidate:
    """A frame with sharp corners."""

    frame: Frame
    sharp: Sharp


@dataclass(frozen=True, eq=False)
class _Arranged:
    """Candidates taken for marks: the marks, the paper if told, and the misfit in sides."""

    used: tuple[_Candidate, ...]
    marks: list[Mark]
    paper: Paper | None
    misfit: float


def _sharpened(gray: FloatArray, frames: list[Frame]) -> list[_Candidate]:
    half = [one for one in frames if one.half_filled][:_MOST_HALF]
    plain = [one for one in frames if not one.half_filled][:_MOST_PLAIN]
    tried = [(one, sharpen(gray, one.corners)) for one in (*half, *plain)]
    return [
        _Candidate(Frame(sharp.corners, one.half_filled, one.likeness), sharp)
        for one, sharp in tried
        if sharp is not None
    ]


def _split(candidates: list[_Candidate]) -> tuple[list[_Candidate], list[_Candidate]]:
    half = [one for one in candidates if one.frame.half_filled]
    return half, [one for one in candidates if not one.frame.half_filled]


def _fours(candidates: list[_Candidate]) -> Iterator[_Arranged]:
    """Every four that fit a sheet."""
    half, plain = _split(candidates)
    for first in half:
        for three in combinations(plain, 3):
            yield from _arranged(_around((first, *three)), CORNERS)


def _threes(candidates: list[_Candidate]) -> Iterator[_Arranged]:
    """Every three that fit a sheet without one of its marks."""
    half, plain = _split(candidates)
    for missing in CORNERS:
        corners = tuple(corner for corner in CORNERS if corner != missing)
        if missing == HALF_FILLED:
            for three in combinations(plain, 3):
                turned = _around(three)
                for turn in range(3):
                    yield from _arranged((*turned[turn:], *turned[:turn]), corners)
        else:
            for first in half:
                for two in combinations(plain, 2):
                    yield from _arranged(_around((first, *two)), corners)


def _around(candidates: tuple[_Candidate, ...]) -> tuple[_Candidate, ...]:
    """Counterclockwise as seen, from the first on."""
    centers = np.array([one.frame.center for one in candidates])
    away = centers - centers.mean(axis=0)
    angle = np.arctan2(-away[:, 1], away[:, 0])  # rows count downwards
    order = np.argsort((angle - angle[0]) % (2.0 * np.pi))
    return tuple(candidates[i] for i in order)


def _arranged(
    candidates: tuple[_Candidate, ...], corners: tuple[Corner, ...]
) -> Iterator[_Arranged]:
    """The candidates as the marks of these corners, if they fit a flat sheet."""
    sides = [one.frame.side for one in candidates]
    if max(sides) > _MOST_RATIO * min(sides):
        return
    for paper in PAPERS:
        turns = _turns(candidates, corners, paper)
        first = candidates[0].frame
        # the filled half lies at the frame's last two corners
        if first.half_filled and turns[0] != (0 if FILLED_HALF[paper] == "upper" else 2):
            continue
        marks = [
            _mark(corner, one, turn)
            for corner, one, turn in zip(corners, candidates, turns, strict=True)
        ]
        sheet = np.concatenate([corners_on_sheet(paper, corner) for corner in corners])
        seen = np.concatenate([mark.corners for mark in marks])
        misfit = rough_misfit(sheet, seen) / float(np.mean(sides))
        if misfit < _MISFIT:
            yield _Arranged(candidates, marks, paper if first.half_filled else None, misfit)


def _turns(
    candidates: tuple[_Candidate, ...], corners: tuple[Corner, ...], paper: Paper
) -> list[int]:
    """How far to turn each frame's corners so that they begin at the sheet's lower left.

    Right on the sheet is a way in the picture, by the affine map of the middles; a frame's lower
    side is the one that runs most along it.
    """
    centers = np.array([one.frame.center for one in candidates])
    places = np.array([(*MARKS[paper][corner], 1.0) for corner in corners])
    right = np.linalg.lstsq(places, centers, rcond=None)[0][0]
    turns = []
    for one in candidates:
        along = np.roll(one.frame.corners, -1, axis=0) - one.frame.corners
        turns.append(int((along @ right / np.hypot(*along.T)).argmax()))
    return turns


def _mark(corner: Corner, candidate: _Candidate, turn: int) -> Mark:
    errors = np.roll(candidate.sharp.error, -turn)
    return Mark(
        corner,
        candidate.frame.center,
        float(np.sqrt((errors**2).mean()) / 2.0),
        np.roll(candidate.sharp.corners, -turn, axis=0),
        errors,
    )


#: The ways to the outer corners of a mark, from the lower left counterclockwise.
OUTWARD = np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])


def corners_on_sheet(paper: Paper, corner: Corner) -> FloatArray:
    """The outer corners of a mark, (4, 2) in, from the lower left counterclockwise."""
    return np.asarray(np.array(MARKS[paper][corner]) + 0.5 * MARK_SIDE * OUTWARD)
