"""What is known of a bow carried over a change: a mixture of Gaussians to the one that begins anew.

Each change maps the state to a new one with a noise of its own, as a linear filter does (Kalman
1960, "A New Approach to Linear Filtering and Prediction Problems", from memory). What still holds
is kept: the bow's answers to a rest move, and the launch but for what the change leaves open.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.tuning.changes import Loosens, Unsettled
from vireton.tuning.evidence import SIGHT_MOVED, Evidence
from vireton.tuning.posterior import Posterior, Reading
from vireton.tuning.prior import SHIFT_SPREAD
from vireton.tuning.stories import off_by
from vireton.tuning.unknowns import AXES, PLACE, SIZE, Component, Model, Prior
from vireton.units.numbers import INCH

#: What a year does to a bow: m of rest, and shares of launch and answers (our choice, no source).
_A_YEAR = Loosens(right=(0.0, INCH / 32.0), up=(0.0, INCH / 32.0), errors=0.1, gains=0.05)
_MOST_YEARS = 4.0
#: Something loose was found and tightened: m of rest that the bow may stand elsewhere.
_LOOSE = Loosens(right=(0.0, SHIFT_SPREAD), up=(0.0, SHIFT_SPREAD), errors=0.1)
#: Putting a change back leaves this share open of what making it left open (our choice).
_BACK = 0.25
#: An answer that the model changes by a factor beyond these is not believed to.
_FACTORS = (0.5, 2.0)
#: No component of the prior is given up for good.
_LEAST = 0.002

_ERRORS = ("rate", "angle", "sight")
_TURNING = ("rate", "angle", "rate_gain", "angle_gain")
_GAINS = ("rate_gain", "angle_gain", "direction_gain")


def carried(posterior: Posterior, seen: Evidence, stands: complex) -> tuple[Component, ...]:
    """The posterior with launch errors counted from how the bow is set now.

    ``stands``: m of rest from where they were counted. Readings of one model and side become one
    Gaussian with their mean and covariance.
    """
    shifted = bool(seen.count and seen.shifted[-1])
    here = []
    for one in posterior.readings:
        mean, covariance = _from_here(one, stands + off_by(one.story, seen.moves), shifted)
        here.append(replace(one.component, mean=mean, covariance=covariance, weight=one.weight))
    return tuple(_by_side(here))


def _by_side(components: Iterable[Component]) -> list[Component]:
    """One Gaussian for each model and side, with the mean and covariance of all of its."""
    found: dict[tuple[Model, int], Component] = {}
    for one in components:
        key = _side(one)
        found[key] = _together(found[key], one) if key in found else one
    return list(found.values())


def _from_here(one: Reading, at: complex, shifted: bool) -> tuple[FloatArray, FloatArray]:
    """Mean and covariance of a reading with its errors counted from ``at``, and no shift."""
    answers = one.story.kind != "contact"
    moved = shifted or one.story.kind == "changed"
    matrix = np.eye(SIZE)
    mean = one.mean.copy()
    for axis, side in zip(AXES, (at.real, at.imag), strict=True):
        shift = PLACE[f"shift_{axis}"]
        there = (side + moved * one.mean[shift]) * answers
        for error, gain in zip(_ERRORS, _GAINS, strict=True):
            e, g = PLACE[f"{error}_{axis}"], PLACE[f"{gain}_{axis}"]
            mean[e] += one.mean[g] * there
            matrix[e, g] = there
            matrix[e, shift] = one.mean[g] * moved * answers
        matrix[shift, shift] = 0.0
        mean[shift] = 0.0
    covariance = matrix @ one.covariance @ matrix.T
    for axis in AXES:
        covariance[PLACE[f"shift_{axis}"], PLACE[f"shift_{axis}"]] = SHIFT_SPREAD**2
    return mean, covariance


def after(
    components: Sequence[Component],
    happened: Unsettled,
    fresh: Prior,
    factors: tuple[float, float] = (1.0, 1.0),
) -> Prior:
    """The prior of what comes after a change.

    Args:
        components: what is known, see :func:`carried`; of what is put back, as it was before that
            was changed.
        happened: what was changed.
        fresh: the prior of a bow of which nothing is known.
        factors: by how much the launch model's answers in rate and angle are larger afterwards.
    """
    is_back = happened.since is not None
    size = _BACK if is_back else 1.0
    # put back it does not move the launch from where it was
    loosened = [
        (one.kind.loosens, one.amount, 0.0 if is_back else one.up) for one in happened.changes
    ]
    if happened.is_loose:
        loosened.append((_LOOSE, 0.0, 0.0))
    if happened.years is not None:
        loosened.append((_aged(happened.years), 0.0, 0.0))
    now = [_scaled(one, factors) for one in components]
    for how, amount, up in loosened:
        now = [_loosened(one, how, amount, up, size) for one in now]
        now = [_opened_anew(one, fresh, how.anew * size) for one in now]
        now = _reopened(now, how.sign * size)
        for reset, names in ((how.bare, ("bare",)), (how.tear, ("tear",))):
            if reset:
                now = [_renewed(one, fresh, names) for one in now]
    whole = sum(max(one.weight, _LEAST) for one in now)
    return replace(
        fresh,
        components=tuple(
            replace(_sight_free(one), weight=max(one.weight, _LEAST) / whole) for one in now
        ),
    )


def _aged(years: float) -> Loosens:
    grown = float(np.sqrt(min(max(years, 0.1), _MOST_YEARS)))
    return Loosens(
        right=(0.0, _A_YEAR.right[1] * grown),
        up=(0.0, _A_YEAR.up[1] * grown),
        errors=_A_YEAR.errors * grown,
        gains=_A_YEAR.gains * grown,
        bare=True,
    )


def _scaled(one: Component, factors: tuple[float, float]) -> Component:
    by = np.ones(SIZE)
    for axis in AXES:
        for name, factor in zip(("rate", "angle"), np.clip(factors, *_FACTORS), strict=True):
            by[[PLACE[f"{name}_{axis}"], PLACE[f"{name}_gain_{axis}"]]] = factor
    return replace(one, mean=one.mean * by, covariance=one.covariance * np.outer(by, by))


def _loosened(one: Component, how: Loosens, amount: float, up: float, size: float) -> Component:
    mean, covariance = one.mean.copy(), one.covariance.copy()
    for axis, (share, on_top) in zip(AXES, (how.right, how.up), strict=True):
        moved = size * float(np.hypot(share * amount, on_top))
        errors, places = ([PLACE[f"{name}_{axis}"] for name in own] for own in (_ERRORS, _GAINS))
        gains = mean[places]
        # as much as the answer may be: what is not known of it counts too
        answers = np.outer(gains, gains) + one.covariance[np.ix_(places, places)]
        covariance[np.ix_(errors, errors)] += moved**2 * answers
        if axis == "up":
            mean[errors] += how.moves_up * up * gains
        for name in ("rate", "angle"):
            e, g = PLACE[f"{name}_{axis}"], PLACE[f"{name}_gain_{axis}"]
            covariance[e, e] += (size * how.errors) ** 2 * (mean[e] ** 2 + one.covariance[e, e])
            covariance[g, g] += (size * how.gains) ** 2 * (mean[g] ** 2 + one.covariance[g, g])
    return replace(one, mean=mean, covariance=covariance)


def _opened_anew(one: Component, fresh: Prior, share: float) -> Component:
    """The same with a share of what is open sideways beforehand, of launch and answers."""
    if not share:
        return one
    usual = next((c for c in fresh.components if _side(c) == _side(one)), fresh.components[0])
    places = [PLACE[f"{name}_right"] for name in _TURNING]
    block = np.ix_(places, places)
    covariance = one.covariance.copy()
    covariance[block] += share**2 * usual.covariance[block]
    return replace(one, covariance=covariance)


def _side(one: Component) -> tuple[Model, int]:
    return one.model, one.sideways_sign


def _reopened(components: Sequence[Component], share: float) -> list[Component]:
    """The same where each may answer the other way sideways with probability ``share``."""
    if share <= 0.0:
        return list(components)
    turned = np.ones(SIZE)
    turned[[PLACE["rate_gain_right"], PLACE["angle_gain_right"]]] = -1.0
    twins = []
    for one in components:
        if one.model == "rigid":  # a stiff arrow whose nock is held has one side
            twins.append(one)
            continue
        for sign, part in ((1, 1.0 - share), (-1, share)):
            way = turned if sign < 0 else np.ones(SIZE)
            twins.append(
                replace(
                    one,
                    mean=one.mean * way,
                    covariance=one.covariance * np.outer(way, way),
                    weight=one.weight * part,
                    sideways_sign=one.sideways_sign * sign,
                )
            )
    return _by_side(twins)


def _together(one: Component, other: Component) -> Component:
    weight = one.weight + other.weight
    a, b = one.weight / weight, other.weight / weight
    mean = a * one.mean + b * other.mean
    apart = one.mean - other.mean
    covariance = a * one.covariance + b * other.covariance + a * b * np.outer(apart, apart)
    return replace(one, mean=mean, covariance=covariance, weight=weight)


def _renewed(one: Component, fresh: Prior, names: Sequence[str]) -> Component:
    """The same with these of what stands beside the launch as if nothing were known of them."""
    usual = fresh.components[0]
    places = [PLACE[f"{name}_{axis}"] for name in names for axis in AXES]
    mean = one.mean.copy()
    mean[places] = usual.mean[places]
    return replace(_unknown(one, places, usual.covariance[places, places]), mean=mean)


def _sight_free(one: Component) -> Component:
    """The same with the sight anywhere: it follows the group after a change."""
    return _unknown(one, [PLACE[f"sight_{axis}"] for axis in AXES], SIGHT_MOVED**2)


def _unknown(one: Component, places: Sequence[int], variances: FloatArray | float) -> Component:
    """The same with these variances at these places, and nothing there told by the others."""
    covariance = one.covariance.copy()
    covariance[places, :] = 0.0
    covariance[:, places] = 0.0
    covariance[places, places] = variances
    return replace(one, covariance=covariance)
