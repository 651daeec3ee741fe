"""Flights of the fletched arrow, the bare shaft and the broadhead, from Python."""

import math
import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from vireton.answers import asking
from vireton.answers.arrows import arrow_json, broadhead_json
from vireton.answers.asking import Quantities, Quantity, WindGiven
from vireton.answers.readying import (
    Caution,
    caution,
    demand_flown,
    setup_of,
    shot_of,
    sideways_open,
)
from vireton.bow.cautions import cautions, planing
from vireton.rig import Rig
from vireton.setup import Setup
from vireton.studies.broadhead import margin_with_broadhead
from vireton.studies.rest_moves import FlightAnswer, answer_flights
from vireton.uncertain import DEFAULT_DRAWS, DEFAULT_SEED
from vireton.units.numbers import FOOT, INCH, YARD, number, pair

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.plots.scales import System

_PLOT_POINTS = 160


@dataclass(frozen=True, repr=False)
class Flights:
    """What :func:`fly` found, by arrow: ``flights["bare"].flight.up``.

    ``answers`` holds a :class:`~vireton.studies.rest_moves.FlightAnswer` under ``fletched``,
    ``bare`` and ``broadhead``, as far as the setup has them: arrays in SI, archer's signs.
    ``right``, ``up`` m is where the rest was moved to. ``draws`` and ``seed`` are those of the
    bands.
    """

    rig: Rig
    answers: dict[str, FlightAnswer]
    right: float
    up: float
    draws: int
    seed: int

    def __repr__(self) -> str:
        count = next(iter(self.answers.values())).flight.distance.size
        return f"<Flights of {self.rig.bow.name}: {', '.join(self.answers)} at {count} distances>"

    def __getitem__(self, arrow: str) -> FlightAnswer:
        return self.answers[arrow]

    @property
    def reference(self) -> str:
        """``"sight"`` or ``"bore"``: the line that impacts are measured from."""
        return "bore" if self.rig.sight.sight_in is None else "sight"

    @property
    def sideways_open(self) -> bool:
        """Whether the direction sideways is open: only this bow can tell."""
        return sideways_open(self.rig, self.right)

    @property
    def planing(self) -> list[str]:
        """A warning of a broadhead that turns away from its flight, else nothing."""
        margin = margin_with_broadhead(self.rig)
        return [] if margin is None else planing(margin, margin)

    def rows(self, arrow: str | None = None) -> list[dict[str, Any]]:
        """A table: one row an arrow and a distance, units in the keys; of one arrow if asked."""
        return [
            {"arrow": kind, **row}
            for kind, answer in self.answers.items()
            if arrow in (None, kind)
            for row in _rows(answer)
        ]

    def to_dict(self) -> dict[str, Any]:
        """The same as ``vireton fly --json``."""
        return {
            "schema": 1,
            "reference": self.reference,
            "warnings": [*cautions(self.rig.bow, *self.rig.arrows), *self.planing],
            "notes": list(self.rig.notes),
            "draws": self.draws,
            "seed": self.seed,
            "sideways_open": self.sideways_open,
            "arrow": arrow_json(self.rig),
            "broadhead": broadhead_json(self.rig),
            "flights": {kind: _rows(answer) for kind, answer in self.answers.items()},
        }

    def figure(self, units: "System" = "us") -> "Figure":
        """The flights from the side and from above, and how each shaft swings."""
        from vireton.plots import FlightCurve, flight_figure  # noqa: PLC0415

        where = next(iter(self.answers.values())).flight.distance
        line = np.linspace(min(1.0, where[0]), where[-1], _PLOT_POINTS)
        curves = []
        for kind in self.answers:
            flown = self.rig.shoot(getattr(self.rig, kind), line, self.right, self.up)
            curves.append(
                FlightCurve(kind, flown.distance, flown.right, flown.up, flown.yaw, flown.pitch)
            )
        return flight_figure(
            curves,
            system=units,
            title=f"{self.rig.bow.name}, {self.rig.fletched.parts.name}",
            reference="bore" if self.rig.sight.sight_in is None else "sight",
            marks=list(where),
            sideways_open=self.sideways_open,
        )


def fly(
    setup: Setup | str | Path,
    distances: Quantities = "10:100:10 yd",
    *,
    right: Quantity = 0.0,
    up: Quantity = 0.0,
    sight_in: Quantity | None = None,
    wind: WindGiven | None = None,
    slope: Quantity = 0.0,
    cant: Quantity = 0.0,
    yaw: Quantity | None = None,
    pitch: Quantity | None = None,
    yaw_rate: Quantity | None = None,
    pitch_rate: Quantity | None = None,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
) -> Flights:
    """Fly the fletched arrow and the bare shaft: where each lands, how fast, how straight.

    The sight is set with the fletched arrow as the bow shoots it, in still air on level ground; the
    same aim then serves the bare shaft, the broadhead, a moved rest, wind, slope and cant.

    Args:
        setup: from :func:`vireton.load`, or its file.
        distances: 1 to 2000 m, ``"20,40 yd"``, ``"10:60:5 yd"``, or numbers in m.
        right: rest moved right, at most half an inch either way; text, or m.
        up: rest moved up.
        sight_in: sighted in here instead of where the setup says; ``"none"`` measures from the
            bore line.
        wind: ``"5 mph from 9"``: out of 9 o'clock, from the left; or (m/s, clock).
        slope: of the shot, uphill positive; text, or rad.
        cant: of the bow, its top to the right positive.
        yaw: launch yaw, nose right; this and the three below replace the launch model's.
        pitch: launch pitch, nose up.
        yaw_rate: turning nose right; text, or rad/s.
        pitch_rate: turning nose up.
        draws: plausible bows behind the bands, 8 to 10,000.
        seed: of those draws; the same seed gives the same bands.

    Raises InputProblem for what cannot be used and for a distance that is never reached. Warns with
    a Caution of an arrow too light for the bow.

    >>> import vireton
    >>> flights = vireton.fly(vireton.load(), "20,40 yd", yaw="0 deg", yaw_rate="0.5 rad/s")
    >>> flights
    <Flights of Mill bow: fletched, bare at 2 distances>
    >>> for row in flights.rows():
    ...     low, high = row["right_in_range"]
    ...     print(f"{row['arrow']:8} {row['distance_yd']:.0f} yd: {low:.1f} to {high:.1f} in right")
    fletched 20 yd: ... to ... in right
    fletched 40 yd: ... to ... in right
    bare     20 yd: ... to ... in right
    bare     40 yd: ... to ... in right
    >>> bool(flights["bare"].flight.right[0] > flights["fletched"].flight.right[0])
    True
    """
    setup = setup_of(setup)
    where = asking.distances(distances)
    shift = asking.move(right, "right"), asking.move(up, "up")
    shot = shot_of(
        setup,
        sight_in=sight_in,
        wind=wind,
        slope=slope,
        cant=cant,
        yaw=yaw,
        pitch=pitch,
        yaw_rate=yaw_rate,
        pitch_rate=pitch_rate,
    )
    count = asking.draws(draws)
    rig = shot.rig(setup)
    caution(rig)
    answers = answer_flights(
        rig, where, setup.uncertainty, right=shift[0], up=shift[1], draws=count, seed=seed
    )
    for kind, answer in answers.items():
        demand_flown(kind, answer.flight)
    flights = Flights(rig, answers, shift[0], shift[1], count, seed)
    for text in flights.planing:
        warnings.warn(text, Caution, stacklevel=2)
    return flights


def _rows(answer: FlightAnswer) -> list[dict[str, Any]]:
    flight, impact = answer.flight, answer.impact
    rows = []
    for i in range(flight.distance.size):
        row: dict[str, Any] = {
            "distance_yd": number(flight.distance[i] / YARD),
            "time_s": number(flight.time[i]),
            "speed_fps": number(flight.speed[i] / FOOT),
            "right_in": number(flight.right[i] / INCH),
            "up_in": number(flight.up[i] / INCH),
            "yaw_deg": number(math.degrees(flight.yaw[i])),
            "pitch_deg": number(math.degrees(flight.pitch[i])),
            "spin_rev_s": number(flight.spin[i] / (2.0 * math.pi)),
        }
        for axis, name in enumerate(("right_in_range", "up_in_range")):
            row[name] = pair((impact.low[i, axis], impact.high[i, axis]), INCH)
        rows.append(row)
    return rows
