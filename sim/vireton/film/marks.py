"""Marks from a plain table: one frame a line, and what is said of the camera above them.

    fps: 240
    picture: 1920 x 1080
    frame, nock x, nock y, point x, point y
    12, 310, 540, 958.5, 548

Commas, semicolons, tabs or blanks part the numbers; # begins a remark. What is not said is usual.
"""

import re
from typing import Any

from vireton.film.clip import MOST_FRAMES, Clip, Frame, View
from vireton.units.bench_words import problem
from vireton.units.kind import Kind, shown
from vireton.units.kinds import ListOf, Number
from vireton.units.problems import InputProblem
from vireton.units.quantity import Quantity
from vireton.units.text import as_typed

#: What may be said of a film beside its marks, by the names of :class:`~vireton.film.clip.Clip`.
SAID: dict[str, Kind] = {
    "frames_a_second": Number(20.0, 5000.0, 240.0),
    "picture": ListOf(Number(16.0, 1e5, 1920.0), 2, 2),
    "exposure": Quantity("time", "0.001 ms", "100 ms", "1/2000 s"),
    "readout": Quantity("time", "0 ms", "100 ms", "3 ms"),
    "off_string": Quantity("length", "0 in", "10 ft", "1 ft"),
    "reading_error": Number(0.01, 1000.0, 1.0),
}
_ALIASES = {"fps": "frames_a_second", "frames": "frames_a_second", "shutter": "exposure"}
_EXAMPLE = 'write the frame, then nock and point, like "12, 310, 540, 958.5, 548"'
#: Picture units of a mark: far more than any sensor has.
_PLACE = Number(-1e5, 1e5, 310.0)
_LONGEST = 200_000


class FrameRow(Kind):
    """One frame: its number, nock right and down, point right and down, in picture units."""

    def read(self, value: object) -> Frame:
        """The frame."""
        if not isinstance(value, list) or len(value) != 5:
            raise ValueError(f"{shown(value)} is no frame; write it like {self.example}")
        number, *places = value
        whole = isinstance(number, int) and not isinstance(number, bool)
        if not whole or not 0 <= number <= 10**7:
            raise ValueError(f"{shown(number)} is no number of a frame; count from 0")
        a, b, c, d = (_PLACE.read(one) for one in places)
        return Frame(number, (a, b), (c, d))

    def describe(self) -> dict[str, Any]:
        """An array of five."""
        return {"type": "array", "items": {"type": "number"}, "minItems": 5, "maxItems": 5}

    @property
    def example(self) -> str:
        """One."""
        return "[12, 310, 540, 958.5, 548]"


_ROW = FrameRow()


def read_marks(text: str, view: View, where: str = "", **usual: Any) -> Clip:
    """A film from such a table.

    Args:
        text: the table.
        view: from above or from beside.
        where: put in front of what is wrong.
        usual: fields of the clip that hold where the table says nothing.

    Raises InputProblem with the line.
    """
    if len(text) > _LONGEST:
        raise problem(where, "is far too long for the marks of one film; give the table alone")
    said: dict[str, Any] = dict(usual)
    frames: list[Frame] = []
    for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), start=1):
        bare = line.split("#", 1)[0].strip()
        at = f"{where}, line {number}" if where else f"line {number}"
        if not bare:
            continue
        key = re.fullmatch(r"([A-Za-z][A-Za-z _]*?)\s*[:=]\s*(.+)", bare)
        if key is not None:
            name = _key(key[1], at)
            said[name] = _value(name, key[2].strip(), at)
        elif frames or not _is_heading(bare):
            frames.append(_frame(bare, at))
            if len(frames) > MOST_FRAMES:
                raise problem(at, f"more than {MOST_FRAMES} frames; mark the first ones alone")
    try:
        return Clip(view, tuple(frames), **said)
    except InputProblem as wrong:
        raise problem(where, str(wrong)) from None


def _is_heading(line: str) -> bool:
    return line[:1].isalpha()


def _key(text: str, at: str) -> str:
    name = "_".join(text.lower().split())
    name = _ALIASES.get(name, name)
    if name not in SAID:
        known = ", ".join(one.replace("_", " ") for one in SAID)
        raise problem(at, f"{as_typed(text)} is nothing that is said of a film. Known: {known}")
    return name


def _value(name: str, text: str, at: str) -> Any:
    kind = SAID[name]
    value: object = text
    if isinstance(kind, Number):
        value = plain_number(text)
    elif isinstance(kind, ListOf):
        value = [plain_number(one) for one in re.split(r"\s*(?:x|×|,|by)\s*|\s+", text)]
    try:
        return kind.read(value)
    except ValueError as wrong:
        raise problem(at, f"{name.replace('_', ' ')}: {wrong}") from None


def plain_number(text: str) -> object:
    """A number without a unit; what is none stays as it is, for its kind to refuse."""
    try:
        return int(text) if text.isdecimal() else float(text)
    except ValueError:
        return text


def _frame(line: str, at: str) -> Frame:
    cells = [one for one in re.split(r"\s*[,;\t]\s*|\s+", line) if one]
    if len(cells) != 5:
        raise problem(at, f"{as_typed(line)} has {len(cells)} numbers, not five; {_EXAMPLE}")
    try:
        return _ROW.read([plain_number(one) for one in cells])
    except ValueError as wrong:
        raise problem(at, str(wrong)) from None
