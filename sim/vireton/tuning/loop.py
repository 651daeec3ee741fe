"""One turn of the tuner's loop: rounds in, posterior and advice out."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from vireton.bow.setting import AT_START, BowSetting
from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig
from vireton.studies.fitting import error_inflation
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.advice import TOLERANCE, Advice, advise
from vireton.tuning.belief import Aim, Belief, drawn_from, mean_and_ends
from vireton.tuning.costs import Costs
from vireton.tuning.evidence import Evidence, Flown, gathered, rest_of
from vireton.tuning.observations import Group, Looked
from vireton.tuning.posterior import Posterior, fit
from vireton.tuning.practice import with_practice
from vireton.tuning.prior import bow_prior
from vireton.tuning.response import Shooter
from vireton.tuning.rounds import Round, all_seen
from vireton.tuning.spread import UNKNOWN_SHOOTER, Spread, pooled_spread
from vireton.tuning.stories import Story, first_looked_into, put_right, stories
from vireton.tuning.unknowns import Prior


@dataclass(frozen=True)
class Tuner:
    """A bow ready to be tuned: its prior and its arrows, worked out once."""

    flown: Flown
    prior: Prior
    step: float
    tolerance: float = TOLERANCE
    aim: Aim = "clean"
    costs: Costs = field(default_factory=Costs)
    paper_only: bool = False

    @staticmethod
    def of(rig: Rig, ranges: Mapping[str, tuple[float, float]], step: float) -> "Tuner":
        """For this rig at the log's first setting; ``step`` m is the rest's smallest move."""
        flown = Flown(Shooter.of(rig))
        prior = bow_prior(rig, ranges)
        follows = rig.experience.sideways
        return Tuner(flown, with_practice(prior, flown, 0.5 if follows is None else follows), step)

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
        groups = all_seen(rounds, Group)
        spread = pooled_spread(groups, UNKNOWN_SHOOTER) if groups else UNKNOWN_SHOOTER
        looked = all_seen(rounds, Looked)
        found = [_story(one) for one in looked if one.found]
        cleared = [n for n, r in enumerate(rounds) for one in r.seen(Looked) if _is_contact(one)]
        counting = rounds[cleared[-1] :] if cleared else rounds
        seen, off = put_right(gathered(counting, self.flown, spread.sd), found)
        seen = seen.condensed(first_looked_into(seen))
        told = stories(seen, {*denied, *(_story(one) for one in looked)})
        posterior = fit(self.prior, seen, told)
        best = posterior.readings[0]
        _, misfit = error_inflation(best.misfit, best.count)
        if misfit > 1.0:
            posterior = fit(self.prior, seen.inflated(misfit), told)
        if setting is None:
            setting = rounds[-1].setting if rounds else AT_START
        origin = next((rest_of(r.setting) for r in counting if _measures(r)), rest_of(AT_START))
        stands = rest_of(setting) - origin + off
        belief = drawn_from(posterior, seen, stands, self.flown)
        likely = [(s, p) for s, p in posterior.stories().items() if s.kind != "none"]
        scatter = sum(one.weight * one.scatter for one in posterior.readings)
        advice = advise(
            belief,
            step=self.step,
            stands=rest_of(setting),
            spread=scatter * spread.at(TALKING_DISTANCE),
            aim=self.aim,
            costs=self.costs,
            paper_only=self.paper_only,
            story=likely[0] if likely else None,
            anything_seen=seen.count > 0,
        )
        return Turn(posterior, belief, advice, spread, scatter, setting, stands, off, seen, misfit)


@dataclass(frozen=True)
class Turn:
    """Posterior, draws from it, advice, shot scatter, how the bow is set, and what was seen.

    ``scatter``: times ``spread``, as the log as a whole has it. ``stands``: the rest from the first
    setting at which anything was seen, m; ``off``: from where the log has it, by what was looked
    into. ``misfit`` above 1: what was seen fits so badly, even
    with the likeliest story, that all its errors were taken as this many times larger.
    """

    posterior: Posterior
    belief: Belief
    advice: Advice
    spread: Spread
    scatter: float
    setting: BowSetting
    stands: complex
    off: complex
    seen: Evidence
    misfit: float

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


def _is_contact(one: Looked) -> bool:
    return one.found and one.into == "contact"


def _measures(one: Round) -> bool:
    return any(seen.measurement(1.0) is not None for seen in one.observations)


#: m, settings this near to each other are the same: rounding of sums.
_SAME = 1e-9


def is_same(one: BowSetting, other: BowSetting) -> bool:
    """Whether two settings are one but for rounding."""
    return all(abs(part) <= _SAME for part in vars(one.move_to(other)).values())
