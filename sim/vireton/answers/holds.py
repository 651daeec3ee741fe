"""``holds``: what wind, slope, a crooked hold and other air do at each distance."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from vireton.answers import shot
from vireton.answers.answer import Answer
from vireton.answers.arrow import ARROW, arrow_facts, arrow_json
from vireton.answers.bands import BRACKETS
from vireton.answers.kinds import One, Several, angle
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.table import Column, Grid, Lines, Part, ends, flat
from vireton.units.display import (
    DEGREES,
    DENSITY,
    FAR,
    SMALL,
    WIND,
    Display,
    Unit,
    digits_for,
    plain,
    with_band,
)
from vireton.units.numbers import YARD
from vireton.units.quantity import Quantity
from vireton.units.text import show

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.setup import Setup
    from vireton.studies.holds import HoldAnswer, HoldQuestion, SlopeHold
    from vireton.uncertain import Banded
    from vireton.units.text import UnitSystem

#: Departure from proportion that is worth a line (our choice).
_BENT = 0.05
#: Bands of this share of the value, or this wide in the unit shown, take room and change nothing.
_NARROW, _TENTH = 0.1, 0.1
#: The distance that words speak of is the one nearest to this, m.
_FAR = 40.0 * YARD
_NO_PIN = "no pin"
_WHY_NO_PIN = (
    f"{_NO_PIN}: no sight setting for level ground hits that near; hold low by the second table"
)
_HOW = (
    "each line: the sight set for that distance, level, still air. Plus is right and high: hold "
    "the other way"
)
_METERS = Unit("m", 1.0, ("m", 1.0), ("m", 1.0))


@dataclass(frozen=True)
class FindHolds(shot.OneBow):
    """Show what to hold for: crosswind, head and tail wind, up- and downhill, cant, other air.

    At each distance the sight is set for that very distance (a pin, or a slider dialed there), on
    level ground in still air; the table says where the fletched arrow then lands.

    >>> import vireton
    >>> holds = vireton.find_holds(vireton.load(), "20,40 yd", draws=8)
    >>> drift = holds.shifts.crosswind.nominal[:, 0]
    >>> bool(0.0 < 2.0 * drift[0] < drift[1])  # twice as far drifts more than twice as much
    True
    """

    command = "holds"
    function = "find_holds"
    example = "vireton holds examples/mill_bow.toml --distances '20:60:10 yd'"
    by_place = ("distances",)

    setup: "Setup" = asked(*shot.SETUP)
    distances: tuple[float, ...] = asked(*shot.EVERY_TEN, metric=shot.EVERY_TEN_METRIC, flag="LIST")
    wind_speed: float = asked(
        One(Quantity("speed", "0.1 mph", "60 mph", "10 mph")),
        "10 mph",
        "Wind to work out, from the side, in the face and from behind. Without it 10 mph, or 5 m/s "
        "with metric units.",
        metric="5 m/s",
        flag="SPEED",
    )
    slopes: tuple[float, ...] = asked(
        Several(angle("60 deg"), rising=True),
        "-30,-20,-10,10,20,30 deg",
        "Slopes, uphill positive, downhill minus.",
        flag="LIST",
    )
    cant: float = asked(
        angle("45 deg"), "2 deg", "Cant to work out, top of the bow right.", flag="ANGLE"
    )
    third_axis: float = asked(
        angle("20 deg"),
        "1 deg",
        "Error of the level about the bow's upright axis, its right end forward.",
        flag="ANGLE",
    )
    altitudes: tuple[float, ...] = asked(
        Several(One(Quantity("length", "-1500 ft", "30000 ft", "5000 ft"), bare=False)),
        "5000 ft",
        "Other altitudes (standard air).",
        option="--altitude",
        flag="LIST",
    )
    temperatures: tuple[float, ...] = asked(
        Several(One(Quantity("temperature", "-40 degF", "130 degF", "86 degF"))),
        "86 degF",
        "Other temperatures, pressure and moisture kept.",
        option="--temperature",
        flag="LIST",
    )
    draws: int = asked(*shot.DRAWN)
    seed: int = asked(*shot.SEEDED)

    @property
    def changed(self) -> dict[str, Any]:
        """No sight-in: the sight is set for each distance."""
        return {"sight_in": math.inf}

    @cached_property
    def wanted(self) -> "HoldQuestion":
        """What to work out."""
        from vireton.flight.air import from_measured, standard
        from vireton.studies.holds import HoldQuestion

        own = self.setup.air
        airs = {_named(height, "height"): standard(height) for height in self.altitudes}
        airs |= {
            _named(kelvin, "temperature"): from_measured(
                kelvin, own.pressure, own.relative_humidity
            )
            for kelvin in self.temperatures
        }
        slopes = tuple(one for one in self.slopes if one != 0.0)
        return HoldQuestion(self.wind_speed, slopes, self.cant, self.third_axis, airs)

    def answer(self, progress: Progress = in_silence) -> "Holds":
        """Shoot under each condition, and each plausible arrow for the bands."""
        from vireton.studies.holds import answer_holds

        shifts = answer_holds(
            self.rig,
            self.distances,
            self.wanted,
            self.setup.uncertainty,
            draws=self.draws,
            seed=self.seed,
            progress=lambda rigs: progress(rigs, "shooting"),
        )
        return Holds(self, shifts)


def _named(value: float, dimension: str) -> str:
    """``"5000 ft (1524 m)"``: both units."""
    return f"{show(value, dimension, 'us')} ({show(value, dimension, 'metric')})"


def slope_name(slope: float) -> str:
    """``"20° up"``."""
    return f"{abs(math.degrees(slope)):.3g}° {'up' if slope > 0.0 else 'down'}"


def _shift(key: str = "", words: str = "", right: str = "", up: str = "") -> tuple[Column, Column]:
    dot = "." if key else ""
    return (
        Column(f"{key}{dot}right", SMALL, right, words, band="range"),
        Column(f"{key}{dot}up", SMALL, up, words, band="range"),
    )


def _moved(key: str, values: "Banded", i: int) -> dict[str, "Banded"]:
    dot = "." if key else ""
    return {f"{key}{dot}right": values[i, 0], f"{key}{dot}up": values[i, 1]}


@dataclass(frozen=True, repr=False)
class Holds(Answer[FindHolds]):
    """What :class:`FindHolds` found: ``shifts``, a :class:`~vireton.studies.holds.HoldAnswer`.

    In SI: where the fletched arrow lands from the aim point, (right, up); hold the other way.
    """

    shifts: "HoldAnswer"

    of_slope = (
        Column("slope", DEGREES, words="uphill positive"),
        *_shift(words="from the aim point, across the line of sight"),
        Column("shoot_as", FAR, words="level distance whose setting hits there", band="range"),
        *_shift("third_axis", "what the crooked level adds"),
    )
    of_air = (Column("name", words="altitude or temperature"), *_shift(words="from the aim point"))
    other_airs = (Column("name", words="altitude or temperature"), Column("density", DENSITY))
    columns = (
        Column("distance", FAR, "at", "along the line of sight, and where the sight is set",
               with_unit=True),
        Column("elevation", DEGREES, words="of the bore line above the line of sight"),
        *_shift("wind_from_left", "full wind from 9", "from the left: right,"),
        Column("drift_share_at_half_the_wind", words="of the drift in all of it"),
        *_shift("wind_in_the_face", "from 12", up="in the face: up,"),
        *_shift("wind_from_behind", "from 6", up="from behind: up,"),
        *_shift("canted", "top of the bow to the right"),
        Column("slopes", words="uphill and downhill", rows=of_slope),
        Column("other_air", words="with the sight as set in the own air", rows=of_air),
    )  # fmt: skip
    head = (
        Column("draws", words="bows like yours behind the bands"),
        Column("seed", words="of those draws"),
        Column("wind", WIND, words="that is worked out"),
        Column("wind_profile_exponent", words="how it grows with height", exact=True),
        Column("wind_reference_height", _METERS, words="where it is that strong", exact=True),
        Column("cant", DEGREES, words="that is worked out, top of the bow right"),
        Column("third_axis", DEGREES, words="error of the level, its right end forward"),
        Column("air_density", DENSITY, words="of the own air"),
        Column("other_airs", words="that are worked out", rows=other_airs),
    )
    inner = {
        "arrow": ARROW, "other_airs": other_airs, "rows[].slopes": of_slope,
        "rows[].other_air": of_air,
    }  # fmt: skip

    def __repr__(self) -> str:
        return f"<Holds of {self.question.rig.bow.name} at {self.shifts.distance.size} distances>"

    def facts(self) -> dict[str, Any]:
        """What was worked out."""
        wanted, conditions = self.question.wanted, self.question.rig.conditions
        return {
            "draws": self.question.draws,
            "seed": self.question.seed,
            "wind": wanted.wind_speed,
            "wind_profile_exponent": conditions.wind.exponent,
            "wind_reference_height": conditions.wind.reference_height,
            "cant": wanted.cant,
            "third_axis": wanted.third_axis,
            "air_density": conditions.air.density,
            "other_airs": [
                {"name": name, "density": air.density} for name, air in wanted.airs.items()
            ],
        }

    def values(self) -> Iterator[dict[str, Any]]:
        """A row for each distance."""
        found = self.shifts
        for i, distance in enumerate(found.distance):
            yield {
                "distance": distance,
                "elevation": found.elevation.nominal[i],
                "drift_share_at_half_the_wind": found.drift_at_half[i],
                **_moved("wind_from_left", found.crosswind, i),
                **_moved("wind_in_the_face", found.headwind, i),
                **_moved("wind_from_behind", found.tailwind, i),
                **_moved("canted", found.cant, i),
                "slopes": [
                    {
                        "slope": one.slope,
                        **_moved("", one.shift, i),
                        "shoot_as": one.shoot_as[i],
                        **_moved("third_axis", one.third_axis, i),
                    }
                    for one in found.slopes
                ],
                "other_air": [
                    {"name": name, **_moved("", one, i)} for name, one in found.airs.items()
                ],
            }

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row a distance; ``slopes`` and ``other_air`` stay lists of such rows."""
        return [{**row, "slopes": [flat(one) for one in row["slopes"]]} for row in super().rows()]

    def body(self) -> dict[str, Any]:
        """The arrow."""
        return {"arrow": arrow_json(self.question.rig)}

    def page(self, display: Display) -> list[Part]:
        """Wind; slopes; a crooked hold; other air."""
        from vireton.bow.cautions import SHOOTING

        closing = (
            *arrow_facts(self.question.rig, display),
            f"{BRACKETS}, and so do gusts. No brackets: known to a twentieth either way, or to a "
            "tenth of an inch or centimeter",
            "other air changes the flight only; what heat or cold does to limbs and string is not "
            "in it",
            *self.notes,
            SHOOTING,
        )
        return [
            Lines((self._lead(display), _HOW)),
            self._wind(display),
            Lines(tuple(self.wind_words(display))),
            *(self._slopes(display) if self.shifts.slopes else ()),
            self._crooked(display),
            *([self._airs(display)] if self.shifts.airs else ()),
            Lines(closing),
        ]

    def _lead(self, display: Display) -> str:
        """What to hold at the distance nearest to a usual far one."""
        found, small = self.shifts, display.small
        i = int(abs(found.distance - _FAR).argmin())
        drift = sure_cells(found.crosswind[i : i + 1, 0], display)[0]
        sized, _, band = drift.lstrip("+-").partition(" ")
        ways = ("right", "left") if drift.startswith("+") else ("left", "right")
        name, size = display.unit(WIND)
        lead = (
            f"at {display.distance(float(found.distance[i]))}: "
            f"{self.question.wind_speed / size:.3g} {name} from the left carries the arrow {sized} "
            f"{small} {ways[0]}{f' {band}' if band else ''}: hold {sized} {small} {ways[1]}"
        )
        # the steepest of those downhill, or else uphill, that a level pin serves
        for one in sorted(found.slopes, key=lambda one: (one.slope > 0.0, -abs(one.slope))):
            level = _level_cells(one.shoot_as[i : i + 1], display)[0]
            if level != _NO_PIN:
                return f"{lead}; {slope_name(one.slope)}: shoot it as {level} {display.far}"
        return lead

    def _wind(self, display: Display) -> Grid:
        found, small = self.shifts, display.small
        name, size = display.unit(WIND)
        cells = {
            f"from the left: right, {small}": sure_cells(found.crosswind[:, 0], display),
            f"in the face: up, {small}": sure_cells(found.headwind[:, 1], display),
            f"from behind: up, {small}": sure_cells(found.tailwind[:, 1], display),
        }
        title = f"wind of {self.question.wind_speed / size:.3g} {name}: where it hits"
        return self._side_by_side(title, cells, display)

    def wind_words(self, display: Display) -> list[str]:
        """How to use the wind table for other directions and speeds."""
        found = self.shifts
        lines = [
            "from the right: as much to the left. From a quarter (1:30 or 4:30 on the clock) about "
            "seven tenths of it, from 1 or 5 o'clock about half; in half the wind about half"
        ]
        share = float(found.drift_at_half[-1])
        if abs(share - 0.5) > _BENT * 0.5:
            lines.append(
                f"half the wind is not quite half the drift: {share:.0%} of it at "
                f"{display.distance(float(found.distance[-1]))}"
            )
        if self.question.rig.conditions.wind.exponent > 0.0:
            lines.append("the wind grows with height as [wind] in the setup file says")
        if float(found.crosswind.nominal[0, 0]) < 0.0:
            lines.append(
                "close up the arrow goes against the wind: its point swings into it before it is "
                "carried along"
            )
        return lines

    def _slopes(self, display: Display) -> list[Part]:
        found = self.shifts.slopes
        high = {slope_name(one.slope): sure_cells(one.shift[:, 1], display) for one in found}
        level = {slope_name(one.slope): _level_cells(one.shoot_as, display) for one in found}
        parts: list[Part] = [
            self._side_by_side(f"slope: shoot it as if level at, {display.far}", level, display),
            self._side_by_side(f"slope: with the level pin it hits high by, {display.small}", high,
                               display),
        ]  # fmt: skip
        if any(_NO_PIN in cells for cells in level.values()):
            parts.append(Lines((_WHY_NO_PIN,)))
        return parts

    def _crooked(self, display: Display) -> Grid:
        wanted, small = self.question.wanted, display.small
        title = (
            "held crooked: top of the bow to the right; level off its third axis, right end forward"
        )
        canted = f"bow canted {math.degrees(wanted.cant):.3g}°: right, {small}"
        cells = {canted: sure_cells(self.shifts.cant[:, 0], display)}
        off = math.degrees(wanted.third_axis)
        for one in _steepest(self.shifts.slopes):
            name = f"level {off:.3g}° off, {slope_name(one.slope)}: right, {small}"
            cells[name] = sure_cells(one.third_axis[:, 0], display)
        return self._side_by_side(title, cells, display)

    def _airs(self, display: Display) -> Grid:
        cells = {name: sure_cells(one[:, 1], display) for name, one in self.shifts.airs.items()}
        return self._side_by_side(f"other air: hits high by, {display.small}", cells, display)

    def _side_by_side(self, title: str, cells: dict[str, list[str]], display: Display) -> Grid:
        at = [display.distance(float(distance)) for distance in self.shifts.distance]
        return Grid(title, ("at", *cells), tuple(zip(at, *cells.values(), strict=True)))

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """Drift and heights in wind, on slopes, with a crooked hold, against distance."""
        from vireton.plots import shift_band
        from vireton.plots.holds import HoldCurve, holds_figure

        found, wanted, rig = self.shifts, self.question.wanted, self.question.rig
        steep = (found.slopes[0], found.slopes[-1]) if len(found.slopes) > 1 else found.slopes
        return holds_figure(
            found.distance,
            crosswind=HoldCurve("crosswind", shift_band(found.crosswind)),
            heights=[
                HoldCurve("headwind", shift_band(found.headwind)),
                HoldCurve("tailwind", shift_band(found.tailwind)),
            ],
            slopes=[HoldCurve(slope_name(one.slope), shift_band(one.shift)) for one in steep],
            crooked=[
                HoldCurve(f"cant {math.degrees(wanted.cant):.3g}°", shift_band(found.cant)),
                *(
                    HoldCurve(f"level, {slope_name(one.slope)}", shift_band(one.third_axis))
                    for one in steep
                ),
            ],
            system=units,
            title=f"{rig.bow.name}, {rig.fletched.parts.name}: what to hold for",
            wind=wanted.wind_speed,
        )


def sure(value: float, low: float, high: float) -> str:
    """A number with its band, to a tenth; a narrow band only limits the digits and is not shown."""
    width = high - low
    if not (math.isfinite(value) and math.isfinite(width)):
        return with_band(value, low, high)
    digits = min(1, digits_for(width))
    shown = plain(value, digits)
    if width <= max(_NARROW * abs(value), _TENTH):
        return shown
    ends = " to ".join(plain(end, digits).removeprefix("+") for end in (low, high))
    return f"{shown} ({ends})"


def sure_cells(values: "Banded", display: Display) -> list[str]:
    """Each of (n,) m as :func:`sure` shows it."""
    size = display.small_size
    return [sure(*(float(end) / size for end in row)) for row in zip(*ends(values), strict=True)]


def _level_cells(values: "Banded", display: Display) -> list[str]:
    size = display.far_size
    return [
        sure(*(float(end) / size for end in row)).replace("+", "")
        if math.isfinite(row[0])
        else _NO_PIN
        for row in zip(*ends(values), strict=True)
    ]


def _steepest(slopes: "Sequence[SlopeHold]") -> "list[SlopeHold]":
    """The steepest slope downhill and uphill, of those that were asked for."""
    found = []
    for sign in (-1.0, 1.0):
        side = [one for one in slopes if sign * one.slope > 0.0]
        if side:
            found.append(max(side, key=lambda one: abs(one.slope)))
    return found


find_holds = function_of(FindHolds, Holds)
