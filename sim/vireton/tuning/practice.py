"""Bows that the launch model does not make: by common practice alone, and rigid ones.

They stand beside the launch model's bows in the prior, so that a bow which is none of those does
not get a sure wrong answer.
"""

from dataclasses import replace

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.flown import Flown
from vireton.tuning.prior import SIGHT_SPREAD, spread_beside
from vireton.tuning.unknowns import AXES, PLACE, SIZE, Component, Model, Prior
from vireton.units.numbers import INCH

#: Share of each model beforehand (our choice, no source).
SHARES: dict[Model, float] = {"launch": 0.6, "practice": 0.35, "rigid": 0.05}

#: m of separation at 20 yd a m of rest: a sixteenth closes one to two inches (common practice, no
#: source). Mean and standard deviation.
PRACTICE_GAIN = (22.0, 10.0)
#: m: separations at 20 yd before a bow is tuned (our choice, no source).
PRACTICE_SEPARATION = 2.5 * INCH
#: rad: yaw that goes with it, and ln of a factor of its tears (our choice, no source).
PRACTICE_ANGLE, PRACTICE_TEARS = 0.004, 0.5

#: rad/s a m of rest of a stiff arrow whose nock is held: .27 to .43 a 1/32 in on 40 bows with the
#: arrow of the *Mill bow*, in closed form (validation/tuning/truths/rigid.py; our derivation).
RIGID_GAIN = (0.35 / (INCH / 32.0), 0.1 / (INCH / 32.0))
#: rad/s, rad: a rest that is off by an eighth, at that gain (our choice).
RIGID_RATE, RIGID_ANGLE = 1.0, 0.006
#: rad a m of rest: a rest that leads the nock by two feet turns the arrow by so much (geometry; the
#: spread is our choice).
ANGLE_GAIN = (1.6, 1.0)

#: No bow by practice is surer of its side than this (our choice).
_OPEN = (0.1, 0.9)
#: rad/s about which the bare shaft's answer is taken as proportional.
_USUAL_RATE = 0.5


def separation_by_rate(flown: Flown) -> float:
    """m of bare minus fletched at 20 yd a rad/s, for a usual launch error."""
    far = TALKING_DISTANCE
    apart = flown.surface("bare", "target", far) - flown.surface("fletched", "target", far)
    return float((apart[1] + apart[2] * _USUAL_RATE).real)


def with_practice(prior: Prior, flown: Flown, follows: float) -> Prior:
    """The launch model's prior, and beside it bows by practice and rigid ones.

    ``follows``: probability that a bow follows the trade's sideways rule: a bare shaft to the
    right of the fletched comes back when the rest goes right. Stiff bows never do.
    """
    by_rate = separation_by_rate(flown)
    own = [replace(one, weight=SHARES["launch"] * one.weight) for one in prior.components]
    # all models together follow the rule as often as experience says, as far as they can
    launch = sum(one.weight for one in own if one.sideways_sign < 0)
    if prior.follows_unmeasured is not None:
        # what was measured speaks of the launch model's bows; the others are not to make up for it
        launch = SHARES["launch"] * prior.follows_unmeasured
    by_rule = float(np.clip((follows - launch) / SHARES["practice"], *_OPEN))
    for sign in (-1, 1):
        share = by_rule if sign < 0 else 1.0 - by_rule
        own.append(_practice(by_rate, sign, SHARES["practice"] * share))
    own.append(_rigid(SHARES["rigid"]))
    return replace(prior, components=tuple(one for one in own if one.weight > 0.0))


def _practice(by_rate: float, sign: int, weight: float) -> Component:
    mean, spread = (size / by_rate for size in PRACTICE_GAIN)
    return _component(
        "practice",
        sign,
        weight,
        (mean, spread),
        (PRACTICE_SEPARATION / by_rate, PRACTICE_ANGLE),
        PRACTICE_TEARS,
    )


def _rigid(weight: float) -> Component:
    return _component("rigid", 1, weight, RIGID_GAIN, (RIGID_RATE, RIGID_ANGLE), 0.3)


def _component(
    model: Model,
    sign: int,
    weight: float,
    gain: tuple[float, float],
    errors: tuple[float, float],
    tears: float,
) -> Component:
    mean, covariance = np.zeros(SIZE), np.zeros((SIZE, SIZE))

    def put(name: str, size: float, spread: float) -> None:
        mean[PLACE[name]] = size
        covariance[PLACE[name], PLACE[name]] = spread**2

    for axis in AXES:
        side = sign if axis == "right" else 1
        put(f"rate_{axis}", 0.0, errors[0])
        put(f"angle_{axis}", 0.0, errors[1])
        put(f"sight_{axis}", 0.0, SIGHT_SPREAD)
        put(f"rate_gain_{axis}", side * gain[0], gain[1])
        put(f"angle_gain_{axis}", side * ANGLE_GAIN[0], ANGLE_GAIN[1])
        put(f"direction_gain_{axis}", ANGLE_GAIN[0], ANGLE_GAIN[1])
    spread_beside(covariance, tears)
    return Component(mean, _with_causes(covariance), weight, sign, model)


def _with_causes(covariance: FloatArray) -> FloatArray:
    """Yaw rate and yaw of one cause go together, by half (our choice)."""
    for axis in AXES:
        i, j = PLACE[f"rate_{axis}"], PLACE[f"angle_{axis}"]
        shared = 0.5 * np.sqrt(covariance[i, i] * covariance[j, j])
        covariance[i, j] = covariance[j, i] = shared
    return covariance
