"""One turn of the tuner's loop: rounds in, posterior and advice out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import special

from vireton.observations import Group, Round
from vireton.rig import Rig
from vireton.spread import UNKNOWN_SHOOTER, Spread, pooled_spread
from vireton.tuning.advice import TOLERANCE, Advice, advise
from vireton.tuning.fit import Posterior, Setting, fit, settings_of
from vireton.tuning.prior import Prior, bow_prior
from vireton.tuning.response import Shooter

FloatArray = npt.NDArray[np.float64]


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
        wide = float(special.stdtrit(spread.degrees, 0.975) / special.ndtri(0.975))
        settings = settings_of(rounds, spread.sd * wide)
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
        advice = advise(
            self.shooter,
            posterior,
            stands,
            step=self.step,
            spread_angle=spread.sd,
            compared={group.arrow for group in groups} == {"bare", "fletched"},
            tolerance=self.tolerance,
        )
        return Turn(posterior, advice, spread, stands, settings, stretch)


@dataclass(frozen=True)
class Turn:
    """Posterior, advice, shot scatter, where the rest stands (2,) m, and what was fitted.

    ``stretch`` above 1: what was seen fits the model so badly that all its errors were taken as
    this many times larger.
    """

    posterior: Posterior
    advice: Advice
    spread: Spread
    rest: FloatArray
    settings: list[Setting]
    stretch: float
