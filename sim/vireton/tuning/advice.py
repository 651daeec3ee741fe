"""From what is believed to what to do next: a decision under cost.

Every action is weighed by what it leaves and what it costs, in arrows: to stop; to move and stop;
to shoot or tear once more, look, and then move or stop as the result says; to move first and then
shoot. Results are drawn from the belief itself (preposterior analysis: Raiffa and Schlaifer 1961,
*Applied Statistical Decision Theory*, from memory), one look ahead.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt

from vireton.bow.setting import BowSetting
from vireton.kernel.arrays import ComplexArray, FloatArray
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.belief import Aim, Belief
from vireton.tuning.benchwork import Benchwork, told_by
from vireton.tuning.costs import Costs
from vireton.tuning.moves import TRAVEL, Moves, moves_within
from vireton.tuning.observations.group import CENTER_ERROR
from vireton.tuning.observations.tear import TEAR_ERROR
from vireton.tuning.stories import Story
from vireton.units.numbers import FOOT, INCH

#: m: done when bare and fletched are within half an inch at 20 yd (common practice, no source).
TOLERANCE = 0.5 * INCH
#: m of rest that one advice may move on an axis.
_FARTHEST = 0.125 * INCH
PAPER = 6.0 * FOOT
#: m from the grip of the middle of a film; rad/s of one film's rate, set to 1.5 pixels at 240
#: frames a second over 9 ft (validation/film.md), the scatter of shots in it.
FILMED_AT, FILM_ERROR = 1.2, 0.28
#: How likely a story must be to be asked about: a look costs little (our choice).
ASKED, CONTACT_ASKED = 0.4, 0.45
#: A move must be this likely to help (our choice).
_LIKELY = 0.45
#: m: less than this is no change.
_NOTHING = 0.01 * INCH
_FOURS = 16
_FIRST_MOVES = 6


@dataclass(frozen=True)
class NextShots:
    """Arrows to shoot next: ``kind`` pair (bare and fletched at a target), tear or film (bare).

    ``error`` rad/s of one film's rate.
    """

    kind: Literal["pair", "tear", "film above", "film beside"]
    count: int
    distance: float
    error: float = 0.0

    @property
    def is_film(self) -> bool:
        """Whether a phone sees it."""
        return self.kind.startswith("film")

    @property
    def arrows(self) -> int:
        """How many arrows that is."""
        return self.count * (2 if self.kind == "pair" else 1)

    def cost(self, costs: Costs) -> float:
        """In arrows."""
        each = {"pair": 2.0 * costs.arrow, "tear": costs.tear}.get(self.kind, costs.film)
        return self.count * each


#: Tests that are thought of.
NEXT_SHOTS = (
    NextShots("tear", 1, PAPER),
    NextShots("tear", 2, PAPER),
    NextShots("pair", 1, TALKING_DISTANCE),
    NextShots("pair", 2, TALKING_DISTANCE),
    NextShots("pair", 4, TALKING_DISTANCE),
)

Verdict = Literal["move", "stop", "shoot", "look", "cure", "measure"]


@dataclass(frozen=True)
class Advice:
    """What to do next. m, the archer's signs; ``move`` counted from how the bow is set now.

    ``helps``: probability that the move leaves less than there is now. ``test``: what to shoot, for
    ``shoot``; for others, what would tell most. ``bench``: what to measure, for ``measure``.
    ``story``, with its ``story_probability``: what to look into, for ``look``. ``now`` (k,)
    complex: draws of what is left. ``film``: what a phone would see, where there is one.
    """

    verdict: Verdict
    move: BowSetting
    helps: float
    test: NextShots
    story: Story | None
    story_probability: float
    aim: Aim
    now: ComplexArray = field(repr=False)
    film: NextShots | None = None
    bench: Benchwork | None = None


def loss_of(costs: Costs, left: ComplexArray) -> FloatArray:
    """What is left at 20 yd, m, in arrows."""
    inches = np.minimum(np.abs(left) / INCH, costs.most_inches)
    return np.asarray(costs.inch_left * inches**2)


def advise(
    belief: Belief,
    *,
    step: float,
    stands: complex,
    spread: float,
    aim: Aim = "clean",
    costs: Costs | None = None,
    paper_only: bool = False,
    anything_seen: bool = True,
    story: tuple[Story, float] | None = None,
    travel: float = TRAVEL,
    tests: tuple[NextShots, ...] = NEXT_SHOTS,
    film_error: float = FILM_ERROR,
    bench: Sequence[Benchwork] = (),
) -> Advice:
    """What to do next.

    Args:
        belief: draws from the posterior.
        step: m, smallest move of this rest.
        stands: right + i·up, m, where the rest stands from the start of the log.
        spread: m, standard deviation of one arrow on one axis at 20 yd.
        aim: what is wanted.
        costs: in arrows.
        paper_only: whether nothing is to be shot at a target.
        anything_seen: whether the bow was shot at all.
        story: the likeliest thing that went wrong, and its probability.
        travel: m either way that the rest has.
        tests: that may be shot.
        film_error: rad/s of one film's rate, for who has a phone on a stand.
        bench: what may be measured instead.
    """
    costs = costs or Costs()
    moves = moves_within(step, _FARTHEST, stands, travel)
    left = belief.left(aim, moves.by, TALKING_DISTANCE)
    size = np.abs(left)
    helps = (size < size[:, :1] - _NOTHING).mean(axis=0)
    # nothing is moved before anything was seen, nor what is likelier to do harm
    may = np.flatnonzero(helps >= _LIKELY) if anything_seen else np.zeros(0, int)
    usual = [test for test in tests if not (paper_only and test.kind == "pair")]
    film = _film(left[:, 0], film_error) if costs.phone_on_stand else None
    usual += [] if film is None else [film]
    loss = loss_of(costs, left)
    plans = _plans(belief, moves, may, loss, usual, spread, costs)
    if anything_seen:
        plans += _measured_first(belief, moves, plans, loss, bench, spread, costs)
    best = min(plans, key=lambda one: one.cost)
    telling = min((one for one in plans if one.test), key=lambda one: one.cost).test
    assert telling is not None
    verdict: Verdict = "move" if best.move else "shoot" if best.test else "stop"
    if best.bench is not None:
        verdict = "measure"
    if story is not None and _worth_a_look(*story):
        verdict = "look"
    which = best.move if verdict == "move" else 0
    return Advice(
        verdict,
        moves.setting(which),
        float(helps[which]),
        best.test if best.test and verdict == "shoot" else telling,
        story[0] if story else None,
        story[1] if story else 0.0,
        aim,
        left[:, 0],
        film,
        best.bench if verdict == "measure" else None,
    )


def _film(left: ComplexArray, error: float) -> NextShots:
    """Two arrows filmed from where the less is known; ``left`` (k,) draws of what is left, m."""
    above = float(np.std(left.real)) >= float(np.std(left.imag))
    return NextShots("film above" if above else "film beside", 2, FILMED_AT, error)


class _Plan(NamedTuple):
    """A move (0: none), what is shot then (None: nothing), and what all of it costs, in arrows.

    ``bench``: what is measured before all that.
    """

    cost: float
    move: int
    test: NextShots | None
    bench: Benchwork | None = None


def _plans(
    belief: Belief,
    moves: Moves,
    may: npt.NDArray[np.int64],
    loss: FloatArray,
    tests: Sequence[NextShots],
    spread: float,
    costs: Costs,
) -> list[_Plan]:
    """To stop first; then the best of the moves that may be made, and tests here and after them."""
    extra = moves.costs(costs)
    each = loss.mean(axis=0) + extra
    first = [0, *may[np.argsort(each[may])][:_FIRST_MOVES].tolist()]
    plans = [_Plan(float(each[k]), k, None) for k in first]
    for k in first:
        again = _again(extra, k)
        for test in tests:
            value = after_shots(belief, test, moves.by[k], loss, spread, again=again)
            plans.append(_Plan(float(extra[k]) + test.cost(costs) + value, k, test))
    return plans


def _measured_first(
    belief: Belief,
    moves: Moves,
    plans: Sequence[_Plan],
    loss: FloatArray,
    bench: Sequence[Benchwork],
    spread: float,
    costs: Costs,
) -> list[_Plan]:
    """To measure at the bench, and then to do the best of the plans with it in mind.

    That the first move may turn out another one is not counted: what it is worth is at least this.
    """
    best = min((one for one in plans if one.test), key=lambda one: one.cost)
    assert best.test is not None
    extra = moves.costs(costs)
    done = float(extra[best.move]) + best.test.cost(costs)
    again, first = _again(extra, best.move), moves.by[best.move]
    return [
        best._replace(
            cost=one.cost(costs)
            + done
            + after_shots(belief, best.test, first, loss, spread, again, one),
            bench=one,
        )
        for one in bench
    ]


def _worth_a_look(story: Story, probability: float) -> bool:
    """Whether a look is due; what changed by itself is nothing that a look could settle."""
    if story.kind == "changed":
        return False
    return probability >= (CONTACT_ASKED if story.kind == "contact" else ASKED)


def _again(costs: FloatArray, first: int) -> FloatArray:
    """What a second move costs after the first one: nothing to stay there, as much to go back."""
    again = costs.copy()
    again[0], again[first] = costs[first], 0.0
    return again


def after_shots(
    belief: Belief,
    test: NextShots,
    first: complex,
    loss: FloatArray,
    spread: float,
    again: FloatArray | float = 0.0,
    bench: Benchwork | None = None,
) -> float:
    """Expected loss of the best that can be done once the test was shot after a first move.

    Args:
        belief: k draws.
        test: what is shot.
        first: the move that comes before it, m of rest.
        loss: (k, m) of each draw after each of the moves that may come after it.
        spread: m, standard deviation of one arrow on one axis at 20 yd.
        again: (m,) what each of those costs.
        bench: what was measured before.
    """
    there = np.array([first])
    if test.kind == "pair":
        mean = belief.separation(test.distance, there)[:, 0]
        variance = 2.0 * ((spread * test.distance / TALKING_DISTANCE) ** 2 + CENTER_ERROR**2)
    elif test.is_film:
        # one axis: the other is nothing in every draw, and its chance tells none from another
        rate = belief.film_rate("bare", test.distance, there)[:, 0]
        seen = (1.0, 0.0) if test.kind == "film above" else (0.0, 1.0)
        mean = np.asarray(seen[0] * rate.real + 1j * seen[1] * rate.imag, dtype=complex)
        variance = test.error**2
    else:
        mean = belief.tear("bare", test.distance, there)[:, 0]
        variance = TEAR_ERROR**2
    variance /= test.count
    # draws come in fours, mirrored and turned round, and so do the results that are drawn
    picked = ((np.arange(_FOURS) + 0.5) * (len(mean) // 4) / _FOURS).astype(int)
    which = (4 * picked[:, None] + np.arange(4)).ravel()
    chance = np.random.default_rng(7).standard_normal((_FOURS, 2)) @ np.array([1.0, 1j])
    fours = np.stack([chance, -np.conj(chance), -chance, np.conj(chance)], axis=1).ravel()
    outcome = mean[which] + np.sqrt(variance) * fours
    log = -0.5 * np.abs(outcome[:, None] - mean[None, :]) ** 2 / variance
    # its own draw would find itself: it is left out
    log[np.arange(len(which)), which] = -np.inf
    if bench is not None:
        log += told_by(bench, belief, which)
    weights = np.exp(log - log.max(axis=1, keepdims=True))
    weights /= weights.sum(axis=1, keepdims=True)
    blind = loss.mean(axis=0) + again
    best = int(np.argmin(blind))
    then = weights @ loss + again
    # what knowing saves against the best blind move: it costs nothing to know
    return float(blind[best] + (then.min(axis=1) - then[:, best]).mean())
