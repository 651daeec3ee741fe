"""What is left at each distance, what the last round did, and what more arrows would be worth."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from vireton.bow.setting import BowSetting
from vireton.kernel.arrays import FloatArray
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.advice import NextShots, after_shots
from vireton.tuning.belief import mean_and_ends
from vireton.tuning.changes import Change
from vireton.tuning.evidence import rest_of
from vireton.tuning.loop import Tuner, Turn
from vireton.tuning.moves import moves_within
from vireton.tuning.rounds import Round
from vireton.tuning.segments import segments_of, that_count
from vireton.tuning.stories import off_by
from vireton.units.numbers import INCH

Ends = tuple[FloatArray, ...]

_STILL = np.zeros(1, complex)
#: m: less is no change that anybody could tell.
_NOTHING = 0.05 * INCH
#: Better or worse is said from this probability on (our choice).
_TELLING = 0.7


@dataclass(frozen=True)
class Left:
    """What is left at ``distance`` m if nothing more is done: means and 95 % intervals, (2,) m.

    ``separation``: bare minus fletched. ``fletched``: the fletched arrow off the aim point for its
    launch errors, the sight set anew at 20 yd.
    """

    distance: float
    separation: Ends
    fletched: Ends


def what_is_left(turn: Turn, distances: Sequence[float]) -> list[Left]:
    """Bare and fletched arrows at each distance with the rest where it stands."""
    belief = turn.belief
    near = belief.turned("fletched", "target", TALKING_DISTANCE, _STILL)[:, 0]
    found = []
    for distance in distances:
        there = belief.turned("fletched", "target", distance, _STILL)[:, 0]
        anew = there - near * (distance / TALKING_DISTANCE)
        found.append(
            Left(distance, mean_and_ends(belief.separation(distance)), mean_and_ends(anew))
        )
    return found


@dataclass(frozen=True)
class Happened:
    """What the last change did, by all that was seen since.

    ``round``: the one it began; ``move`` of rest and nocking point, ``changes`` beside it.
    ``before``, ``after`` m: what was and is left at 20 yd, medians. ``better``, ``worse``:
    probabilities, a twentieth of an inch apart at least. ``expected``: whether what is left lies in
    the middle 90 % of what was expected; None where nothing was.
    """

    round: int
    move: BowSetting
    before: float
    after: float
    better: float
    worse: float
    expected: bool | None
    changes: tuple[Change, ...] = ()

    @property
    def verdict(self) -> str:
        """``better``, ``worse`` or ``no telling``."""
        if self.better >= _TELLING:
            return "better"
        return "worse" if self.worse >= _TELLING else "no telling"


def what_happened(tuner: Tuner, rounds: Sequence[Round], turn: Turn) -> Happened | None:
    """What the last change did; None before one, or where nothing was measured since."""
    last = [
        k
        for k in range(1, len(rounds))
        if rounds[k].setting != rounds[k - 1].setting or _bears_on_launch(rounds[k])
    ]
    if not last or not any(one.measures for one in rounds[last[-1] :]):
        return None
    at, belief = last[-1], turn.belief
    if len(segments_of(rounds[: at + 1])) > len(segments_of(rounds[:at])):
        return _changed(tuner, rounds, at, turn)
    number = rounds[at].number
    # as it was put right, where it was looked into
    logged = rest_of(rounds[at].setting) - rest_of(rounds[at - 1].setting)
    move = turn.seen.moves.get(number, logged)
    really = np.array(
        [move + (off_by(s, {number: move}) if s.round == number else 0j) for s in belief.stories]
    )
    before = np.abs(belief.left(tuner.aim, -really[:, None], TALKING_DISTANCE)[:, 0])
    after = np.abs(belief.left(tuner.aim, _STILL, TALKING_DISTANCE)[:, 0])
    return Happened(
        number,
        rounds[at - 1].setting.move_to(rounds[at].setting),
        float(np.median(before)),
        float(np.median(after)),
        float(np.mean(after < before - _NOTHING)),
        float(np.mean(after > before + _NOTHING)),
        _as_expected(tuner, rounds[:at], logged, float(np.median(after))),
    )


def _bears_on_launch(one: Round) -> bool:
    return any(change.what != "sight" for change in one.changes)


def _changed(tuner: Tuner, rounds: Sequence[Round], at: int, turn: Turn) -> Happened | None:
    """What a change beside rest and nocking point did: what was left before against now."""
    if not any(one.measures for one in that_count(rounds[:at])):
        return None
    earlier = tuner.turn(rounds[:at])
    unseen = tuner.turn([*rounds[:at], replace(rounds[at], observations=())])
    before, then, now = (
        np.abs(one.belief.left(tuner.aim, _STILL, TALKING_DISTANCE)[:, 0])
        for one in (earlier, unseen, turn)
    )
    low, high = np.percentile(then, [5.0, 95.0])
    after = float(np.median(now))
    random = np.random.default_rng(1)
    pairs = random.choice(before, 2000), random.choice(now, 2000)
    return Happened(
        rounds[at].number,
        rounds[at - 1].setting.move_to(rounds[at].setting),
        float(np.median(before)),
        after,
        float(np.mean(pairs[1] < pairs[0] - _NOTHING)),
        float(np.mean(pairs[1] > pairs[0] + _NOTHING)),
        bool(low <= after <= high),
        rounds[at].changes,
    )


def _as_expected(tuner: Tuner, rounds: Sequence[Round], move: complex, left: float) -> bool | None:
    if not any(one.measures for one in rounds):
        return None
    earlier = tuner.turn(rounds).belief
    then = np.abs(earlier.left(tuner.aim, np.array([move]), TALKING_DISTANCE)[:, 0])
    low, high = np.percentile(then, [5.0, 95.0])
    return bool(low <= left <= high)


@dataclass(frozen=True)
class Worth:
    """What ``test`` is expected to do: to the probability of ending inside the tolerance.

    ``inside`` now, with the best that can be done without it; ``then`` with it.
    """

    test: NextShots
    inside: float
    then: float


def worth(tuner: Tuner, turn: Turn, tests: Sequence[NextShots]) -> list[Worth]:
    """Tests, and what each would make of the probability to be inside, best first."""
    belief, advice = turn.belief, turn.advice
    moves = moves_within(tuner.step, tuner.step, 0j, 1.0)
    left = belief.left(tuner.aim, moves.by, TALKING_DISTANCE)
    outside = (np.abs(left) > tuner.tolerance).astype(float)
    still = float(outside[:, 0].mean())
    spread = turn.spread.at(TALKING_DISTANCE) * turn.scatter
    found = [
        Worth(
            test,
            1.0 - still,
            1.0 - min(still, after_shots(belief, test, 0j, outside, spread)),
        )
        for test in dict.fromkeys((*tests, *([advice.film] if advice.film else []), advice.test))
    ]
    return sorted(found, key=lambda one: -one.then)
