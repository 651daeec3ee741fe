"""From the posterior to the next rest move, to "stop", or to "cannot tell yet"."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from vireton.bow.setting import BowSetting
from vireton.kernel.arrays import FloatArray
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.fit import Posterior, errors_by_theta, launch_errors
from vireton.tuning.groups import shots_needed
from vireton.tuning.prior import PER_AXIS, SIZE
from vireton.tuning.response import ERRORS, Planes, Shooter
from vireton.tuning.spread import assumed_spread
from vireton.units.numbers import INCH

Verdict = Literal["move", "stop", "shoot_more"]

#: m: done when bare and fletched are within half an inch at 20 yd (common practice, no source).
TOLERANCE = 0.5 * INCH

#: A share of one arrow's standard deviation: a separation below it widens no group that the shooter
#: can see, by √(1 + ¼·½²): 3 % (our choice).
_HOLD_SHARE = 0.5
#: How sure the side of a separation must be before anything is moved: 95 % two-sided.
_SURE = 0.975
#: How sure a move must be to help, and how sure "inside" must be to stop (our choice).
_BETTER, _INSIDE = 0.75, 0.5
#: A sign known less well than this is open: the move is then a test as much as a step.
_OPEN_LOW, _OPEN_HIGH = 0.1, 0.9
_FARTHEST = 0.25 * INCH  # m of rest that one advice may move, eight steps at least
_TEST = INCH / 16.0  # m of rest of a test move, one step at least
_MOST_SHOTS = 24  # of each that are ever asked for at once
_FIRST_SHOTS = 3  # of each arrow, to begin with
_SAMPLES = 600


@dataclass(frozen=True)
class Advice:
    """What to do next. m, the archer's signs, ``move`` counted from how the bow is set now.

    ``probability_better``: that the move makes the separation at 20 yd smaller; of standing still
    for a stop: that it is inside the tolerance. ``predicted`` (mean (2,), low (2,), high (2,)) is
    the separation at 20 yd after the advice is followed, its 95 % interval without shot scatter;
    ``now`` the same before. ``is_test`` marks a move whose direction the bow has not shown yet.
    ``shots_needed`` of each arrow at this setting, in all, for ``shoot_more``. A ``stop`` with a
    ``probability_inside`` below a half: no whole step of this rest would bring them closer.
    """

    verdict: Verdict
    move: BowSetting
    probability_better: float
    shots_needed: int
    now: tuple[FloatArray, FloatArray, FloatArray]
    predicted: tuple[FloatArray, FloatArray, FloatArray]
    is_test: bool
    probability_right: float
    probability_inside: float
    tolerance: float


def separation_samples(
    shooter: Shooter,
    posterior: Posterior,
    setting: BowSetting,
    distance: float = TALKING_DISTANCE,
    count: int = _SAMPLES,
    seed: int = 1,
) -> tuple[FloatArray, FloatArray]:
    """Separations (k, 2) m at ``distance`` with the bow at ``setting``, and how each moves with it.

    The second array (k, 2, 2) is d(separation)/d(rest move right, up). Each component is flown at
    its mean and spread linearly about it.
    """
    random = np.random.default_rng(seed)
    values, slopes = [], []
    for component in posterior.components:
        theta = component.samples(count, random)
        if len(theta) == 0:
            continue
        value, by_theta, by_error = _separation(shooter, component.mean, setting, distance)
        values.append(value + (theta - component.mean) @ by_theta.T)
        # how a move of the rest changes the errors is in the sample's own gains
        gains = np.zeros((len(theta), len(ERRORS), 2))
        n = len(PER_AXIS)
        for k in range(3):
            for axis in range(2):
                gains[:, 2 * k + axis, axis] = theta[:, axis * n + 3 + k]
        scale = np.exp(theta[:, -1] - component.mean[-1])[:, None, None]
        slopes.append(scale * (by_error @ gains))
    return np.concatenate(values), np.concatenate(slopes)


def _separation(
    shooter: Shooter, theta: FloatArray, setting: BowSetting, distance: float
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Separation (2,), its derivative (2, 13) by the unknowns and (2, 6) by the launch errors."""
    errors = launch_errors(theta, setting)
    bare = shooter.shoot(Planes("bare", (distance,)), errors)
    fletched = shooter.shoot(Planes("fletched", (distance,)), errors)
    straight = np.zeros(len(ERRORS))
    straight[4:] = errors[4:]
    plain = shooter.points(Planes("bare", (distance,)), straight)[0]
    scale = math.exp(theta[-1])
    moved = bare.points[0] - plain
    turning = bare.points_by_error[0].copy()
    turning[:, 4:] = 0.0
    by_error = bare.points_by_error[0] + (scale - 1.0) * turning - fletched.points_by_error[0]
    by_theta = by_error @ errors_by_theta(setting)
    by_theta[:, SIZE - 1] += scale * moved
    return plain + scale * moved - fletched.points[0], by_theta, by_error


def interval(samples: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Mean and ends of the 95 % interval of samples (k, …)."""
    low, high = np.percentile(samples, [2.5, 97.5], axis=0)
    return samples.mean(axis=0), low, high


def advise(
    shooter: Shooter,
    posterior: Posterior,
    setting: BowSetting,
    *,
    step: float,
    spread_angle: float,
    shots: int = 3,
    tolerance: float = TOLERANCE,
    seed: int = 1,
) -> Advice:
    """The next move in whole steps, one axis at a time so that the bow shows what it does.

    Args:
        shooter: the rig at the log's first setting.
        posterior: after all rounds.
        setting: how the bow is set now.
        step: m, smallest move of this rest.
        spread_angle: rad, standard deviation of one arrow on one axis.
        shots: bare or fletched shot at a target at this setting, whichever are fewer; below three
            nothing is advised but to shoot.
        tolerance: m at 20 yd.
        seed: of the samples.
    """
    now, slopes = separation_samples(shooter, posterior, setting, seed=seed)
    size = np.linalg.norm(now, axis=1)
    hold = max(tolerance, _HOLD_SHARE * spread_angle * TALKING_DISTANCE)
    inside = float(np.mean(size < hold))
    right = posterior.probability_right

    def result(
        verdict: Verdict, move: FloatArray, chance: float, is_test: bool, shots: int
    ) -> Advice:
        after = now + np.einsum("kij,j->ki", slopes, move)
        return Advice(
            verdict,
            BowSetting(float(move[0]), float(move[1])),
            chance,
            shots,
            interval(now),
            interval(after),
            is_test,
            right,
            inside,
            hold,
        )

    still = np.zeros(2)
    if shots < _FIRST_SHOTS:
        return result("shoot_more", still, inside, False, _FIRST_SHOTS)
    if inside >= _INSIDE:
        return result("stop", still, inside, False, 0)
    best: tuple[float, FloatArray, float, bool] | None = None
    any_sure = False
    for axis in range(2):
        side = float(np.mean(now[:, axis] > 0.0))
        if max(side, 1.0 - side) < _SURE:
            continue
        any_sure = True
        found = _best_move(now, slopes, axis, step)
        is_open = axis == 0 and _OPEN_LOW < right < _OPEN_HIGH
        if is_open:
            found = _test_move(now, slopes, step, found)
        elif found[2] < _BETTER:
            continue
        if best is None or found[0] < best[0]:
            best = (*found, is_open)
    if best is not None:
        _, move, chance, is_open = best
        return result("move", move, chance, is_open, 0)
    if any_sure:
        # the side is known and yet no whole step is likely to help: the rest is as good as it gets
        return result("stop", still, inside, False, 0)
    needed = shots_for_separation(now, spread_angle, hold)
    # never fewer than were shot already, and never so many that nobody would
    return result("shoot_more", still, inside, False, min(max(needed or 0, 2 * shots), _MOST_SHOTS))


def _best_move(
    now: FloatArray, slopes: FloatArray, axis: int, step: float
) -> tuple[float, FloatArray, float]:
    """(expected square of the separation, move (2,), probability that it is smaller)."""
    size = np.linalg.norm(now, axis=1)
    best = (float(np.mean(size**2)), np.zeros(2), 0.0)
    farthest = max(8, round(_FARTHEST / step))
    for steps in range(-farthest, farthest + 1):
        if steps == 0:
            continue
        move = np.zeros(2)
        move[axis] = steps * step
        after = np.linalg.norm(now + np.einsum("kij,j->ki", slopes, move), axis=1)
        loss = float(np.mean(after**2))
        if loss < best[0]:
            best = (loss, move, float(np.mean(after < size)))
    return best


def _test_move(
    now: FloatArray,
    slopes: FloatArray,
    step: float,
    found: tuple[float, FloatArray, float],
) -> tuple[float, FloatArray, float]:
    """A short move in the likelier direction: enough to be seen, easy to take back."""
    size = np.linalg.norm(now, axis=1)

    def outcome(steps: int) -> tuple[float, FloatArray, float]:
        move = np.array([steps * step, 0.0])
        after = np.linalg.norm(now + np.einsum("kij,j->ki", slopes, move), axis=1)
        return float(np.mean(after**2)), move, float(np.mean(after < size))

    most = max(1, round(_TEST / step))
    if np.any(found[1] != 0.0) and abs(found[1][0]) <= most * step * 1.001:
        return found
    few = [outcome(steps) for steps in {-most, -1, 1, most}]
    return min(few, key=lambda one: one[0])


def shots_for_separation(now: FloatArray, spread_angle: float, hold: float) -> int | None:
    """Shots of each arrow that would show which side the bare shaft is on; None above 50.

    For the larger of the separation's mean and the tolerance, at 95 % and with a power of 80 %.
    """
    mean = now.mean(axis=0)
    size = max(float(np.abs(mean).max()), hold)
    spread = assumed_spread(spread_angle * TALKING_DISTANCE, TALKING_DISTANCE, 30.0)
    return shots_needed(size, spread, TALKING_DISTANCE)
