"""From a gray picture, and taps where a mark was not found, to the plane of the sheet."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.paper import CORNERS, MARKS, PAPERS, Corner, Paper, Point
from vireton.photo.marks import OUTWARD, FoundMarks, corners_on_sheet, find_corner_marks
from vireton.photo.plane import TAP_ERROR, Pins, Plane, fit_plane
from vireton.units.problems import InputProblem

#: How many times their error the marks may miss a flat sheet. Pretended pictures reach 2; the
#: other paper's marks miss by 20 and more (our choice between).
_MISFIT = 10.0


@dataclass(frozen=True, eq=False)
class Sheet:
    """A sheet in a picture: its ``plane``, which ``paper``, and the corners that were tapped."""

    plane: Plane
    paper: Paper
    tapped: tuple[Corner, ...] = ()


def locate_sheet(
    gray: FloatArray,
    *,
    taps: Mapping[Corner, Point] | None = None,
    paper: Paper | None = None,
    tap_error: float = TAP_ERROR,
    found: FoundMarks | None = None,
) -> Sheet:
    """Find the sheet in a gray picture (rows, columns), 0 to 255.

    Args:
        gray: the picture.
        taps: middles of marks by their corner of the sheet, (column, row) pixels of this picture.
            A tap stands in for a mark that was not found; with all four nothing is looked for.
        paper: counts only if the upper left mark, which tells it, is not found; needed if the
            others do not tell it either.
        tap_error: standard deviation of those taps each way, pixels of this picture.
        found: this picture's marks, where they were looked for already.

    Raises InputProblem, in words, if a corner is still missing, or the paper.
    """
    given = dict(taps or {})
    for corner in given:
        if corner not in CORNERS:
            raise InputProblem(
                f"there is no corner {corner!r} on a sheet; choose {', '.join(CORNERS)}"
            )
    if len(given) == 4:
        found = FoundMarks({}, None)
    elif found is None:
        found = find_corner_marks(gray)
    tapped = tuple(c for c in CORNERS if c in given and c not in found.marks)
    if len(found.marks) + len(tapped) < 4:
        raise InputProblem(found.problem)
    told = found.paper or paper
    rows, columns = gray.shape
    sheets = []
    for one in PAPERS if told is None else (told,):
        pins = _pins(found, one, {corner: given[corner] for corner in tapped}, tap_error)
        plane = fit_plane((columns, rows), pins)
        if plane.misfit < _MISFIT:
            sheets.append(Sheet(plane, one, tapped))
    if not sheets:
        raise InputProblem(
            f"the marks in the picture do not lie as on a flat {told or 'letter or A4'} sheet: "
            f"check {'the taps and ' if tapped else ''}the paper, lay the sheet flat and take the "
            "picture again"
        )
    if len(sheets) > 1:
        raise InputProblem(
            "which paper the sheet is printed on cannot be seen without its upper left mark: "
            "say letter or a4"
        )
    return sheets[0]


def _pins(found: FoundMarks, paper: Paper, taps: Mapping[Corner, Point], tap_error: float) -> Pins:
    """Four corners of every mark that was found, and the middles that were tapped."""
    marks = found.marks.values()
    middles = np.array([MARKS[paper][corner] for corner in taps]).reshape(-1, 2)
    return Pins(
        np.concatenate([*(corners_on_sheet(paper, one.corner) for one in marks), middles]),
        np.concatenate([*(one.corners for one in marks), np.reshape([*taps.values()], (-1, 2))]),
        np.concatenate([*(one.corner_errors for one in marks), np.full(len(taps), tap_error)]),
        np.concatenate([*(OUTWARD for _one in marks), np.zeros((len(taps), 2))]),
    )
