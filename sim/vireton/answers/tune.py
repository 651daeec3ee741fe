"""``tune``: what a log says of the bow, and what to do next."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

from vireton.answers import tune_words
from vireton.answers.answer import Answer
from vireton.answers.filmed import unread_words
from vireton.answers.kinds import DISTANCE, Flag, One, Several
from vireton.answers.logged import LOG, OneLog
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.table import Column, Grid, Lines, Part, grid, json_row
from vireton.units.display import FAR, SMALL, Display
from vireton.units.kinds import Choice
from vireton.units.numbers import number
from vireton.units.quantity import Quantity

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.bow.setting import BowSetting
    from vireton.job import TuningLog
    from vireton.kernel.arrays import FloatArray
    from vireton.plots.tuning import RestPath, SeparationSpot
    from vireton.tuning.advice import Advice
    from vireton.tuning.loop import Tuner, Turn
    from vireton.tuning.outlook import Happened, Left, Worth
    from vireton.tuning.posterior import Posterior
    from vireton.units.text import UnitSystem

#: How near is near enough, at 20 yd.
TOLERANCE = (
    One(Quantity("length", "0.05 in", "6 in", "0.75 in")),
    "1/2 in",
    "Near enough, at 20 yd.",
)
AIM = (
    Choice(("clean", "together")),
    "clean",
    "What you want: a clean launch, or bare and fletched together at 20 yd.",
)


@dataclass(frozen=True)
class Tune(OneLog):
    """Say what to do next with this bow, and how likely it is to help.

    Every arrow counts, the first bare tear too. The answer is a rest move on both axes, one more
    tear or pair of arrows, a look at what may be wrong, or to stop.

    >>> import vireton
    >>> tuned = vireton.tune("examples/mill_log.toml", distances="40,60 yd")
    >>> tuned.advice.verdict in {"move", "stop", "shoot", "look"}
    True
    >>> [round(row["distance_yd"]) for row in tuned.rows()]
    [40, 60]
    """

    command = function = "tune"
    example = "vireton tune examples/mill_log.toml"

    log: "TuningLog" = asked(*LOG)
    aim: Literal["clean", "together"] = asked(*AIM)
    paper: bool = asked(Flag(), False, "Only paper: nothing is shot at a target.")
    tolerance: float = asked(*TOLERANCE, flag="LENGTH")
    distances: tuple[float, ...] = asked(
        Several(One(DISTANCE, bare=False)),
        "40,60,100 yd",
        "Where to say what is left.",
        flag="LIST",
    )
    why: bool = asked(Flag(), False, "Show what the answer rests on.")

    @cached_property
    def tuner(self) -> "Tuner":
        """The bow, its prior, what is wanted and what things cost."""
        from vireton.answers.tuners import tuner_of
        from vireton.tuning.loop import Tuner
        from vireton.tuning.segments import segments_of, that_count

        pieces = segments_of(that_count(self.log.rounds.counting))
        versions = list(dict.fromkeys(one.version for one in pieces)) or [self.log.version]
        setups = [self.setup_of(number) for number in versions]

        def make() -> Tuner:
            return Tuner.of(
                self.rig_of(versions[0]),
                self.setup.uncertainty,
                self.setup.rest_step,
                {number: self.rig_of(number) for number in versions[1:]},
            )

        tuner = tuner_of((*versions, *map(repr, setups), repr(self.setup)), make)
        costs = self.setup.costs.near(self.tolerance)
        return replace(
            tuner, tolerance=self.tolerance, aim=self.aim, costs=costs, paper_only=self.paper
        )

    def answer(self, progress: Progress = in_silence) -> "Tuned":
        """Work the log out."""
        return Tuned(self, self.tuner.turn(self.log.rounds.counting, self.log.setting))


def tune_log(log: "TuningLog", tolerance: float | None = None) -> "Tuned":
    """The answer for a log that is read already; ``tolerance`` m at 20 yd."""
    return Tune.read({"log": log, "tolerance": tolerance}).answer()


_SIDES = ("right", "up")
#: As the JSON says it.
_VERDICTS = {"shoot": "shoot_more"}


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
        Column("advice", words="move, stop, shoot_more, look, cure or measure"),
        Column("measurement", words="the key of what to measure, where that is the advice"),
        Column("move_right", SMALL),
        Column("move_up", SMALL),
        Column("move_nock", SMALL, words="of the nocking point, up"),
        Column("probability_better", words="that the move leaves less than there is now"),
        Column("shots_needed", words="arrows of the next test, all together"),
        Column("test", words="what to shoot next, or after the move"),
        Column("is_test", words="whether it moves a side whose answer this bow has not shown"),
        Column("aim", words="clean launch, or bare and fletched together"),
        Column("rest_now", SMALL, words="right and up of where it was at the start"),
        Column("probability_inside_tolerance"),
        Column("tolerance", SMALL),
        Column("misfit", words="how many times worse than it should all fits, at least 1"),
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
        """What is known of the bow, see :class:`~vireton.tuning.posterior.Posterior`."""
        return self.turn.posterior

    @property
    def is_open(self) -> bool:
        """Whether the move goes sideways, and this bow has not shown which way it answers."""
        right = self.posterior.probability_right
        return bool(self.advice.move.rest_right) and 0.1 < right < 0.9

    @property
    def inside(self) -> float:
        """Probability that what is left is less than the tolerance."""
        return self.turn.within(self.question.tolerance)

    @cached_property
    def left(self) -> "list[Left]":
        """Bare and fletched arrows at each distance if nothing more is done."""
        from vireton.tuning.outlook import what_is_left

        return what_is_left(self.turn, self.question.distances)

    @cached_property
    def happened(self) -> "Happened | None":
        """What the last move did."""
        from vireton.tuning.outlook import what_happened

        return what_happened(self.question.tuner, self.question.log.rounds.counting, self.turn)

    def next_tests(self) -> "list[Worth]":
        """What more arrows would be worth, best first."""
        from vireton.tuning.advice import NEXT_SHOTS
        from vireton.tuning.outlook import worth

        return worth(self.question.tuner, self.turn, NEXT_SHOTS)

    @property
    def verdict(self) -> str:
        """``"move"``, ``"stop"``, ``"shoot_more"``, ``"look"``, ``"cure"`` or ``"measure"``."""
        return _VERDICTS.get(self.advice.verdict, self.advice.verdict)

    def facts(self) -> dict[str, Any]:
        """The advice and what it rests on."""
        from vireton.studies.rest_moves import TALKING_DISTANCE

        advice, turn = self.advice, self.turn
        return {
            "advice": self.verdict,
            "measurement": advice.bench.key if advice.bench else None,
            "move_right": advice.move.rest_right,
            "move_up": advice.move.rest_up,
            "move_nock": advice.move.nock_height,
            "probability_better": advice.helps,
            "shots_needed": advice.test.arrows,
            "test": tune_words.test_words(advice.test),
            "is_test": self.is_open,
            "aim": advice.aim,
            "rest_now": self.question.log.setting.rest,
            "probability_inside_tolerance": self.inside,
            "tolerance": self.question.tolerance,
            "misfit": turn.misfit,
            "shot_sd_20yd": turn.spread.at(TALKING_DISTANCE) * turn.scatter,
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
            **json_row(self.head, self.facts()),
            "separation_now_in": _interval(self.turn.separation()),
            "predicted_separation_in": _interval(self.turn.separation(self.advice.move)),
            "posterior": _posterior_json(self.turn),
        }

    def body(self) -> dict[str, Any]:
        """What is known, what is left, what would tell more, and what may have gone wrong."""
        return {
            **self.advice_json(),
            "left": [
                {
                    **json_row(self.columns[:1], {"distance": one.distance}),
                    "separation_in": _interval(one.separation),
                    "fletched_in": _interval(one.fletched),
                }
                for one in self.left
            ],
            "next_tests": [
                {"test": tune_words.test_words(one.test), "gain": round(one.then - one.inside, 4)}
                for one in self.next_tests()
            ],
            "causes": [
                {"cause": name, "probability": round(probability, 4), "test": look}
                for name, probability, look in tune_words.causes(self)
            ],
        }

    def page(self, display: Display) -> list[Part]:
        """The advice first; what it rests on where that is asked for."""
        from vireton.bow.cautions import SHOOTING_BARE

        parts: list[Part] = [
            Lines((*tune_words.advice_words(self, display), *self.question.setup.odd)),
            Lines(()),
            Lines(
                tuple(
                    one
                    for one in (
                        tune_words.standing_words(self, display),
                        self.question.edited,
                        *unread_words(self),
                    )
                    if one
                )
            ),
        ]
        if self.question.why:
            parts += [
                Lines(tuple(tune_words.doubt_words(self, display))),
                tune_words.known_grid(self),
                self._left_grid(display),
            ]
        return [*parts, Lines((SHOOTING_BARE,))] if self.question.log.is_new else parts

    def _left_grid(self, display: Display) -> Grid:
        """What is left at each distance, a row an arrow: narrow enough for any terminal."""
        kinds = (("separation", "bare − fletched"), ("fletched", "fletched"))
        unit = display.unit(SMALL)[0]
        columns = [
            self.columns[0],
            Column("arrow", title=""),
            *(Column(one, SMALL, f"{one},", band="interval_95") for one in _SIDES),
        ]
        rows = [
            {"distance": row["distance"], "arrow": name}
            | {one: row[f"{kind}_{one}"] for one in _SIDES}
            for row in self.values()
            for kind, name in kinds
        ]
        return grid(f"if you stop here, {unit}", columns, rows, display)

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """The path of the rest, and the bare shaft against the fletched group: was, is, will be."""
        from vireton.plots.tuning import tuning_figure
        from vireton.units.display import display
        from vireton.units.text import capital

        call, why = tune_words.verdict_words(self, display(units))
        return tuning_figure(
            self._path(call),
            self._spots(),
            self.turn.draws(),
            self.turn.draws(self.advice.move) if self.advice.verdict == "move" else None,
            system=units,
            tolerance=self.question.tolerance,
            aim=self.turn.aimed(),
            title=f"{self.question.setup.bow.name}: {call}",
            why=f"{capital(why)}.",
        )

    def _path(self, call: str) -> "RestPath":
        """Where the rest stood in each round, and where it should go."""
        import numpy as np

        from vireton.plots.tuning import RestPath, RestStand
        from vireton.tuning.best import best_moves
        from vireton.tuning.evidence import rest_of

        def place(setting: "BowSetting") -> "FloatArray":
            at = rest_of(setting)
            return np.array([at.real, at.imag])

        now = place(self.turn.setting)
        moves = self.advice.verdict == "move"
        return RestPath(
            [RestStand(str(r.number), place(r.setting)) for r in self.question.log.rounds.counting],
            now,
            now + place(self.advice.move) if moves else None,
            f"next: {call[:1].lower()}{call[1:]}",
            now + best_moves(self.turn.belief, self.advice.aim),
        )

    def _spots(self) -> "list[SeparationSpot]":
        """Each round that shot both at one distance."""
        import numpy as np

        from vireton.plots.tuning import SeparationSpot
        from vireton.tuning.observations import Group

        spots = []
        for one in self.question.log.rounds.counting:
            groups = {g.arrow: g for g in one.seen(Group) if g.arrow != "broadhead"}
            if len(groups) == 2 and groups["bare"].distance == groups["fletched"].distance:
                apart = np.subtract(groups["bare"].center, groups["fletched"].center)
                error = self.turn.spread.at(groups["bare"].distance) * np.sqrt(
                    1.0 / groups["bare"].count + 1.0 / groups["fletched"].count
                )
                spots.append(SeparationSpot(f"round {one.number}", apart, float(error)))
        return spots


def _interval(values: Any) -> dict[str, Any]:
    """Mean and 95 % interval (low, high), each (right, up), in inches."""
    mean, low, high = values
    inches = Column("v", SMALL)
    found = json_row((inches,), {"v": [mean, low, high]})["v_in"]
    return {"mean": found[0], "interval_95": found[1:]}


def _posterior_json(turn: "Turn") -> dict[str, Any]:
    import numpy as np

    from vireton.tuning.unknowns import NAMES

    drawn = turn.belief.theta
    low, high = np.percentile(drawn, [2.5, 97.5], axis=0)
    unknowns = {
        name: {
            "mean": number(drawn[:, k].mean()),
            "interval_95": [number(low[k]), number(high[k])],
        }
        for k, name in enumerate(NAMES)
    }
    return {
        "units": "SI: rad/s, rad, m, per m of rest",
        "unknowns": unknowns,
        "probability_rest_right_turns_nose_right": number(turn.posterior.probability_right),
        "models": {name: number(share) for name, share in turn.posterior.models().items()},
    }


tune = function_of(Tune, Tuned)
