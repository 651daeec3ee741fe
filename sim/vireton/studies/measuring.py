"""What a measurement at the bench would buy: how far it narrows what a rest move is known to do.

Each plausible bow that is drawn may be the one on the bench. For some of them, spread evenly over
what is to be measured, the reading is made up with its error, the ranges are narrowed by it as a
real one narrows them, and all draws are launched and flown anew, each at the same place of the
narrower ranges. What is told is by how much the draws' spread shrinks: their mean variance, which
few draws know better than the ends of a band.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from vireton.bow.bow import Sight
from vireton.flight.flight import Wind
from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig, assemble_rig, vary
from vireton.studies.experience import weigh
from vireton.studies.rest_moves import TALKING_DISTANCE, answer_rest_moves
from vireton.uncertain import DEFAULT_DRAWS, DEFAULT_SEED, Banded
from vireton.uncertain.draws import range_at, share_of
from vireton.uncertain.inputs import changed
from vireton.uncertain.measurements import MEASUREMENTS, Measurement
from vireton.uncertain.narrowing import Narrowed, Observed, with_observed
from vireton.uncertain.row import Pieces, Range
from vireton.uncertain.weights import Classes, by_classes
from vireton.units.numbers import INCH

#: m of rest right and up that the answer is for.
MOVE = INCH / 16.0
#: Draws that are narrowed, at most, and bows among them that readings are made up for.
DRAWS, READINGS = 32, 4

#: How far a long calculation is: the things and what is done.
Progress = Callable[[Sequence[Any], str], Iterable[Any]]


@dataclass(frozen=True)
class Buys:
    """What measurements, by their ``keys``, are expected to leave.

    ``left`` (2,), right and up: the band's width, of what it is now; 1 where they tell nothing, and
    by chance a little more. ``minutes`` of work.
    """

    keys: tuple[str, ...]
    left: FloatArray
    minutes: float


@dataclass(frozen=True)
class Worth:
    """What is known now, and what measuring would leave of it.

    ``now`` (2,) m: what a 1/16 in of rest right, and up, adds to bare minus fletched at 20 yd.
    ``alone``: each measurement by itself, the most telling first; ``together``: the first so many
    of them. ``draws``: plausible bows behind ``now``. ``deciders``: which inputs make the band
    sideways, shares of its variance, largest first.
    """

    now: Banded
    alone: tuple[Buys, ...]
    together: tuple[Buys, ...]
    draws: int
    deciders: Mapping[str, float]

    def width(self, after: Buys | None = None) -> FloatArray:
        """(2,) m of the bands now, or as expected after these measurements."""
        left = np.ones(2) if after is None else np.minimum(after.left, 1.0)
        return np.asarray((self.now.high - self.now.low) * left)


def worth_of_measuring(
    rig: Rig,
    ranges: Mapping[str, Range],
    measured: Sequence[str] = (),
    *,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    progress: Progress = lambda items, doing: items,
) -> Worth:
    """What each measurement that is not there yet would buy on this bow.

    Args:
        rig: the nominal one, with what was measured put in.
        ranges: plausible low and high by the keys of the uncertain inputs, SI.
        measured: keys of the measurements that are there.
        draws: plausible bows behind the bands as they are now, at least.
        seed: of the draws.
        progress: told of what is worked through.
    """
    right, up = answer_rest_moves(
        rig,
        [(MOVE, 0.0), (0.0, MOVE)],
        [TALKING_DISTANCE],
        ranges,
        paper=2.0,
        draws=draws,
        seed=seed,
    )
    changes = (right.separation_change[0, 0], up.separation_change[0, 1])
    now = Banded(
        *(np.array([getattr(one, end) for one in changes]) for end in ("nominal", "low", "high"))
    )
    bench = _Bench.of(rig, ranges, draws, seed)
    rows = [one for one in MEASUREMENTS if one.key not in measured and bench.tells(one)]
    sizes = now.high - now.low
    alone = [bench.buys((one,)) for one in progress(rows, "measuring")]
    alone.sort(key=lambda one: float(sizes @ np.minimum(one.left, 1.0)))
    best = [next(row for row in rows if row.key == one.keys[0]) for one in alone]
    counts = sorted({n for n in (2, 3, len(best)) if 2 <= n <= len(best)})
    together = [bench.buys(tuple(best[:n])) for n in progress(counts, "several together")]
    return Worth(now, tuple(alone), tuple(together), right.draws, right.deciders_right)


@dataclass(frozen=True)
class _Bench:
    """The bow's plausible draws: ``weights`` of them, and the ``spread`` of what they answer."""

    rig: Rig
    ranges: Mapping[str, Range]
    values: list[dict[str, float]]
    weights: FloatArray
    classes: Classes
    spread: FloatArray

    @staticmethod
    def of(rig: Rig, ranges: Mapping[str, Range], draws: int, seed: int) -> "_Bench":
        level = replace(
            rig, sight=Sight(None, 0.0), conditions=replace(rig.conditions, wind=Wind(), slope=0.0)
        )
        drawn = weigh(level, ranges, draws=draws, seed=seed)
        values, weights = drawn.values[: min(DRAWS, draws)], drawn.weights[: min(DRAWS, draws)]
        weights = weights / weights.sum()
        answers = np.array([_answer(vary(level, one)) for one in values])
        return _Bench(level, ranges, values, weights, drawn.classes, _variance(answers, weights))

    def tells(self, row: Measurement) -> bool:
        """Whether anything is open here that it could tell."""
        of_open = any(one.input in self.ranges for one in row.reads)
        return row.applies(self.rig.pieces) and (of_open or row.pinned is not None)

    def buys(self, rows: tuple[Measurement, ...]) -> Buys:
        """What these are expected to leave, over bows that may be the one on the bench."""
        left = []
        for chance, truth in enumerate(self._benches(rows)):
            random = np.random.default_rng([chance, *map(ord, rows[0].key)])
            left.append(self._left(self._measured(rows, truth, random)))
        return Buys(
            tuple(row.key for row in rows),
            np.sqrt(np.mean(left, axis=0) / self.spread),
            sum(row.minutes for row in rows),
        )

    def _benches(self, rows: tuple[Measurement, ...]) -> list[Pieces]:
        """Bows spread evenly over what the first of these reads, as likely as their draws."""
        keys = [one.input for one in rows[0].reads if one.input in self.ranges]
        order = np.arange(len(self.values))
        if keys:
            order = np.argsort([one[keys[0]] for one in self.values], kind="stable")
        reached = np.cumsum(self.weights[order])
        at = (np.arange(READINGS) + 0.5) / READINGS
        picked = order[np.minimum(np.searchsorted(reached, at), len(order) - 1)]
        return [changed(self.rig.pieces, self.values[k]) for k in picked]

    def _measured(
        self, rows: tuple[Measurement, ...], truth: Pieces, random: np.random.Generator
    ) -> Narrowed:
        seen, own = [], self.rig.pieces
        for row in rows:
            taken = row.planned(truth)
            for one in row.reads:
                if one.input in self.ranges:
                    shown = one.predicted(truth, taken)
                    off = one.error(shown, taken) * random.standard_normal()
                    seen.append(Observed(row, one, shown + off, taken))
            if row.pinned is not None:
                own = row.pinned(own, truth)
        return with_observed(own, self.ranges, seen)

    def _left(self, known: Narrowed) -> FloatArray:
        """(2,) the variance of the answer."""
        rig = assemble_rig(
            known.pieces.bow, known.pieces.parts, self.rig.conditions, self.rig.sight
        )
        answers = np.array([_answer(vary(rig, one)) for one in self._moved(known)])
        return _variance(answers, by_classes(answers * (-1.0, 1.0) > 0.0, self.classes))

    def _moved(self, known: Narrowed) -> list[dict[str, float]]:
        """Every draw at the same place of the narrower ranges."""
        keys = [key for key, pair in known.ranges.items() if pair != self.ranges[key]]
        return [
            one
            | {
                key: range_at(known.ranges[key], share_of(self.ranges[key], one[key]))
                for key in keys
            }
            for one in self.values
        ]


def _variance(answers: FloatArray, weights: FloatArray) -> FloatArray:
    return np.asarray(weights @ (answers - weights @ answers) ** 2)


def _answer(rig: Rig) -> FloatArray:
    """(2,) m: what a move of the rest right, and as much up, adds to bare minus fletched at 20 yd.

    Both at once: each plane answers to its own.
    """

    def there(right: float, up: float) -> FloatArray:
        bare, fletched = (
            rig.shoot(arrow, [TALKING_DISTANCE], right, up) for arrow in (rig.bare, rig.fletched)
        )
        return np.array([bare.right[0] - fletched.right[0], bare.up[0] - fletched.up[0]])

    return there(MOVE, MOVE) - there(0.0, 0.0)
