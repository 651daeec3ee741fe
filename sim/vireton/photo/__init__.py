"""From a picture of a printed sheet to inches on the sheet.

``read_picture`` takes a JPEG or PNG, ``locate_sheet`` finds the sheet by its corner marks,
``straightened`` shows it squarely, and taps on that image become inches, right and up, with their
error. The sheet must lie flat and be printed at true scale: a picture shows neither.
"""

from vireton.photo.locate import Sheet, locate_sheet
from vireton.photo.marks import FoundMarks, Mark, find_corner_marks
from vireton.photo.plane import TAP_ERROR, Pins, Plane, Readings, fit_plane
from vireton.photo.straighten import (
    PIXELS_PER_INCH,
    between_straightened,
    gray_of,
    inches_of,
    read_picture,
    read_straightened,
    straightened,
)

__all__ = [
    "PIXELS_PER_INCH",
    "TAP_ERROR",
    "FoundMarks",
    "Mark",
    "Pins",
    "Plane",
    "Readings",
    "Sheet",
    "between_straightened",
    "find_corner_marks",
    "fit_plane",
    "gray_of",
    "inches_of",
    "locate_sheet",
    "read_picture",
    "read_straightened",
    "straightened",
]
