"""What is left at each distance, which test would tell most, and which causes fit what was seen."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from vireton.bow.setting import BowSetting
from vireton.kernel.arrays import FloatArray
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.advice import interval, separation_samples
from vireton.tuning.fit import SettingData, fit, launch_errors, predict
from vireton.tuning.loop import Tuner, Turn
from vireton.tuning.observations import ArrowKind, group_of_center
from vireton.tuning.observations.tear import TEAR_ERROR
from vireton.tuning.prior import PER_AXIS, Component, Prior
from vireton.tuning.response import Planes
from vireton.units.numbers import FOOT, YARD


@dataclass(frozen=True)
class Left:
    """What is left at ``distance`` m if nothing more is done: means and 95 % intervals, (2,) m.

    ``separation``: bare minus fletched. ``fletched``: the fletched arrow off the aim point for its
    launch errors, the sight set anew at 20 yd.
    """

    distance: float
    separation: tuple[FloatArray, FloatArray, FloatArray]
    fletched: tuple[FloatArray, FloatArray, FloatArray]


def what_is_left(tuner: Tuner, turn: Turn, distances: Sequence[float]) -> list[Left]:
    """Bare and fletched arrows at each distance with the rest where it stands."""
    found = []
    theta = turn.posterior.samples(400)
    errors = np.array([launch_errors(one, turn.setting) for one in theta])
    errors[:, 4:] = 0.0  # a direction vanishes when the sight is set anew
    middle = errors.mean(axis=0)
    far = (TALKING_DISTANCE, *distances)
    straight = tuner.shooter.shoot(Planes("fletched", far), np.zeros(6)).points
    answer = tuner.shooter.shoot(Planes("fletched", far), middle)
    moved = (answer.points - straight) + np.einsum(
        "dae,ke->kda", answer.points_by_error, errors - middle
    )
    for i, distance in enumerate(distances):
        samples, _ = separation_samples(tuner.shooter, turn.posterior, turn.setting, distance)
        set_anew = moved[:, i + 1] - moved[:, 0] * (distance / TALKING_DISTANCE)
        found.append(Left(distance, interval(samples), interval(set_anew)))
    return found


@dataclass(frozen=True)
class NextTest:
    """A test that could be shot next, and how much of what is not known it would take away.

    ``gain``: share of the variance of the separation at 20 yd where the rest stands (and of how a
    rest move changes it, the half of it each) that this test would remove.
    """

    name: str
    gain: float


def next_tests(tuner: Tuner, turn: Turn, step: float) -> list[NextTest]:
    """Tests by what they would tell, best first.

    For each, what it would leave of the covariance (linear about the likelier component: the
    information of a test does not depend on its outcome then).
    """
    likelier = max(turn.posterior.components, key=lambda one: one.weight)
    here = turn.setting
    aside = here.moved(BowSetting(rest_right=2.0 * step))

    def group(kind: ArrowKind, yards: float, count: int, setting: BowSetting) -> FloatArray:
        far = yards * YARD
        _, rows = predict(tuner.shooter, Planes(kind, (far,)), likelier.mean, setting)
        seen = group_of_center(kind, far, (0.0, 0.0), count).measurement(turn.spread.sd)
        return np.asarray(rows[0] / np.sqrt(seen.variance))

    def paper(kind: ArrowKind, feet: float) -> FloatArray:
        planes = Planes(kind, (), (feet * FOOT,))
        _, rows = predict(tuner.shooter, planes, likelier.mean, here)
        return np.asarray(rows[0] / TEAR_ERROR)

    both = [("fletched", 20.0), ("bare", 20.0)]
    tests = {
        "3 bare and 3 fletched more at 20 yd": [group(k, d, 3, here) for k, d in both],  # type: ignore[arg-type]
        "6 bare and 6 fletched more at 20 yd": [group(k, d, 6, here) for k, d in both],  # type: ignore[arg-type]
        "3 bare and 3 fletched at 30 yd": [
            group("bare", 30.0, 3, here),
            group("fletched", 30.0, 3, here),
        ],
        "a bare tear at 6 ft": [paper("bare", 6.0)],
        "a bare tear at 20 ft": [paper("bare", 20.0)],
        "a test move of two steps to the side, 3 bare and 3 fletched": [
            group(k, d, 3, aside)  # type: ignore[arg-type]
            for k, d in both
        ],
    }
    both_planes = Planes("bare", (TALKING_DISTANCE,)), Planes("fletched", (TALKING_DISTANCE,))
    at_here, at_aside = (
        predict(tuner.shooter, both_planes[0], likelier.mean, setting)[1][0]
        - predict(tuner.shooter, both_planes[1], likelier.mean, setting)[1][0]
        for setting in (here, aside)
    )
    wanted = (at_here, at_aside - at_here)
    before = [np.trace(rows @ likelier.covariance @ rows.T) for rows in wanted]
    precision = np.linalg.inv(likelier.covariance)
    found = []
    for name, rows in tests.items():
        stacked = np.concatenate(rows)
        after = np.linalg.inv(precision + stacked.T @ stacked)
        left = [np.trace(w @ after @ w.T) / b for w, b in zip(wanted, before, strict=True)]
        found.append(NextTest(name, float(1.0 - np.mean(left))))
    return sorted(found, key=lambda one: -one.gain)


@dataclass(frozen=True)
class Cause:
    """One explanation of what was seen, its probability, and the test that would tell it apart."""

    name: str
    probability: float
    test: str


#: Causes with the share that each has before anything was seen (our choice, no source), and the
#: test that tells it from the others.
_CAUSES = {
    "chance: nothing but the arrows' own difference and the shots' scatter": (
        0.2,
        "shoot more of each; chance goes as they add up",
    ),
    "sight or cant: both arrows off alike": (
        0.25,
        "walk-back: cant grows with the drop, the sight with the distance",
    ),
    "yaw or pitch rate: the nose turns as the arrow leaves": (
        0.4,
        "a rest move; the bare shaft moves more than the fletched",
    ),
    "not explained by the model: contact, spine, a bent or flawed shaft": (
        0.15,
        "powder on vanes and rest; another bare shaft; the same shaft turned in the nock",
    ),
}
_HELD = 0.02  # share of a spread that counts as nothing
_CONTACT_WIDER = 5.0  # such faults scatter what is seen this many times wider


def causes(tuner: Tuner, turn: Turn) -> list[Cause]:
    """Which explanations fit, in probabilities that add up to 1, likeliest first.

    Each is the same inference with other things allowed: by chance neither nose nor sight is off;
    by sight or cant only the direction (at one distance the two look alike); by yaw rate
    everything; and "not explained" takes what was seen
    as several times less exact than it is, so that it wins only where nothing else fits. Weighed by
    their evidence (as the components are). Contact and spine are never seen as such, only as what
    is left over.
    """
    data = turn.data
    if turn.error_inflation > 1.0:
        # as sharp as they were before they were believed less
        data = [one.inflated(1.0 / turn.error_inflation) for one in data]
    if not data:
        before = [Cause(name, share, test) for name, (share, test) in _CAUSES.items()]
        return sorted(before, key=lambda one: -one.probability)
    either = [
        _evidence(tuner, _tight(tuner.prior, sight=held), data, 1.0)
        for held in ((False, True), (True, False), (False, False))
    ]
    logs = [
        _evidence(tuner, _tight(tuner.prior, sight=(True, True)), data, 1.0),
        # windage (or cant), elevation, or both
        float(np.logaddexp.reduce(either) - np.log(len(either))),
        _evidence(tuner, tuner.prior, data, 1.0),
        _evidence(tuner, tuner.prior, data, _CONTACT_WIDER),
    ]
    shares = np.array([share for share, _ in _CAUSES.values()])
    weights = shares * np.exp(np.array(logs) - max(logs))
    weights /= weights.sum()
    found = [
        Cause(name, float(weight), test)
        for (name, (_, test)), weight in zip(_CAUSES.items(), weights, strict=True)
    ]
    return sorted(found, key=lambda one: -one.probability)


def _tight(prior: Prior, *, sight: tuple[bool, bool]) -> Prior:
    """The prior with the nose's launch errors held at nothing, and the sight's if so."""

    def held(one: Component) -> Component:
        scale = np.ones(one.mean.size)
        for axis in range(2):
            at = axis * len(PER_AXIS)
            scale[at : at + 2] = _HELD
            if sight[axis]:
                scale[at + 2] = _HELD
        return replace(one, covariance=one.covariance * np.outer(scale, scale))

    return Prior(tuple(held(one) for one in prior.components), prior.share_right)


def _evidence(tuner: Tuner, prior: Prior, data: Sequence[SettingData], wider: float) -> float:
    """Logarithm of the evidence of all that was seen, up to a constant."""
    return fit(tuner.shooter, prior, [one.inflated(wider) for one in data]).log_evidence
