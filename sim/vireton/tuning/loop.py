"""One turn of the tuner's loop: rounds in, posterior and advice out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from vireton.bow.setting import AT_START, BowSetting
from vireton.rig import Rig
from vireton.studies.fitting import error_inflation
from vireton.tuning.advice import TOLERANCE, Advice, advise
from vireton.tuning.fit import Posterior, SettingData, data_by_setting, fit
from vireton.tuning.observations import Group
from vireton.tuning.prior import Prior, bow_prior
from vireton.tuning.response import Shooter
from vireton.tuning.rounds import Round, all_seen
from vireton.tuning.spread import UNKNOWN_SHOOTER, Spread, pooled_spread


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

    def turn(self, rounds: Sequence[Round], setting: BowSetting | None = None) -> "Turn":
        """What the rounds say and what to do next.

        Args:
            rounds: those that count, in order.
            setting: how the bow is set now; without it as the last round has it.
        """
        groups = all_seen(rounds, Group)
        spread = pooled_spread(groups, UNKNOWN_SHOOTER) if groups else UNKNOWN_SHOOTER
        # Student's wider tails, put into a normal distribution of the same 95 % interval
        data = data_by_setting(rounds, spread.as_normal)
        # the prior's launch errors are those of the first setting at which anything was seen
        origin = data[0].setting if data else AT_START
        data = [replace(one, setting=origin.move_to(one.setting)) for one in data]
        posterior = fit(self.shooter, self.prior, data)
        best = max(posterior.components, key=lambda one: one.weight)
        _, inflation = error_inflation(best.misfit, best.count)
        if inflation > 1.0:
            data = [one.inflated(inflation) for one in data]
            posterior = fit(self.shooter, self.prior, data)
        if setting is None:
            setting = rounds[-1].setting if rounds else AT_START
        stands = origin.move_to(setting)
        advice = advise(
            self.shooter,
            posterior,
            stands,
            step=self.step,
            spread_angle=spread.sd,
            shots=fewest_shots(rounds, setting),
            tolerance=self.tolerance,
        )
        return Turn(posterior, advice, spread, stands, data, inflation)


@dataclass(frozen=True)
class Turn:
    """Posterior, advice, shot scatter, how the bow is set, and what was fitted.

    ``setting`` counts from the first setting at which anything was seen.

    ``error_inflation`` above 1: what was seen fits the model so badly that all its errors were
    taken as this many times larger.
    """

    posterior: Posterior
    advice: Advice
    spread: Spread
    setting: BowSetting
    data: list[SettingData]
    error_inflation: float


#: m, settings this near to each other are the same: rounding of sums.
_SAME = 1e-9


def is_same(one: BowSetting, other: BowSetting) -> bool:
    """Whether two settings are one but for rounding."""
    return all(abs(part) <= _SAME for part in vars(one.move_to(other)).values())


def fewest_shots(rounds: Sequence[Round], setting: BowSetting) -> int:
    """Bare or fletched shots at this setting of the bow, whichever are fewer."""
    shots = {"bare": 0, "fletched": 0}
    for group in all_seen([one for one in rounds if is_same(one.setting, setting)], Group):
        shots[group.arrow] += group.count
    return min(shots.values())
