"""``hunt``: one card for a hunter: pins, wind, slopes, broadheads, groups, what not to trust."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from vireton.answers import shot
from vireton.answers.answer import Answer
from vireton.answers.hunt_groups import Stays, farthest_inside
from vireton.answers.kinds import DISTANCES, BowSource, One, Several
from vireton.answers.question import Progress, Question, asked, function_of, in_silence
from vireton.answers.table import Column, Part, Span
from vireton.units.display import BENCH, DEGREES, FAR, SMALL, WIND, Display
from vireton.units.quantity import Quantity

if TYPE_CHECKING:
    from vireton.answers.broadhead import AimBroadhead, BroadheadAim
    from vireton.answers.holds import FindHolds, Holds
    from vireton.answers.hunt_job import Left, Shooter
    from vireton.answers.marks import FindMarks, SightMarks
    from vireton.answers.scatter import ScatterShots
    from vireton.answers.tune import Tuned
    from vireton.rig import Rig
    from vireton.setup import Setup
    from vireton.uncertain import Banded

_SLOPES = "-30,-15,15,30 deg"
#: Distances, up to the card's last, at which arrows are counted; and arrows a distance.
_STEPS, _ARROWS = 10, 4096
#: What a group near the bow shows already; gusts and speed it hardly shows.
_IN_A_GROUP = ("yaw_rate", "pitch_rate", "yaw", "pitch", "spine")


@dataclass(frozen=True)
class PlanHunt(Question):
    """Put what a hunter carries on one card: pins, wind, slopes, broadheads, groups, doubts.

    Of a setup file, or of a job: then the broadhead leaves the bow as the job left it, and groups
    are as wide as its own. What the file does not say is named, with what stands in for it. The
    card never says that a shot is right: that is for local law and your own practice.

    >>> import vireton
    >>> card = vireton.plan_hunt("examples/mill_broadhead.toml", distances="20,40 yd", draws=8)
    >>> card
    <HuntingCard of Mill bow: 20, 40 yd>
    >>> far = card.rows()[1]
    >>> bool(0.0 < far["drift_at_half_the_wind_in"] < far["drift_in"])
    True
    """

    command = "hunt"
    function = "plan_hunt"
    example = "vireton hunt examples/mill_broadhead.toml -o card.html"

    bow: Any = asked(BowSource(), None, "Setup file, or the job of a bow.")
    distances: tuple[float, ...] = asked(
        DISTANCES,
        "20:60:10 yd",
        "Distances, a list or first:last:step; without it every 10 from 20 to 60, in yd or m by "
        "--units.",
        metric="20:60:10 m",
        flag="LIST",
    )
    circles: tuple[float, ...] = asked(
        Several(One(Quantity("length", "1 in", "4 ft", "8 in")), rising=True),
        "6,8 in",
        "Circles on a target that are to hold 9 of 10 arrows; without it 6 and 8 in, or 15 and "
        "20 cm with metric units.",
        metric="15,20 cm",
        flag="LIST",
    )
    wind_speed: float = asked(
        One(Quantity("speed", "0.1 mph", "60 mph", "10 mph")),
        "10 mph",
        "Full crosswind that is told beside half of it. Without it 10 mph, or 5 m/s with metric "
        "units.",
        metric="5 m/s",
        flag="SPEED",
    )
    radius: float | None = asked(
        One(Quantity("length", "5 in", "60 in", "33 in")),
        None,
        "From the peep (or the eye) to the pin; without it that of the setup file, or 33 in.",
        flag="LENGTH",
    )
    draws: int = asked(*shot.DRAWN)
    seed: int = asked(*shot.SEEDED)

    @cached_property
    def tuned(self) -> "Tuned | None":
        """What the job says; None of a setup alone and of an arrow without vanes."""
        from vireton.answers.tune import tune_log
        from vireton.setup import Setup

        if isinstance(self.bow, Setup) or not self.has_vanes:
            return None
        return tune_log(self.bow)

    @cached_property
    def setup(self) -> "Setup":
        """Of the bow as it is now. Raises InputProblem where its file cannot be used."""
        from vireton.job import setup_of
        from vireton.setup import Setup

        return self.bow if isinstance(self.bow, Setup) else setup_of(self.bow)

    @property
    def has_vanes(self) -> bool:
        """Without them no broadhead is to be shot."""
        return self.setup.parts.vanes is not None

    @property
    def has_broadhead(self) -> bool:
        """Whether the setup has its own."""
        return self.setup.parts.broadhead is not None

    @cached_property
    def rigs(self) -> "dict[str, Rig]":
        """The bow."""
        return {"": shot.rig_for(self.setup)}

    @cached_property
    def holding(self) -> "FindHolds":
        """Wind and slopes."""
        from vireton.answers.holds import FindHolds

        asked_for = FindHolds.read(
            {"setup": self.setup, "slopes": _SLOPES, "wind_speed": self.wind_speed}
        )
        return replace(asked_for, distances=self.distances, draws=self.draws, seed=self.seed)

    @cached_property
    def marking(self) -> "FindMarks":
        """The pins."""
        from vireton.answers.hand_over import USUAL_RADIUS
        from vireton.answers.marks import FindMarks

        radius = self.radius or self.setup.sight.radius or USUAL_RADIUS
        asked_for = FindMarks.read({"setup": self.setup, "radius": radius})
        return replace(asked_for, distances=self.distances, draws=self.draws, seed=self.seed)

    @cached_property
    def left(self) -> "Left | None":
        """The launch as the job left the bow."""
        from vireton.answers.hunt_job import left_by

        return None if self.tuned is None else left_by(self.tuned)

    @cached_property
    def aiming(self) -> "AimBroadhead | None":
        """The broadhead beside the field point; None where none may be shot."""
        from vireton.answers.broadhead import AimBroadhead
        from vireton.answers.hunt_job import with_usual_broadhead

        if not self.has_vanes:
            return None
        setup = self.setup if self.has_broadhead else with_usual_broadhead(self.setup)
        launch = {} if self.left is None else self.left.middle
        asked_for = AimBroadhead.read({"setup": setup, **launch})
        return replace(asked_for, distances=self.distances, draws=self.draws, seed=self.seed)

    @cached_property
    def shooter(self) -> "Shooter | None":
        """How the job's own arrows scatter; None without a group."""
        from vireton.answers.hunt_job import shooter_of

        return None if self.tuned is None else shooter_of(self.tuned)

    def grouping(self, circle: float) -> "ScatterShots":
        """Shots at a target of this size, at steps up to the last distance."""
        import numpy as np

        from vireton.answers.scatter import ScatterShots

        given: dict[str, Any] = {"setup": self.setup, "target": circle, "wind": (0.0, 12.0)}
        if self.shooter is not None:
            given |= {"aim": self.shooter.sd, **dict.fromkeys(_IN_A_GROUP, 0.0)}
        steps = np.linspace(0.0, self.distances[-1], _STEPS + 1)[1:]
        asked_for = ScatterShots.read({**given, "arrows": _ARROWS})
        few = max(8, self.draws // 4)  # what bows differ by hardly moves a group
        return replace(asked_for, distances=tuple(map(float, steps)), draws=few, seed=self.seed)

    def prepare(self, progress: Progress) -> None:
        """The warnings rest on the broadhead's comparison."""
        if self.aiming is not None:
            self.aiming.prepare(progress)

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """Those of the bow and its own broadhead, and what its job says is to be put right."""
        own = self.aiming.warnings if self.aiming and self.has_broadhead else super().warnings
        return (*own, *self._of_the_job)

    @property
    def _of_the_job(self) -> tuple[str, ...]:
        from vireton.answers.hand_over import uncured_lines
        from vireton.job.visits import unsafe_now
        from vireton.setup import Setup

        if isinstance(self.bow, Setup):
            return ()
        found = () if self.tuned is None else uncured_lines(self.tuned)
        return (*unsafe_now(self.bow), *found)

    def answer(self, progress: Progress = in_silence) -> "HuntingCard":
        """Ask every question of the card. Raises InputProblem where one has no answer."""
        return HuntingCard(
            self,
            self.marking.answer(progress),
            self.holding.answer(progress),
            None if self.aiming is None else self.aiming.answer(progress),
            tuple(self._stays(one, progress) for one in self.circles),
        )

    def _stays(self, circle: float, progress: Progress) -> "Stays":
        (found,) = self.grouping(circle).answer(progress).setups
        counted = found.bands["fletched" if self.has_vanes else "bare"].hits
        where = found.case.distances
        if self.shooter is None:
            ends = (counted.nominal, counted.low, counted.high)
            far = Span(*(farthest_inside(where, one) for one in ends))
        else:
            # nearly in proportion: what the job's groups show is most of it
            here, one = farthest_inside(where, counted.nominal), self.shooter
            far = Span(here, here * one.sd / one.high, here * one.sd / one.low)
        return Stays(circle, far, float(where[-1]))


@dataclass(frozen=True, repr=False)
class HuntingCard(Answer[PlanHunt]):
    """What :class:`PlanHunt` found: the answers ``marks``, ``holds`` and ``broadhead`` themselves.

    ``broadhead`` is None for an arrow without vanes. ``stays``: a :class:`Stays` for each circle.
    """

    marks: "SightMarks"
    holds: "Holds"
    broadhead: "BroadheadAim | None"
    stays: tuple[Stays, ...]

    has_figure = False
    of_slope = (
        Column("slope", DEGREES, words="uphill positive"),
        Column("high", SMALL, words="it lands across the line of sight; aim low by it",
               band="range"),
    )  # fmt: skip
    of_circle = (
        Column("circle", SMALL, words="its diameter"),
        Column("farthest", FAR, words="where it holds 9 of 10 arrows", band="range"),
        Column("and_beyond", words="whether it holds them at the last distance too"),
    )
    columns = (
        Column("distance", FAR, "at", with_unit=True),
        Column("pin", BENCH, words="below the pin of the sight-in", band="interval_95"),
        Column("drift_at_half_the_wind", SMALL, words="downwind, full crosswind", band="range"),
        Column("drift", SMALL, words="downwind, full crosswind", band="range"),
        Column("slopes", words="uphill and downhill", rows=of_slope),
        Column("broadhead_right", SMALL, words="of the field point", band="range"),
        Column("broadhead_up", SMALL, words="of the field point", band="range"),
    )
    head = (
        Column("from", words="setup or job"),
        Column("bow"),
        Column("arrow"),
        Column("pin_radius", BENCH, words="from the peep to the pin"),
        Column("sight_in", FAR, words="the pin that others are counted from"),
        Column("wind", WIND, words="of the drift"),
        Column("groups", words="where in words the scatter is from"),
        Column("circles", rows=of_circle),
        Column("stand_ins", words="what is missing, and what stands in for it"),
        Column("not_to_trust", words="a list of sentences"),
        Column("draws", words="bows like yours behind the bands"),
        Column("seed"),
    )
    inner = {"circles": of_circle, "rows[].slopes": of_slope}

    def __repr__(self) -> str:
        where = ", ".join(f"{one / FAR.size:.4g}" for one in self.question.distances)
        return f"<HuntingCard of {self.question.setup.bow.name}: {where} yd>"

    @property
    def title(self) -> str:
        """Of the sheet."""
        return f"{self.question.setup.bow.name}: hunting card"

    @property
    def sideways_open(self) -> bool:
        """Whether the side to which a broadhead goes is open."""
        return self.broadhead is not None and self.broadhead.sideways_open

    def facts(self) -> dict[str, Any]:
        """What is told once."""
        from vireton.answers.hunt_words import groups_from, not_to_trust, stand_ins
        from vireton.setup import Setup
        from vireton.units.display import US

        question = self.question
        return {
            "from": "setup" if isinstance(question.bow, Setup) else "job",
            "bow": question.setup.bow.name,
            "arrow": question.setup.parts.name,
            "pin_radius": question.marking.radius,
            "sight_in": question.marking.zero,
            "wind": question.holding.wind_speed,
            "groups": groups_from(self, US),
            "circles": [
                {"circle": one.circle, "farthest": one.capped, "and_beyond": one.goes_on}
                for one in self.stays
            ],
            "stand_ins": stand_ins(self, US),
            "not_to_trust": not_to_trust(self, US),
            "draws": question.draws,
            "seed": question.seed,
        }

    def values(self) -> Iterator[dict[str, Any]]:
        """A row for each distance."""
        shifts, pins = self.holds.shifts, list(self.marks.values())
        beside = self.beside
        for i, distance in enumerate(self.question.distances):
            drift = shifts.crosswind[i, 0]
            row = {
                "distance": distance,
                "pin": pins[i]["mark"],
                "drift_at_half_the_wind": _times(drift, float(shifts.drift_at_half[i])),
                "drift": drift,
                "slopes": [{"slope": one.slope, "high": one.shift[i, 1]} for one in shifts.slopes],
            }
            if beside is not None:
                row |= {"broadhead_right": beside[i, 0], "broadhead_up": beside[i, 1]}
            yield row

    @cached_property
    def beside(self) -> "Banded | None":
        """(n, 2) m: the broadhead from the field point, as the bow stands."""
        import numpy as np

        from vireton.uncertain import Banded

        if self.broadhead is None:
            return None
        found = self.broadhead.found
        left, apart = self.question.left, found.separation
        if left is None:
            return apart
        low, high = left.beside(found.per_yaw_rate.nominal, found.per_yaw.nominal)
        # what the air leaves open and what the launch does are two things: their squares add up
        return Banded(
            apart.nominal,
            apart.nominal - np.hypot(apart.nominal - apart.low, low),
            apart.nominal + np.hypot(apart.high - apart.nominal, high),
        )

    def page(self, display: Display) -> list[Part]:
        """The card."""
        from vireton.answers.hunt_words import page

        return page(self, display)


def _times(band: "Banded", share: float) -> Span:
    return Span(*(share * float(one) for one in (band.nominal, band.low, band.high)))


plan_hunt = function_of(PlanHunt, HuntingCard)
