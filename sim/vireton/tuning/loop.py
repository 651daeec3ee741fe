"""One turn of the tuner's loop: rounds in, posterior and advice out."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from typing import Any, NamedTuple

import numpy as np

from vireton.bow.setting import AT_START, BowSetting
from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig
from vireton.studies.fitting import error_inflation
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.advice import FILM_ERROR, TOLERANCE, Advice, advise
from vireton.tuning.belief import Aim, Belief, drawn_from, mean_and_ends
from vireton.tuning.costs import Costs
from vireton.tuning.evidence import Evidence, gathered, rest_of
from vireton.tuning.flown import Flown
from vireton.tuning.observations import Found, Group, Looked
from vireton.tuning.posterior import Posterior, fit
from vireton.tuning.practice import with_practice
from vireton.tuning.prior import bow_prior, gains_of
from vireton.tuning.response import Shooter
from vireton.tuning.rounds import Round, all_seen
from vireton.tuning.segments import Segment, in_the_way, segments_of, that_count
from vireton.tuning.spread import UNKNOWN_SHOOTER, Spread, pooled_spread
from vireton.tuning.stories import Story, first_looked_into, put_right, stories
from vireton.tuning.transitions import after, carried
from vireton.tuning.unknowns import Component, Prior
from vireton.units.problems import InputProblem


@dataclass(frozen=True)
class Tuner:
    """A bow ready to be tuned: its prior and its arrows, worked out once.

    ``step`` m is the rest's smallest move, ``tolerance`` m what may be left at 20 yd. ``aim``: what
    is wanted; ``costs`` of what may be done, in arrows; ``paper_only``: nothing is to be shot at a
    target. ``later``: by the version of rounds, the arrows by other numbers of bow or arrow.
    """

    flown: Flown
    prior: Prior
    step: float
    tolerance: float = TOLERANCE
    aim: Aim = "clean"
    costs: Costs = field(default_factory=Costs)
    paper_only: bool = False
    later: Mapping[int, Flown] = field(default_factory=dict)

    @staticmethod
    def of(
        rig: Rig,
        ranges: Mapping[str, tuple[float, float]],
        step: float,
        later: Mapping[int, Rig] | None = None,
    ) -> "Tuner":
        """For this rig at the log's first setting; ``step`` m is the rest's smallest move.

        ``later``: by the version of rounds, the rig with other numbers of bow or arrow. Raises
        InputProblem for arrows without vanes: only against a fletched one a bare shaft tells.
        """
        if not all(one.fletched.is_fletched for one in (rig, *(later or {}).values())):
            raise InputProblem(
                "a bare shaft is read against a fletched arrow: give the arrow vanes, the table "
                "[arrow.vanes] of the setup file"
            )
        flown = Flown(Shooter.of(rig))
        prior = bow_prior(rig, ranges)
        follows = rig.experience.sideways
        return Tuner(
            flown,
            with_practice(prior, flown, 0.5 if follows is None else follows),
            step,
            later={number: Flown(Shooter.of(one)) for number, one in (later or {}).items()},
        )

    def flown_of(self, version: int) -> Flown:
        """The arrows of rounds of this version."""
        return self.later.get(version, self.flown)

    def turn(
        self,
        rounds: Sequence[Round],
        setting: BowSetting | None = None,
        denied: Collection[Story] = (),
    ) -> "Turn":
        """What the rounds say and what to do next.

        Args:
            rounds: those that count, in order.
            setting: how the bow is set now; without it as the last round has it.
            denied: what was looked into and was not so.
        """
        counting = that_count(rounds)
        groups = all_seen(counting, Group)
        spread = pooled_spread(groups, UNKNOWN_SHOOTER) if groups else UNKNOWN_SHOOTER
        if setting is None:
            setting = rounds[-1].setting if rounds else AT_START
        here = self._read(segments_of(counting), all_seen(rounds, Looked), denied, spread, setting)
        costs = self.costs
        if films := here.seen.film_errors:
            costs = replace(costs, phone_on_stand=True)  # somebody has one
        likely = [(s, p) for s, p in here.posterior.stories().items() if s.kind != "none"]
        scatter = sum(one.weight * one.scatter for one in here.posterior.readings)
        finding = in_the_way(rounds)
        advised = partial(
            _advised,
            finding,
            here.belief,
            step=self.step,
            stands=rest_of(setting),
            spread=scatter * spread.at(TALKING_DISTANCE),
            aim=self.aim,
            costs=costs,
            paper_only=self.paper_only,
            film_error=float(np.mean(films)) if films else FILM_ERROR,
            story=likely[0] if likely else None,
            anything_seen=any(one.measures for one in counting),
            bench=self.prior.bench,
        )
        return Turn(
            here.posterior,
            here.belief,
            advised,
            spread,
            scatter,
            setting,
            here.stands,
            here.off,
            here.seen,
            here.misfit,
            finding,
            here.segments,
        )

    def _read(
        self,
        segments: Sequence[Segment],
        looked: Sequence[Looked],
        denied: Collection[Story],
        spread: Spread,
        setting: BowSetting,
    ) -> "_Here":
        """All that is known at the end of the last segment."""
        told = {*denied, *(_story(one) for one in looked)}
        found = [_story(one) for one in looked if one.found]
        pieces = list(segments) or [Segment((), None)]
        before: dict[int, _Left] = {}  # by number of the round after it
        prior, start, whole_off = self.prior, None, 0j
        for k, piece in enumerate(pieces):
            last = k == len(pieces) - 1
            flown = self.flown_of(piece.rounds[0].version if piece.rounds else 0)
            own = [one for one in found if _is_of(one, piece)]
            seen, off = put_right(gathered(piece.rounds, flown, spread.sd, start), own)
            seen = seen.condensed(first_looked_into(seen))
            posterior, misfit = _fitted(prior, seen, told)
            origin = start
            if origin is None:
                origin = next(
                    (rest_of(r.setting) for r in piece.rounds if r.measures), rest_of(AT_START)
                )
            there = rest_of(setting if last else piece.rounds[-1].setting)
            stands = there - origin + off
            whole_off += off
            if last:
                break
            following = pieces[k + 1]
            happened, number = following.unsettled, following.rounds[0].number
            assert happened is not None
            left = _Left(carried(posterior, seen, stands), there, piece.version)
            before[number] = left
            if happened.since in before:
                left = before[happened.since]
            else:  # of what it was before nothing is known: a change like another
                happened = replace(happened, since=None)
            factors = self._factors(left.version, following.version)
            prior, start = after(left.known, happened, self.prior, factors), left.stood
        belief = drawn_from(posterior, seen, stands, flown)
        return _Here(posterior, belief, seen, stands, whole_off, misfit, len(pieces))

    def _factors(self, one: int, other: int) -> tuple[float, float]:
        """By how much the launch model's answers up and down, rate and angle, grow between them.

        ``one``, ``other``: versions of the numbers of bow and arrow.
        """
        if one == other:
            return 1.0, 1.0
        was, now = (gains_of(self.flown_of(each).shooter.rig)[1, :2] for each in (one, other))
        return float(now[0] / was[0]), float(now[1] / was[1])


class _Left(NamedTuple):
    """What is known as a change begins: where the rest stood then, of which version."""

    known: tuple[Component, ...]
    stood: complex
    version: int


class _Here(NamedTuple):
    """Where :meth:`Tuner._read` ends."""

    posterior: Posterior
    belief: Belief
    seen: Evidence
    stands: complex
    off: complex
    misfit: float
    segments: int


def _advised(finding: Found | None, belief: Belief, **known: Any) -> Advice:
    """What to do next, and first what was found."""
    advice = advise(belief, **known)
    if finding is None:
        return advice
    return replace(advice, verdict="cure", move=AT_START, helps=0.0)


def _fitted(prior: Prior, seen: Evidence, denied: Collection[Story]) -> tuple[Posterior, float]:
    """The posterior, and by how much all errors had to be widened for it."""
    told = stories(seen, denied)
    posterior = fit(prior, seen, told)
    best = posterior.readings[0]
    _, misfit = error_inflation(best.misfit, best.count)
    if misfit > 1.0:
        posterior = fit(prior, seen.inflated(misfit), told)
    return posterior, misfit


def _is_of(story: Story, piece: Segment) -> bool:
    """Whether the story is told of a round of this piece."""
    numbers = [one.number for one in piece.rounds]
    return bool(numbers) and (story.round == 0 or numbers[0] <= story.round <= numbers[-1])


@dataclass(frozen=True)
class Turn:
    """Posterior, draws from it, advice, shot scatter, how the bow is set, and what was seen.

    ``spread``: how the shots of the whole log scatter; ``scatter``: how many times that it is by
    the fit. ``stands``: where the rest is, right + i·up, m from the first setting at which anything
    was seen; ``off``: how far that is from where the log has it, m, by what was looked into.
    ``misfit`` above 1: what was seen fits so badly, even with the likeliest story, that all its
    errors were taken as this many times larger. ``finding``: what was found and has to be put right
    first. ``segments``: pieces of the log between changes; all but ``spread`` and ``off`` is of the
    last.
    """

    posterior: Posterior
    belief: Belief
    advised: Callable[[], Advice] = field(repr=False, compare=False)
    spread: Spread
    scatter: float
    setting: BowSetting
    stands: complex
    off: complex
    seen: Evidence
    misfit: float
    finding: Found | None = None
    segments: int = 1

    @cached_property
    def advice(self) -> Advice:
        """What to do next; weighed when it is asked for, as what is only looked back on is not."""
        return self.advised()

    def draws(self, move: BowSetting = AT_START) -> FloatArray:
        """Separations (k, 2) at 20 yd, right and up, m, after a move."""
        moves = np.array([rest_of(move)])
        apart = self.belief.separation(TALKING_DISTANCE, moves)[:, 0]
        return np.column_stack([apart.real, apart.imag])

    def separation(self, move: BowSetting = AT_START) -> tuple[FloatArray, ...]:
        """Mean and ends of the 95 % interval of the same, (2,) m each."""
        moves = np.array([rest_of(move)])
        return mean_and_ends(self.belief.separation(TALKING_DISTANCE, moves)[:, 0])

    def aimed(self) -> FloatArray:
        """(2,) m: the separation at 20 yd that is wanted."""
        if self.advice.aim == "together":
            return np.zeros(2)
        middle = complex(np.mean(self.belief.clean(TALKING_DISTANCE)))
        return np.array([middle.real, middle.imag])

    def within(self, reach: float) -> float:
        """Probability that what is left at 20 yd is less than ``reach`` m."""
        return float(np.mean(np.abs(self.advice.now) < reach))


def _story(one: Looked) -> Story:
    return Story(one.into, 0 if one.into == "contact" else one.round)


#: m, settings this near to each other are the same: rounding of sums.
_SAME = 1e-9


def is_same(one: BowSetting, other: BowSetting) -> bool:
    """Whether two settings are one but for rounding."""
    return all(abs(part) <= _SAME for part in vars(one.move_to(other)).values())
