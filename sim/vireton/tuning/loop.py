"""One turn of the tuner's loop: rounds in, posterior and advice out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy import special

from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig
from vireton.tuning.advice import TOLERANCE, Advice, advise
from vireton.tuning.fit import Posterior, Setting, fit, settings_of
from vireton.tuning.observations import Group, Round
from vireton.tuning.prior import Prior, bow_prior
from vireton.tuning.response import Shooter
from vireton.tuning.spread import UNKNOWN_SHOOTER, Spread, pooled_spread

#: A misfit that chance exceeds once in a hundred logs counts as one that needs explaining.
_ODD = 0.99


@dataclass(frozen=True)
class Tuner:
    """A bow ready to be tuned: its prior and its arrows, worked out once."""

    shooter: Shooter
    prior: Prior
    step: float
    tolerance: float = TOLERANCE

    @staticmethod
    def of(
        rig: Rig,
        ranges: Mapping[str, tuple[float, float]],
        step: float,
        tolerance: float = TOLERANCE,
    ) -> "Tuner":
        """For this rig at the log's first rest setting; ``step`` m is the rest's smallest move."""
        return Tuner(Shooter.of(rig), bow_prior(rig, ranges), step, tolerance)

    def turn(self, rounds: Sequence[Round], rest: tuple[float, float] | None = None) -> "Turn":
        """What the rounds say and what to do next.

        Args:
            rounds: those that count, in order.
            rest: m, where the rest stands now; without it where the last round has it.
        """
        groups = [g for one in rounds for g in one.observations if isinstance(g, Group)]
        spread = pooled_spread(groups, UNKNOWN_SHOOTER) if groups else UNKNOWN_SHOOTER
        # Student's wider tails, put into a normal distribution of the same 95 % interval
        settings = settings_of(rounds, spread.as_normal)
        # the prior's launch errors are those of the first setting at which anything was seen
        origin = settings[0].rest if settings else np.zeros(2)
        settings = [replace(one, rest=one.rest - origin) for one in settings]
        posterior = fit(self.shooter, self.prior, settings)
        best = max(posterior.lobes, key=lambda lobe: lobe.weight)
        stretch = 1.0
        if best.count and best.misfit > special.chdtri(best.count, 1.0 - _ODD):
            # what was seen does not fit together: believe it less, not just somewhere in between
            stretch = float(np.sqrt(best.misfit / best.count))
            settings = [one.stretched(stretch) for one in settings]
            posterior = fit(self.shooter, self.prior, settings)
        stands = np.zeros(2)
        if rest is not None:
            stands = np.array(rest)
        elif rounds:
            stands = np.array([rounds[-1].rest_right, rounds[-1].rest_up])
        stands = stands - origin
        advice = advise(
            self.shooter,
            posterior,
            stands,
            step=self.step,
            spread_angle=spread.sd,
            shots=fewest_shots(rounds, origin + stands),
            tolerance=self.tolerance,
        )
        return Turn(posterior, advice, spread, stands, settings, stretch)


@dataclass(frozen=True)
class Turn:
    """Posterior, advice, shot scatter, where the rest stands, and what was fitted.

    ``rest`` (2,) m counts from the first setting at which anything was seen.

    ``stretch`` above 1: what was seen fits the model so badly that all its errors were taken as
    this many times larger.
    """

    posterior: Posterior
    advice: Advice
    spread: Spread
    rest: FloatArray
    settings: list[Setting]
    stretch: float


def fewest_shots(rounds: Sequence[Round], rest: FloatArray) -> int:
    """Bare or fletched shots at this rest setting, whichever are fewer."""
    shots = {"bare": 0, "fletched": 0}
    for one in rounds:
        if np.allclose((one.rest_right, one.rest_up), rest, atol=1e-9):
            for group in one.observations:
                if isinstance(group, Group):
                    shots[group.arrow] += group.count
    return min(shots.values())
