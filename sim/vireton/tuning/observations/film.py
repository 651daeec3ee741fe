"""Films of the first meter or two of a flight, marked by whoever took them."""

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Annotated, Any, ClassVar

import tomlkit
from pydantic import model_validator

from vireton.bow.arrow import Arrow
from vireton.film.clip import EXPOSURE, FRAMES_A_SECOND, PICTURE, VIEWS, Clip, Frame, View
from vireton.film.marks import SAID, FrameRow
from vireton.tuning.observations.base import (
    PAPER_ARROW,
    ArrowKind,
    Measurement,
    Observation,
    ShotArrow,
)
from vireton.units.kind import Kind, shown
from vireton.units.kinds import Choice
from vireton.units.numbers import INCH, number
from vireton.units.problems import InputProblem
from vireton.units.spelling import spelled
from vireton.units.table import Table, may, need
from vireton.units.text import UnitSystem

if TYPE_CHECKING:
    from vireton.film.reading import FilmReading
    from vireton.rig import Rig
    from vireton.tuning.response import Shooter

#: rad/s and rad by which the launches of one archer differ from shot to shot (our choice, no
#: source): a film sees one of them.
SHOT_RATE, SHOT_ANGLE = 0.08, 0.001


@dataclass(frozen=True)
class Frames(Kind):
    """The marked frames, ``[[12, 310, 540, 958.5, 548], …]``."""

    row: FrameRow = FrameRow()

    def read(self, value: object) -> tuple[Frame, ...]:
        """The frames."""
        if not isinstance(value, list):
            raise ValueError(f"{shown(value)} is no list of frames; write {self.example}")
        return tuple(self._one(index, one) for index, one in enumerate(value, start=1))

    def _one(self, index: int, value: object) -> Frame:
        try:
            return self.row.read(value)
        except ValueError as wrong:
            raise ValueError(f"entry {index}: {wrong}") from None

    def describe(self) -> dict[str, Any]:
        """An array of frames."""
        return {"type": "array", "items": self.row.describe(), "minItems": 2}

    @property
    def example(self) -> str:
        """Two frames."""
        return "[[12, 310, 540, 958, 548], [13, 610, 541, 1258, 549]]"


class FilmTable(Table):
    """``[[round.film]]``: what was filmed, and where nock and point are in each frame."""

    arrow: Annotated[ArrowKind, PAPER_ARROW] = need("Which arrow")
    view: Annotated[View, Choice(VIEWS)] = need("Filmed from above the path or from beside it")
    frames: Annotated[tuple[Frame, ...], Frames()] = need(
        "Each frame: its number, nock right and down, point right and down, in pixels"
    )
    frames_a_second: Annotated[float | None, SAID["frames_a_second"]] = may(
        "At which it was taken; without it 240"
    )
    picture: Annotated[tuple[float, ...] | None, SAID["picture"]] = may(
        "Width and height of the picture; without it 1920 and 1080"
    )
    exposure: Annotated[float | None, SAID["exposure"]] = may(
        "Of one frame, the shutter; without it 1/2000 s"
    )
    readout: Annotated[float | None, SAID["readout"]] = may(
        "From the sensor's first row to its last; without it as phones usually do"
    )
    off_string: Annotated[float | None, SAID["off_string"]] = may(
        "How far the nock is off the string in the first of these frames; without it half the way "
        "between two frames"
    )
    reading_error: Annotated[float | None, SAID["reading_error"]] = may(
        "How well a mark is set across the arrow, pixels; without it 1.5 of 1920"
    )

    @model_validator(mode="after")
    def _is_a_film(self) -> "FilmTable":
        _clip(self)  # says what is wrong with the frames taken together
        return self


@dataclass(frozen=True)
class Film(Observation):
    """One shot of an ``arrow``, filmed from above (yaw) or beside (pitch); ``clip``: its marks."""

    arrow: ArrowKind
    clip: Clip

    key: ClassVar[str] = "film"
    description: ClassVar[str] = "Films of the first meter or two"
    table: ClassVar[type[Table]] = FilmTable
    json_key: ClassVar[str] = "films"

    @classmethod
    def from_table(cls, table: FilmTable) -> "Film":
        """As the file says it."""
        return cls(table.arrow, _clip(table))

    def to_table(self, units: UnitSystem) -> dict[str, Any]:
        """A frame a line; what is usual is left out."""
        clip = self.clip
        frames = tomlkit.array()
        frames.extend(
            [one.number, *(_short(value) for value in (*one.nock, *one.point))]
            for one in clip.frames
        )
        table: dict[str, Any] = {
            "arrow": self.arrow,
            "view": clip.view,
            "frames": frames.multiline(True),
        }
        if clip.frames_a_second != FRAMES_A_SECOND:
            table["frames_a_second"] = _short(clip.frames_a_second)
        if clip.picture != PICTURE:
            table["picture"] = [_short(one) for one in clip.picture]
        if clip.exposure != EXPOSURE:
            table["exposure"] = f"{clip.exposure!r} s"
        if clip.readout is not None:
            table["readout"] = f"{clip.readout!r} s"
        if clip.off_string is not None:
            table["off_string"] = spelled(clip.off_string, "distance", units)
        if clip.reading_error is not None:
            table["reading_error"] = clip.reading_error
        return table

    def words(self, units: UnitSystem) -> str:
        """``bare arrow filmed from above: 5 frames at 240 a second``."""
        clip = self.clip
        view = "from above" if clip.view == "above" else "from beside"
        return (
            f"{self.arrow} arrow filmed {view}: {len(clip.frames)} frames at "
            f"{clip.frames_a_second:g} a second"
        )

    def to_dict(self) -> dict[str, Any]:
        """Marks in picture units, as they were set."""
        clip = self.clip
        off = clip.off_string
        return {
            "arrow": self.arrow,
            "view": clip.view,
            "frames_a_second": number(clip.frames_a_second),
            "picture": [number(one) for one in clip.picture],
            "exposure_s": number(clip.exposure),
            "readout_s": number(clip.readout_time),
            "off_string_in": None if off is None else number(off / INCH),
            "reading_error": number(clip.mark_error),
            "frames": [
                [one.number, *(number(value) for value in (*one.nock, *one.point))]
                for one in clip.frames
            ],
        }

    @property
    def speaks_of(self) -> ShotArrow:
        """The arrow that was filmed."""
        return self.arrow

    def measurement(self, spread_angle: float) -> None:
        """None: it takes the arrow itself to read a film, see :meth:`measurements`."""

    def measurements(self, spread_angle: float, shooter: "Shooter") -> tuple[Measurement, ...]:
        """The rate, and of the angle what is independent of it; nothing from a film of no use."""
        try:
            reading = self.reading(shooter.rig)
        except InputProblem:
            return ()  # who records it is told; see answers/filmed
        distance = reading.ahead - shooter.rig.bow.brace_height
        (angle, both), (_, rate) = reading.covariance
        later = reading.later
        axes = (1.0, 0.0) if self.clip.view == "above" else (0.0, 1.0)

        def seen(value: float) -> tuple[float, float]:
            return value * axes[0], value * axes[1]

        return (
            Measurement(
                self.arrow,
                "film rate",
                distance,
                seen(reading.rate),
                rate + SHOT_RATE**2,
                axes=axes,
            ),
            Measurement(
                self.arrow,
                "film angle",
                distance,
                seen(reading.angle + later * reading.rate),
                angle + 2.0 * later * both + later**2 * rate + SHOT_ANGLE**2,
                axes=axes,
                later=later,
            ),
        )

    def reading(self, rig: "Rig") -> "FilmReading":
        """What it says of this bow's arrow. Raises InputProblem where it cannot be of it."""
        arrow = rig.bare if self.arrow == "bare" else rig.fletched
        return _read(self.clip, arrow, rig.stroke.speed_of(arrow.mass))


@lru_cache(maxsize=256)
def _read(clip: Clip, arrow: Arrow, speed: float) -> "FilmReading":
    # a job is read without what reads its films
    from vireton.film.reading import read_film  # noqa: PLC0415
    from vireton.film.shaft import shaft_of  # noqa: PLC0415

    return read_film(clip, shaft_of(arrow), speed)


def _clip(table: FilmTable) -> Clip:
    picture = PICTURE if table.picture is None else (table.picture[0], table.picture[1])
    return Clip(
        table.view,
        table.frames,
        table.frames_a_second or FRAMES_A_SECOND,
        picture,
        table.exposure or EXPOSURE,
        table.readout,
        table.off_string,
        table.reading_error,
    )


def _short(value: float) -> float:
    """A whole number without its point."""
    return int(value) if value == int(value) else value
