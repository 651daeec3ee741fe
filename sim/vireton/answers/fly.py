"""``fly``: impacts, speed, yaw and spin at each distance, fletched, bare and with a broadhead."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

from vireton.answers import shot
from vireton.answers.answer import Answer
from vireton.answers.arrow import arrow_json, broadhead_facts, broadhead_json, heading
from vireton.answers.bands import SIDE_OPEN, hit_words
from vireton.answers.kinds import MOVE
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.table import Column, Grid, Lines, Part, grid, json_row
from vireton.units.display import DEGREES, FAR, SECONDS, SMALL, SPEED, SPIN, Display

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.setup import Setup
    from vireton.studies.rest_moves import FlightAnswer
    from vireton.units.text import UnitSystem

_PLOT_POINTS = 160


@dataclass(frozen=True)
class Fly(shot.OneBow):
    """Fly the fletched arrow and the bare shaft: where each lands, how fast, how straight.

    A setup with [arrow.broadhead] flies the broadhead as well.

    The sight is set with the fletched arrow as the bow shoots it, launch errors included, in still
    air on level ground; the same aim then serves the bare shaft, a moved rest, wind, slope, cant.

    >>> import vireton
    >>> flights = vireton.fly(vireton.load(), "20 yd", yaw="0 deg", yaw_rate="0.5 rad/s")
    >>> flights
    <Flights of Mill bow: fletched, bare at 1 distances>
    >>> bool(flights["bare"].flight.right[0] > flights["fletched"].flight.right[0])
    True
    """

    command = function = "fly"
    example = "vireton fly examples/mill_bow.toml --distances '20,40,60 yd'"
    by_place = ("distances",)

    setup: "Setup" = asked(*shot.SETUP)
    distances: tuple[float, ...] = asked(*shot.EVERY_TEN, metric=shot.EVERY_TEN_METRIC, flag="LIST")
    right: float = asked(MOVE, "0 in", "Rest moved right (minus: left).", flag="MOVE")
    up: float = asked(MOVE, "0 in", "Rest moved up (minus: down).", flag="MOVE")
    sight_in: float | None = asked(*shot.SIGHTED, flag="DISTANCE")
    wind: tuple[float, float] | None = asked(*shot.WIND, flag="WIND")
    slope: float = asked(*shot.SLOPE, flag="ANGLE")
    cant: float = asked(*shot.CANT, flag="ANGLE")
    yaw: float | None = asked(*shot.YAW, flag="ANGLE")
    pitch: float | None = asked(*shot.PITCH, flag="ANGLE")
    yaw_rate: float | None = asked(*shot.YAW_RATE, flag="RATE")
    pitch_rate: float | None = asked(*shot.PITCH_RATE, flag="RATE")
    draws: int = asked(*shot.DRAWN)
    seed: int = asked(*shot.SEEDED)

    @property
    def changed(self) -> dict[str, Any]:
        """All but the rest move."""
        names = ("sight_in", "wind", "slope", "cant", "yaw", "pitch", "yaw_rate", "pitch_rate")
        return {name: getattr(self, name) for name in names}

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """Those of every bow, and a broadhead that turns away from its flight."""
        from vireton.bow.cautions import planing
        from vireton.studies.broadhead import margin_with_broadhead

        margin = margin_with_broadhead(self.rig)
        return (*super().warnings, *(() if margin is None else planing(margin, margin)))

    def answer(self, progress: Progress = in_silence) -> "Flights":
        """Fly each arrow, and each plausible one for its band."""
        from vireton.flight.flight import demand_flown
        from vireton.studies.rest_moves import answer_flights

        flights = answer_flights(
            self.rig,
            self.distances,
            self.setup.uncertainty,
            right=self.right,
            up=self.up,
            draws=self.draws,
            seed=self.seed,
            progress=lambda rigs: progress(rigs, "shooting"),
        )
        for kind, one in flights.items():
            demand_flown(kind, one.flight)
        return Flights(self, flights)


@dataclass(frozen=True, repr=False)
class Flights(Answer[Fly]):
    """What :class:`Fly` found, by arrow: ``flights["bare"].flight.up``.

    ``flights`` holds a :class:`~vireton.studies.rest_moves.FlightAnswer` under ``fletched``,
    ``bare`` and ``broadhead``, as far as the setup has them: arrays in SI, archer's signs.
    """

    flights: "dict[str, FlightAnswer]"

    columns = (
        Column("distance", FAR, "at", "from the grip", with_unit=True),
        Column("right", SMALL, "right", "of the line", band="range", open_side=True),
        Column("up", SMALL, "up", "above the line", band="range"),
        Column("speed", SPEED, digits=0, signed=False),
        Column("time", SECONDS, "s", "of flight", digits=3, signed=False),
        Column("yaw", DEGREES, "yaw °", "nose right of its path"),
        Column("pitch", DEGREES, "pitch °", "nose above its path"),
        Column("spin", SPIN, "rev/s", "clockwise for the archer", digits=1),
    )
    head = (
        Column("draws", words="bows like yours behind the bands"),
        Column("seed"),
        Column("reference", words="sight or bore: the line that impacts are measured from"),
        Column("sideways_open", words="whether the direction sideways is open"),
    )
    rows_key = ""

    def __repr__(self) -> str:
        count = next(iter(self.flights.values())).flight.distance.size
        name = self.question.rig.bow.name
        return f"<Flights of {name}: {', '.join(self.flights)} at {count} distances>"

    def __getitem__(self, arrow: str) -> "FlightAnswer":
        return self.flights[arrow]

    @property
    def reference(self) -> Literal["sight", "bore"]:
        """``"sight"`` or ``"bore"``: the line that impacts are measured from."""
        return "bore" if self.question.rig.sight.sight_in is None else "sight"

    @property
    def sideways_open(self) -> bool:
        """Whether the direction sideways is open: only this bow can tell."""
        return self.question.rig.sideways_open(self.question.right)

    def facts(self) -> dict[str, Any]:
        """What is told once."""
        return {
            "draws": self.question.draws,
            "seed": self.question.seed,
            "reference": self.reference,
            "sideways_open": self.sideways_open,
        }

    def of(self, arrow: str) -> Iterator[dict[str, Any]]:
        """The rows of one arrow."""
        flight, impact = self.flights[arrow].flight, self.flights[arrow].impact
        for i, distance in enumerate(flight.distance):
            yield {
                "distance": distance,
                "right": impact[i, 0],
                "up": impact[i, 1],
                "speed": flight.speed[i],
                "time": flight.time[i],
                "yaw": flight.yaw[i],
                "pitch": flight.pitch[i],
                "spin": flight.spin[i],
            }

    def rows(self, arrow: str | None = None) -> list[dict[str, Any]]:
        """A table: one row an arrow and a distance, units in the keys; of one arrow if asked."""
        kinds = self.flights if arrow is None else (arrow,)
        return [
            {"arrow": kind, **json_row(self.columns, row)}
            for kind in kinds
            for row in self.of(kind)
        ]

    def body(self) -> dict[str, Any]:
        """The arrow and the rows of each flight."""
        return {
            "arrow": arrow_json(self.question.rig),
            "broadhead": broadhead_json(self.question.rig),
            "flights": {
                kind: [json_row(self.columns, row) for row in self.of(kind)]
                for kind in self.flights
            },
        }

    def page(self, display: Display) -> list[Part]:
        """Where each arrow lands; then how it gets there."""
        from vireton.bow.cautions import SHOOTING_BARE, SHOOTING_BROADHEADS

        rig = self.question.rig
        told = [*heading(rig, display), *broadhead_facts(rig, display), *self.notes]
        if self.sideways_open:
            told.insert(0, SIDE_OPEN)
        broadheads = () if rig.broadhead is None else (SHOOTING_BROADHEADS,)
        return [
            Lines((self._lead(display),)),
            *self._impacts(display),
            *(self._on_the_way(kind, display) for kind in self.flights),
            Lines((*told, *broadheads, SHOOTING_BARE)),
        ]

    def _lead(self, display: Display) -> str:
        from vireton.studies.rest_moves import talking_index

        where = next(iter(self.flights.values())).flight.distance
        i = talking_index(where)
        hits = "; ".join(
            f"{kind} {hit_words(one.impact[i], display, is_open=self.sideways_open)}"
            for kind, one in self.flights.items()
        )
        return f"at {display.distance(float(where[i]))}: {hits}"

    def _impacts(self, display: Display) -> Iterator[Grid]:
        """Fletched and bare side by side; a broadhead by itself."""
        at, *sides = self.columns[:3]
        kinds = list(self.flights)
        for some in (kinds[:2], kinds[2:]):
            columns = [
                replace(side, key=f"{kind} {side.key}", title=f"{kind} {side.title},")
                for kind in some
                for side in sides
            ]
            rows = [
                {at.key: pair[0][at.key]}
                | {
                    f"{kind} {side.key}": row[side.key]
                    for kind, row in zip(some, pair, strict=True)
                    for side in sides
                }
                for pair in zip(*(self.of(kind) for kind in some), strict=True)
            ]
            if some:
                title = "where they land" if some == kinds[:2] else ""
                yield grid(title, [at, *columns], rows, display, is_open=self.sideways_open)

    def _on_the_way(self, kind: str, display: Display) -> Grid:
        """Of one arrow, what has no bands."""
        at, _, _, *others = self.columns
        return grid(f"{kind}, on the way", [at, *others], self.of(kind), display)

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """The flights from the side and from above, and how each shaft swings."""
        import numpy as np

        from vireton.answers.shot_words import shot_words
        from vireton.plots import FlightCurve, flight_figure
        from vireton.units.display import display

        rig, asked_for = self.question.rig, self.question
        where = next(iter(self.flights.values())).flight.distance
        line = np.linspace(min(1.0, where[0]), where[-1], _PLOT_POINTS)
        curves = []
        for kind in self.flights:
            flown = rig.shoot(getattr(rig, kind), line, asked_for.right, asked_for.up)
            curves.append(
                FlightCurve(kind, flown.distance, flown.right, flown.up, flown.yaw, flown.pitch)
            )
        name = f"{rig.bow.name}, {rig.fletched.parts.name}"
        shot = shot_words(asked_for.right, asked_for.up, asked_for.changed, display(units))
        return flight_figure(
            curves,
            system=units,
            title=f"{name}: {shot}" if shot else name,
            reference=self.reference,
            marks=list(where),
            sideways_open=self.sideways_open,
        )


fly = function_of(Fly, Flights)
