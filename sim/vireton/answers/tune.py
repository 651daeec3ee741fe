"""``tune``: what a log says of the bow, and what to do next."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from vireton.answers import tune_words
from vireton.answers.answer import Answer
from vireton.answers.kinds import DISTANCE, One, Several
from vireton.answers.logged import LOG, OneLog
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.table import Column, Grid, Lines, Part, grid, record
from vireton.units.display import FAR, SMALL, Display
from vireton.units.numbers import number, percent
from vireton.units.quantity import Quantity

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.job import TuningLog
    from vireton.tuning.advice import Advice
    from vireton.tuning.fit import Posterior
    from vireton.tuning.loop import Tuner, Turn
    from vireton.tuning.outlook import Cause, Left, NextTest
    from vireton.units.text import UnitSystem

#: How near is near enough, at 20 yd.
TOLERANCE = (
    One(Quantity("length", "0.05 in", "6 in", "0.75 in")),
    "1/2 in",
    "Done inside this at 20 yd.",
)


@dataclass(frozen=True)
class Tune(OneLog):
    """Infer the launch errors from the log and say what to do next.

    A move in whole rest steps with its probability of helping, or to stop, or that it cannot be
    told yet. Until the bow has shown which way it answers sideways, the move there is a test.

    >>> import vireton
    >>> tuned = vireton.tune("examples/mill_log.toml", distances="40,60 yd")
    >>> tuned.advice.verdict in {"move", "stop", "shoot_more"}
    True
    >>> [round(row["distance_yd"]) for row in tuned.rows()]
    [40, 60]
    """

    command = function = "tune"
    example = "vireton tune examples/mill_log.toml"
    needs_derivatives = True

    log: "TuningLog" = asked(*LOG)
    tolerance: float = asked(*TOLERANCE, flag="LENGTH")
    distances: tuple[float, ...] = asked(
        Several(One(DISTANCE, bare=False)),
        "40,60,100 yd",
        "Where to say what is left.",
        flag="LIST",
    )

    @cached_property
    def tuner(self) -> "Tuner":
        """The bow, its prior, and how near is near enough."""
        from vireton.tuning.loop import Tuner

        tuner = Tuner.of(self.rig, self.setup.uncertainty, self.setup.rest_step)
        return replace(tuner, tolerance=self.tolerance)

    def answer(self, progress: Progress = in_silence) -> "Tuned":
        """Work the log out."""
        return Tuned(self, self.tuner.turn(self.log.rounds.counting, self.log.setting))


def tune_log(log: "TuningLog", tolerance: float | None = None) -> "Tuned":
    """The answer for a log that is read already; ``tolerance`` m at 20 yd."""
    return Tune.read({"log": log, "tolerance": tolerance}).answer()


_SIDES = ("right", "up")


@dataclass(frozen=True, repr=False)
class Tuned(Answer[Tune]):
    """What a log says: ``turn``, its posterior, advice and shot scatter."""

    turn: "Turn"

    columns = (
        Column("distance", FAR, "at", with_unit=True),
        *(
            Column(f"{kind}_{side}", SMALL, f"{title} {side},", band="interval_95")
            for kind, title in (("separation", "bare − fletched"), ("fletched", "fletched"))
            for side in _SIDES
        ),
    )
    head = (
        Column("advice", words="move, stop or shoot_more"),
        Column("move_right", SMALL),
        Column("move_up", SMALL),
        Column("probability_better"),
        Column("shots_needed", words="of each arrow, in all"),
        Column("is_test", words="whether the move is to learn the side"),
        Column("rest_now", SMALL, words="right and up of where it was at the start"),
        Column("probability_inside_tolerance"),
        Column("tolerance", SMALL),
        Column("misfit", words="how many times worse than it should the log fits, at least 1"),
        Column("shot_sd_20yd", SMALL, words="of one arrow, on one axis"),
    )
    rows_key = ""

    def __repr__(self) -> str:
        count = len(self.question.log.rounds.counting)
        name = self.question.setup.bow.name
        return f"<Tuned {name}, {count} rounds: {self.advice.verdict}>"

    @property
    def advice(self) -> "Advice":
        """What to do next, see :class:`~vireton.tuning.advice.Advice`."""
        return self.turn.advice

    @property
    def posterior(self) -> "Posterior":
        """What is known of the bow, see :class:`~vireton.tuning.fit.Posterior`."""
        return self.turn.posterior

    @cached_property
    def left(self) -> "list[Left]":
        """Bare and fletched arrows at each distance if nothing more is done."""
        from vireton.tuning.outlook import what_is_left

        return what_is_left(self.question.tuner, self.turn, self.question.distances)

    def next_tests(self) -> "list[NextTest]":
        """Tests by what they would tell, best first."""
        from vireton.tuning.outlook import next_tests

        return next_tests(self.question.tuner, self.turn, self.question.tuner.step)

    def causes(self) -> "list[Cause]":
        """Which kinds of launch error fit what was seen."""
        from vireton.tuning.outlook import causes

        return causes(self.question.tuner, self.turn)

    def facts(self) -> dict[str, Any]:
        """The advice and what it rests on."""
        from vireton.studies.rest_moves import TALKING_DISTANCE

        advice = self.advice
        return {
            "advice": advice.verdict,
            "move_right": advice.move.rest_right,
            "move_up": advice.move.rest_up,
            "probability_better": advice.probability_better,
            "shots_needed": advice.shots_needed,
            "is_test": advice.is_test,
            "rest_now": self.question.log.setting.rest,
            "probability_inside_tolerance": advice.probability_inside,
            "tolerance": advice.tolerance,
            "misfit": self.turn.error_inflation,
            "shot_sd_20yd": self.turn.spread.at(TALKING_DISTANCE),
        }

    def values(self) -> Iterator[dict[str, Any]]:
        """What is left, a row a distance: means and 95 % intervals."""
        from vireton.uncertain import Banded

        for one in self.left:
            yield {
                "distance": one.distance,
                **{
                    f"{kind}_{side}": Banded(*(end[axis] for end in getattr(one, kind)))
                    for kind in ("separation", "fletched")
                    for axis, side in enumerate(_SIDES)
                },
            }

    def advice_json(self) -> dict[str, Any]:
        """The advice alone, as the JSON of pages and records holds it."""
        return {
            "schema": 1,
            "warnings": list(self.warnings),
            **record(self.head, self.facts()),
            "separation_now_in": _interval(self.advice.now),
            "predicted_separation_in": _interval(self.advice.predicted),
            "posterior": _posterior_json(self.posterior),
        }

    def body(self) -> dict[str, Any]:
        """What is known, what is left, what would tell more, and what it comes from."""
        return {
            **self.advice_json(),
            "left": [
                {
                    **record(self.columns[:1], {"distance": one.distance}),
                    "separation_in": _interval(one.separation),
                    "fletched_in": _interval(one.fletched),
                }
                for one in self.left
            ],
            "next_tests": [
                {"test": one.name, "gain": round(one.gain, 4)} for one in self.next_tests()
            ],
            "causes": [
                {"cause": one.name, "probability": round(one.probability, 4), "test": one.test}
                for one in self.causes()
            ],
        }

    def page(self, display: Display) -> list[Part]:
        """The advice first, then what it rests on."""
        from vireton.bow.cautions import SHOOTING_BARE

        known = Grid(
            "what is known",
            ("", "mean (95 %)", ""),
            tuple(tune_words.unknown_rows(self)),
            frozenset({0, 1, 2}),
        )
        causes = [
            f"cause: {one.name}, {percent(one.probability)}"
            for one in self.causes()
            if one.probability >= 0.01 and self.turn.data
        ]
        best = self.next_tests()[0]
        return [
            Lines((tune_words.standing_words(self, display),)),
            Lines(()),
            Lines(tuple(tune_words.advice_words(self, display))),
            known,
            grid("if you stop here", self.columns, self.values(), display),
            Lines((*causes, f"the test that would tell most: {best.name}", SHOOTING_BARE)),
        ]

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """Bare shaft against the fletched group: what was seen, where it is now, where it goes."""
        import numpy as np

        from vireton.plots.tuning import SeparationSpot, tuning_figure
        from vireton.tuning.advice import separation_samples
        from vireton.tuning.observations import Group

        spots = []
        for one in self.question.log.rounds.counting:
            groups = {g.arrow: g for g in one.seen(Group)}
            if len(groups) == 2 and groups["bare"].distance == groups["fletched"].distance:
                apart = np.subtract(groups["bare"].center, groups["fletched"].center)
                error = self.turn.spread.at(groups["bare"].distance) * np.sqrt(
                    1.0 / groups["bare"].count + 1.0 / groups["fletched"].count
                )
                spots.append(SeparationSpot(f"round {one.number}", apart, float(error)))
        shooter = self.question.tuner.shooter
        now, slopes = separation_samples(shooter, self.posterior, self.turn.setting)
        step = np.array(self.advice.move.rest)
        after = now + np.einsum("kij,j->ki", slopes, step)
        return tuning_figure(
            spots,
            now,
            after if step.any() else None,
            system=units,
            tolerance=self.advice.tolerance,
            title=f"{self.question.setup.bow.name}: bare shaft against the fletched group",
        )


def _interval(values: Any) -> dict[str, Any]:
    """Mean and 95 % interval (low, high), each (right, up), in inches."""
    mean, low, high = values
    inches = Column("v", SMALL)
    found = record((inches,), {"v": [mean, low, high]})["v_in"]
    return {"mean": found[0], "interval_95": found[1:]}


def _posterior_json(posterior: "Posterior") -> dict[str, Any]:
    import numpy as np

    from vireton.tuning.prior import NAMES

    samples = posterior.samples(4000)
    low, high = np.percentile(samples, [2.5, 97.5], axis=0)
    unknowns = {
        name: {
            "mean": number(samples[:, k].mean()),
            "interval_95": [number(low[k]), number(high[k])],
        }
        for k, name in enumerate(NAMES)
    }
    return {
        "units": "SI: rad/s, rad, per m of rest",
        "unknowns": unknowns,
        "probability_rest_right_turns_nose_right": number(posterior.probability_right),
        "lobe_weights": [number(one.weight) for one in posterior.components],
    }


tune = function_of(Tune, Tuned)
