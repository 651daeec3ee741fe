"""A printed sheet: its size and the four marks in its corners, in inches of paper.

Who draws a sheet and who finds it again in a picture read the same numbers here. Right and up
count from the lower left corner of the paper. The marks are our own design (no source).
"""

from typing import Literal

Paper = Literal["letter", "a4"]
Corner = Literal["upper left", "lower left", "lower right", "upper right"]
Point = tuple[float, float]

MILLIMETER = 1.0 / 25.4  # in

#: Width and height in inches: letter is size A of ANSI/ASME Y14.1 (from memory), A4 is
#: 210 mm × 297 mm (ISO 216:2007, from memory).
PAPERS: dict[Paper, tuple[float, float]] = {
    "letter": (8.5, 11.0),
    "a4": (210.0 * MILLIMETER, 297.0 * MILLIMETER),
}

#: In from the edge of the paper, where hardly any printer fails to print (our choice).
MARGIN = 0.45

#: A mark is a black square frame: its outer side and how thick it is, in.
MARK_SIDE, MARK_FRAME = 0.44, 0.11
#: White that is kept free around a mark, in.
MARK_QUIET = 0.13

#: Counterclockwise as the archer sees the sheet, from the one that differs.
CORNERS: tuple[Corner, ...] = ("upper left", "lower left", "lower right", "upper right")

#: The one mark whose opening is half filled, so that it is known which way is up.
HALF_FILLED: Corner = "upper left"

#: Which half of its opening is filled: it tells the paper.
FILLED_HALF: dict[Paper, Literal["upper", "lower"]] = {"letter": "upper", "a4": "lower"}

_IN = MARGIN + 0.5 * MARK_SIDE

#: The middles of the marks.
MARKS: dict[Paper, dict[Corner, Point]] = {
    paper: {
        "upper left": (_IN, height - _IN),
        "lower left": (_IN, _IN),
        "lower right": (width - _IN, _IN),
        "upper right": (width - _IN, height - _IN),
    }
    for paper, (width, height) in PAPERS.items()
}


def mark_outlines(paper: Paper, corner: Corner) -> tuple[tuple[Point, ...], ...]:
    """The outer square of a mark and its opening: four corners each, inches of paper.

    Counterclockwise from the lower left. What lies between the two is black.
    """
    x, y = MARKS[paper][corner]
    outer, inner = 0.5 * MARK_SIDE, 0.5 * MARK_SIDE - MARK_FRAME
    low, high = -inner, inner
    if corner == HALF_FILLED:
        low, high = (low, 0.0) if FILLED_HALF[paper] == "upper" else (0.0, high)
    return _box(x, y, outer, -outer, outer), _box(x, y, inner, low, high)


def _box(x: float, y: float, half: float, low: float, high: float) -> tuple[Point, ...]:
    return (x - half, y + low), (x + half, y + low), (x + half, y + high), (x - half, y + high)
