"""What a tuning log says, from Python."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from vireton.answers import asking
from vireton.answers.asking import Quantities, Quantity
from vireton.answers.readying import caution
from vireton.bow.cautions import cautions
from vireton.flight.flight import Conditions
from vireton.job import TuningLog, read_log
from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig, assemble_rig
from vireton.setup import Setup, load_setup
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.advice import Advice, separation_samples
from vireton.tuning.fit import Posterior
from vireton.tuning.loop import Tuner, Turn
from vireton.tuning.observations import Group
from vireton.tuning.outlook import Cause, Left, NextTest, causes, next_tests, what_is_left
from vireton.tuning.prior import NAMES
from vireton.units.numbers import INCH, YARD, number, pair

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.plots.scales import System

_LEFT_AT = "40,60,100 yd"


@dataclass(frozen=True, repr=False)
class Tuned:
    """A log's bow, its tuner and the answer ``turn``: its posterior, advice and shot scatter."""

    log: TuningLog
    setup: Setup
    tuner: Tuner
    turn: Turn

    def __repr__(self) -> str:
        count = len(self.log.rounds.counting)
        return f"<Tuned {self.setup.bow.name}, {count} rounds: {self.advice.verdict}>"

    @property
    def advice(self) -> Advice:
        """What to do next, see :class:`~vireton.tuning.advice.Advice`."""
        return self.turn.advice

    @property
    def posterior(self) -> Posterior:
        """What is known of the bow, see :class:`~vireton.tuning.fit.Posterior`."""
        return self.turn.posterior

    @property
    def cautions(self) -> tuple[str, ...]:
        """Warnings of an arrow too light for the bow, see :mod:`vireton.bow.cautions`."""
        rig = self.tuner.shooter.rig
        return cautions(rig.bow, *rig.arrows)

    def left(self, distances: Quantities = _LEFT_AT) -> list[Left]:
        """Bare and fletched arrows at each distance if nothing more is done."""
        return what_is_left(self.tuner, self.turn, asking.places(distances))

    def next_tests(self) -> list[NextTest]:
        """Tests by what they would tell, best first."""
        return next_tests(self.tuner, self.turn, self.tuner.step)

    def causes(self) -> list[Cause]:
        """Which kinds of launch error fit what was seen."""
        return causes(self.tuner, self.turn)

    def rows(self, distances: Quantities = _LEFT_AT) -> list[dict[str, Any]]:
        """A table of what is left, a row a distance: means and 95 % intervals; units in keys."""
        rows = []
        for one in self.left(distances):
            row: dict[str, Any] = {"distance_yd": number(one.distance / YARD)}
            for name, values in (("separation", one.separation), ("fletched", one.fletched)):
                for axis, side in enumerate(("right", "up")):
                    mean, low, high = (float(end[axis]) for end in values)
                    row[f"{name}_{side}_in"] = number(mean / INCH)
                    row[f"{name}_{side}_in_interval_95"] = pair((low, high), INCH)
            rows.append(row)
        return rows

    def to_dict(self, distances: Quantities = _LEFT_AT) -> dict[str, Any]:
        """The same as ``vireton tune --json``; ``distances`` is where to say what is left."""
        return {
            **advice_json(self),
            "left": [_left_json(one) for one in self.left(distances)],
            "next_tests": [
                {"test": one.name, "gain": round(one.gain, 4)} for one in self.next_tests()
            ],
            "causes": [
                {"cause": one.name, "probability": round(one.probability, 4), "test": one.test}
                for one in self.causes()
            ],
        }

    def figure(self, units: "System" = "us") -> "Figure":
        """Bare shaft against the fletched group: what was seen, where it is now, where it goes."""
        from vireton.plots.tuning import SeparationSpot, tuning_figure  # noqa: PLC0415

        spots = []
        for one in self.log.rounds.counting:
            groups = {g.arrow: g for g in one.seen(Group)}
            if len(groups) == 2 and groups["bare"].distance == groups["fletched"].distance:
                apart = np.subtract(groups["bare"].center, groups["fletched"].center)
                error = self.turn.spread.at(groups["bare"].distance) * np.sqrt(
                    1.0 / groups["bare"].count + 1.0 / groups["fletched"].count
                )
                spots.append(SeparationSpot(f"round {one.number}", apart, float(error)))
        now, slopes = separation_samples(self.tuner.shooter, self.posterior, self.turn.setting)
        step = np.array(self.advice.move.rest)
        after = now + np.einsum("kij,j->ki", slopes, step)
        return tuning_figure(
            spots,
            now,
            after if step.any() else None,
            system=units,
            tolerance=self.advice.tolerance,
            title=f"{self.setup.bow.name}: bare shaft against the fletched group",
        )


def rig_of(setup: Setup) -> Rig:
    """The bow of a setup file as logs are shot with it: level, in still air."""
    conditions = Conditions(setup.air, drag_coefficient=setup.drag_coefficient)
    return assemble_rig(setup.bow, setup.parts, conditions, setup.sight)


def tune_log(log: TuningLog, tolerance: float | None = None) -> Tuned:
    """Work the log out. The bow is the setup file that the log names. ``tolerance`` m at 20 yd."""
    setup = load_setup(log.setup_path)
    tuner = Tuner.of(rig_of(setup), setup.uncertainty, setup.rest_step)
    if tolerance is not None:
        tuner = replace(tuner, tolerance=tolerance)
    return Tuned(log, setup, tuner, tuner.turn(log.rounds.counting, log.setting))


def tune(log: TuningLog | str | Path, *, tolerance: Quantity = "1/2 in") -> Tuned:
    """Infer the launch errors from a tuning log and say what to do next.

    A move in whole rest steps with its probability of helping, or to stop, or that it cannot be
    told yet. Until the bow has shown which way it answers sideways, the move there is a test.

    Args:
        log: the file that ``vireton record`` writes, or what ``vireton.job.read_log`` read.
        tolerance: done inside this at 20 yd, 0.05 to 6 in; text, or m.

    Raises InputProblem for a log or a setup that cannot be used. Warns with a Caution of an arrow
    too light for the bow.

    >>> import vireton
    >>> tuned = vireton.tune("examples/mill_log.toml")
    >>> tuned.advice.verdict in {"move", "stop", "shoot_more"}
    True
    >>> [round(row["distance_yd"]) for row in tuned.rows("40,60 yd")]
    [40, 60]
    """
    close = asking.one(tolerance, "length", "tolerance", "0.05 in", "6 in", like="0.75 in")
    tuned = tune_log(log if isinstance(log, TuningLog) else read_log(log), close)
    caution(tuned.tuner.shooter.rig)
    return tuned


def advice_json(tuned: Tuned) -> dict[str, Any]:
    """The keys that others rely on, and more."""
    advice = tuned.turn.advice
    return {
        "schema": 1,
        "warnings": list(tuned.cautions),
        "advice": advice.verdict,
        "move_right_in": number(advice.move.rest_right / INCH),
        "move_up_in": number(advice.move.rest_up / INCH),
        "probability_better": number(advice.probability_better),
        "shots_needed": advice.shots_needed,
        "is_test": advice.is_test,
        "rest_now_in": pair(tuned.log.setting.rest, INCH),
        "separation_now_in": _interval_json(advice.now),
        "predicted_separation_in": _interval_json(advice.predicted),
        "probability_inside_tolerance": number(advice.probability_inside),
        "tolerance_in": number(advice.tolerance / INCH),
        "misfit": number(tuned.turn.error_inflation),
        "shot_sd_20yd_in": number(tuned.turn.spread.at(TALKING_DISTANCE) / INCH),
        "posterior": _posterior_json(tuned.turn.posterior),
    }


def _interval_json(values: tuple[FloatArray, ...]) -> dict[str, Any]:
    mean, low, high = values
    return {"mean": pair(mean, INCH), "interval_95": [pair(low, INCH), pair(high, INCH)]}


def _left_json(one: Left) -> dict[str, Any]:
    return {
        "distance_yd": number(one.distance / YARD),
        "separation_in": _interval_json(one.separation),
        "fletched_in": _interval_json(one.fletched),
    }


def _posterior_json(posterior: Posterior) -> dict[str, Any]:
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
