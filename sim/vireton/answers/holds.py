"""What to hold for, from Python."""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from vireton.answers import asking
from vireton.answers.arrow import arrow_json
from vireton.answers.asking import Quantities, Quantity
from vireton.answers.readying import caution, setup_of, shot_of
from vireton.answers.table import flat
from vireton.bow.cautions import cautions
from vireton.flight.air import Air, from_measured, standard
from vireton.plots import shift_band
from vireton.rig import Rig
from vireton.setup import Setup
from vireton.studies.holds import HoldAnswer, HoldQuestion, answer_holds
from vireton.uncertain import DEFAULT_DRAWS, DEFAULT_SEED, Banded
from vireton.units.numbers import INCH, MPH, YARD, number
from vireton.units.text import show

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.units.text import UnitSystem


@dataclass(frozen=True, repr=False)
class Holds:
    """What :func:`find_holds` found: ``answer``, a :class:`~vireton.studies.holds.HoldAnswer`, in
    SI.

    Shifts of the fletched arrow from the aim point, (right, up); hold the other way.
    """

    rig: Rig
    question: HoldQuestion
    answer: HoldAnswer
    draws: int
    seed: int

    def __repr__(self) -> str:
        return f"<Holds of {self.rig.bow.name} at {self.answer.distance.size} distances>"

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row a distance, units in the keys.

        ``slopes`` and ``other_air`` stay lists of such rows.
        """
        return [
            {**flat(row), "slopes": [flat(one) for one in row["slopes"]]}
            for row in _rows(self.answer)
        ]

    def to_dict(self) -> dict[str, Any]:
        """The same as ``vireton holds --json``."""
        wind, question = self.rig.conditions.wind, self.question
        return {
            "schema": 1,
            "warnings": list(cautions(self.rig.bow, self.rig.fletched)),
            "notes": list(self.rig.notes),
            "draws": self.draws,
            "seed": self.seed,
            "arrow": arrow_json(self.rig),
            "wind_mph": number(question.wind_speed / MPH),
            "wind_profile_exponent": wind.exponent,
            "wind_reference_height_m": wind.reference_height,
            "cant_deg": number(math.degrees(question.cant)),
            "third_axis_deg": number(math.degrees(question.third_axis)),
            "air_density_kg_m3": number(self.rig.conditions.air.density),
            "other_airs": [
                {"name": name, "density_kg_m3": number(air.density)}
                for name, air in question.airs.items()
            ],
            "rows": _rows(self.answer),
        }

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """Drift and heights in wind, on slopes, with a crooked hold, against distance."""
        from vireton.plots.holds import HoldCurve, holds_figure

        answer, question = self.answer, self.question
        steep = (answer.slopes[0], answer.slopes[-1]) if len(answer.slopes) > 1 else answer.slopes
        return holds_figure(
            answer.distance,
            crosswind=HoldCurve("crosswind", shift_band(answer.crosswind)),
            heights=[
                HoldCurve("headwind", shift_band(answer.headwind)),
                HoldCurve("tailwind", shift_band(answer.tailwind)),
            ],
            slopes=[HoldCurve(slope_name(one.slope), shift_band(one.shift)) for one in steep],
            crooked=[
                HoldCurve(f"cant {math.degrees(question.cant):.3g}°", shift_band(answer.cant)),
                *(
                    HoldCurve(f"level, {slope_name(one.slope)}", shift_band(one.third_axis))
                    for one in steep
                ),
            ],
            system=units,
            title=f"{self.rig.bow.name}, {self.rig.fletched.parts.name}: what to hold for",
            wind=question.wind_speed,
        )


def find_holds(
    setup: Setup | str | Path,
    distances: Quantities = "10:100:10 yd",
    *,
    wind_speed: Quantity = "10 mph",
    slopes: Quantities = "-30,-20,-10,10,20,30 deg",
    cant: Quantity = "2 deg",
    third_axis: Quantity = "1 deg",
    altitudes: Quantities = "5000 ft",
    temperatures: Quantities = "86 degF",
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    progress: Callable[[Sequence[Rig]], Iterable[Rig]] = iter,
) -> Holds:
    """Work out what to hold for: wind, up- and downhill, cant, a crooked level, other air.

    At each distance the sight is set for that very distance, on level ground in still air; the
    answer is where the fletched arrow then lands.

    Args:
        setup: from :func:`vireton.load`, or its file.
        distances: see :func:`vireton.fly`.
        wind_speed: from the side, in the face and from behind, 0.1 to 60 mph; text, or m/s.
        slopes: uphill positive, -60 to 60 deg; text, or rad.
        cant: top of the bow to the right positive, -45 to 45 deg; text, or rad.
        third_axis: error of the level about the bow's upright axis, its right end forward, -20 to
            20 deg; text, or rad.
        altitudes: of other air, standard, -1500 to 30,000 ft; text, or m.
        temperatures: of other air, pressure and moisture kept, -40 to 130 degF; text, or K.
        draws: plausible bows behind the bands, 8 to 10,000.
        seed: of those draws.
        progress: wraps the rigs, to show how far the work is.

    Raises InputProblem for what cannot be used and for a distance that is never reached. Warns with
    a Caution of an arrow too light for the bow.

    >>> import vireton
    >>> holds = vireton.find_holds(vireton.load(), "20,40 yd", draws=8)
    >>> drift = holds.answer.crosswind.nominal[:, 0]
    >>> bool(0.0 < 2.0 * drift[0] < drift[1])  # twice as far drifts more than twice as much
    True
    """
    setup = setup_of(setup)
    where = asking.distances(distances)
    inclined = asking.several(slopes, "angle", "slopes", "-60 deg", "60 deg")
    question = HoldQuestion(
        asking.one(wind_speed, "speed", "wind_speed", "0.1 mph", "60 mph", like="10 mph"),
        tuple(sorted({one for one in inclined if one != 0.0})),
        asking.one(cant, "angle", "cant", "-45 deg", "45 deg"),
        asking.one(third_axis, "angle", "third_axis", "-20 deg", "20 deg"),
        other_airs(
            setup.air,
            asking.several(
                altitudes, "length", "altitudes", "-1500 ft", "30000 ft", like="5000 ft"
            ),
            asking.several(temperatures, "temperature", "temperatures", "-40 degF", "130 degF"),
        ),
    )
    count = asking.draws(draws)
    rig = shot_of(setup, sight_in="none").rig(setup)
    caution(rig)
    answer = answer_holds(
        rig, where, question, setup.uncertainty, draws=count, seed=seed, progress=progress
    )
    return Holds(rig, question, answer, count, seed)


def other_airs(
    own: Air, altitudes: Sequence[float], temperatures: Sequence[float]
) -> dict[str, Air]:
    """Airs at other altitudes (m) and temperatures (K), by names that tell both units."""
    found = {}
    for height in altitudes:
        name = f"{show(height, 'height', 'us')} ({show(height, 'height', 'metric')})"
        found[name] = standard(height)
    for kelvin in temperatures:
        name = f"{show(kelvin, 'temperature', 'us')} ({show(kelvin, 'temperature', 'metric')})"
        found[name] = from_measured(kelvin, own.pressure, own.relative_humidity)
    return found


def slope_name(slope: float) -> str:
    """``"20° up"``."""
    return f"{abs(math.degrees(slope)):.3g}° {'up' if slope > 0.0 else 'down'}"


def _banded(name: str, values: Banded, i: int, axis: int) -> dict[str, Any]:
    ends = (values.nominal, values.low, values.high)
    value, low, high = (number(float(one[i, axis]) / INCH) for one in ends)
    return {name: value, f"{name}_range": [low, high]}


def _both(values: Banded, i: int) -> dict[str, Any]:
    return _banded("right_in", values, i, 0) | _banded("up_in", values, i, 1)


def _rows(answer: HoldAnswer) -> list[dict[str, Any]]:
    """One object a distance; shifts from the aim point with the sight set for that distance."""
    rows = []
    for i, distance in enumerate(answer.distance):
        rows.append(
            {
                "distance_yd": number(distance / YARD),
                "elevation_deg": number(math.degrees(answer.elevation.nominal[i])),
                "wind_from_left": _both(answer.crosswind, i),
                "drift_share_at_half_the_wind": number(answer.drift_at_half[i]),
                "wind_in_the_face": _both(answer.headwind, i),
                "wind_from_behind": _both(answer.tailwind, i),
                "canted": _both(answer.cant, i),
                "slopes": [
                    {
                        "slope_deg": number(math.degrees(one.slope)),
                        **_both(one.shift, i),
                        "shoot_as_yd": number(one.shoot_as.nominal[i] / YARD),
                        "shoot_as_yd_range": [
                            number(end[i] / YARD) for end in (one.shoot_as.low, one.shoot_as.high)
                        ],
                        "third_axis": _both(one.third_axis, i),
                    }
                    for one in answer.slopes
                ],
                "other_air": [{"name": name, **_both(one, i)} for name, one in answer.airs.items()],
            }
        )
    return rows
