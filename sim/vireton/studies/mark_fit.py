"""Sight marks from a few shot-in ones: a fit of speed, drag and sight, with bands."""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig, vary
from vireton.studies.fitting import Gaussian, Linearized, descend, error_inflation
from vireton.studies.marks import Marksman, Trial
from vireton.uncertain import DEFAULT_DRAWS, DEFAULT_SEED, latin_hypercube
from vireton.units.numbers import INCH, YARD
from vireton.units.problems import InputProblem

#: m, standard deviation of the line of sight's height above the arrow: an eighth of an inch, what a
#: ruler held to peep and arrow tells (our choice).
HEIGHT_ERROR = INCH / 8.0

#: The least that drag is taken to be uncertain by, one standard deviation: a measured drag
#: coefficient too is measured (our choice).
_LEAST_DRAG_ERROR = 0.03

_INTERVAL = 1.959963984540054  # standard normal, 97.5 %
_ROUNDS = 20
_STEP = 0.05  # of a standard deviation, for slopes: far above what a flight's own error does


@dataclass(frozen=True)
class ShotMark:
    """A mark found by shooting: ``distance`` m, ``mark`` m on the bar, rising as the pin sinks."""

    distance: float
    mark: float


@dataclass(frozen=True)
class MarkPrior:
    """What is known before: a trial, and the standard deviation of each of its numbers.

    ``reading`` m of a mark on the bar; ``aiming`` rad, how well a shot-in mark is centered on the
    group.
    """

    nominal: Trial
    spread: Trial
    reading: float
    aiming: float


@dataclass(frozen=True)
class Known:
    """A number after the fit, its standard deviation, and the one that it had before."""

    value: float
    sd: float
    sd_before: float

    @property
    def interval(self) -> tuple[float, float]:
        """95 % interval."""
        return self.value - _INTERVAL * self.sd, self.value + _INTERVAL * self.sd


@dataclass(frozen=True)
class MarkFit:
    """The fit. ``offset`` m is the mark of a pin that looks along the bore line.

    ``correlation`` of speed and drag after the fit; ``misfit`` the probability of a misfit as large
    as this by chance, nan with one mark; ``error_inflation`` the factor on all errors that a misfit
    asked for; ``residuals`` (n,) m, shot mark minus fitted one.
    """

    offset: float
    radius: Known
    speed: Known
    drag: Known
    height: Known
    correlation: float
    misfit: float
    error_inflation: float
    residuals: FloatArray
    values: FloatArray
    covariance: FloatArray

    @property
    def trial(self) -> Trial:
        """The likeliest numbers."""
        return Trial(self.radius.value, self.speed.value, self.drag.value, self.height.value)


@dataclass(frozen=True)
class Marks:
    """Marks at ``distance`` (n,) m with their 95 % intervals; ``gap`` (n − 1,) to the one before.

    m on the bar. The interval is of where the pin should stand, without the error of reading it.
    """

    distance: FloatArray
    mark: FloatArray
    low: FloatArray
    high: FloatArray
    gap: FloatArray
    gap_low: FloatArray
    gap_high: FloatArray


Elevations = Callable[[FloatArray, Trial], FloatArray]

#: The numbers of a trial, in the order of the fit's vector after the offset.
_NAMES = ("radius", "speed", "drag", "height")


def _trial(values: FloatArray, prior: MarkPrior) -> Trial:
    """Standard deviations from the nominal → a trial; ``values[0]`` is the offset, m."""
    numbers = {
        name: getattr(prior.nominal, name) + float(z) * getattr(prior.spread, name)
        for name, z in zip(_NAMES, values[1:], strict=True)
    }
    # a fit that is led astray must still fly
    numbers["drag"] = max(numbers["drag"], 0.05)
    return Trial(**numbers)


def _marks(
    elevations: Elevations, distances: FloatArray, values: FloatArray, prior: MarkPrior
) -> FloatArray:
    """Marks (n,) m: the pin hangs radius × tan(elevation) below where it looks along the bore."""
    trial = _trial(values, prior)
    return np.asarray(values[0] + trial.radius * np.tan(elevations(distances, trial)))


def _slopes(
    elevations: Elevations, distances: FloatArray, values: FloatArray, prior: MarkPrior
) -> tuple[FloatArray, FloatArray]:
    """Marks (n,) and their slopes (n, 5) by the offset and the four numbers."""
    here = _marks(elevations, distances, values, prior)
    columns = [np.ones(distances.size)]
    for i in range(1, values.size):
        moved = values.copy()
        moved[i] += _STEP
        columns.append((_marks(elevations, distances, moved, prior) - here) / _STEP)
    return here, np.column_stack(columns)


def fit_marks(elevations: Elevations, shots: Sequence[ShotMark], prior: MarkPrior) -> MarkFit:
    """Fit offset, radius, speed, drag and height to the shot marks by least squares.

    Args:
        elevations: rad at distances for a trial, :meth:`vireton.studies.marks.Marksman.elevations`.
        shots: one or more; all are weighed by their reading and aiming errors.
        prior: Gaussian, about nothing for the offset.

    By :mod:`vireton.studies.fitting`, the errors inflated where the misfit is beyond chance. Raises
    InputProblem without a shot, or where the marks run against the convention that farther is a
    larger number.
    """
    if not shots:
        raise InputProblem("no shot-in mark is given")
    _check_order(shots)
    distances = np.array([one.distance for one in shots])
    seen = np.array([one.mark for one in shots])
    error = math.hypot(prior.reading, prior.nominal.radius * prior.aiming)

    def system(values: FloatArray) -> tuple[FloatArray, FloatArray]:
        model, slopes = _slopes(elevations, distances, values, prior)
        # nothing is known of the offset; the others are counted in their own standard deviations
        residuals = np.concatenate([(seen - model) / error, -values[1:]])
        return residuals, np.vstack([slopes / error, np.eye(values.size)[1:]])

    start = np.zeros(1 + len(_NAMES))
    start[0] = seen[0] - _marks(elevations, distances[:1], start, prior)[0]
    among = Gaussian(np.zeros(start.size), np.zeros((start.size, start.size)))
    before = found = first = Linearized(start, *system(start), among)
    for before, found in descend(system, first, _ROUNDS, damped=False):
        change = np.abs(found.at - before.at)
        if change[1:].max() < 1e-6 and change[0] < 1e-9:
            break
    misfit, inflation = error_inflation(found.cost, len(shots) - 1)
    if inflation > 1.0:
        inflation *= _student(len(shots) - 1)
    covariance, residuals = before.covariance * inflation**2, found.residuals[: seen.size] * error
    return _fit(found.at, covariance, prior, misfit, inflation, residuals)


def _student(degrees: int) -> float:
    """Student's 95 % interval over the normal one, for a scatter estimated from few shots."""
    from scipy.special import stdtrit  # noqa: PLC0415 (slow to import, and seldom needed)

    return float(stdtrit(degrees, 0.975)) / _INTERVAL


def _fit(
    values: FloatArray,
    covariance: FloatArray,
    prior: MarkPrior,
    misfit: float,
    inflation: float,
    residuals: FloatArray,
) -> MarkFit:
    trial, sd = _trial(values, prior), np.sqrt(np.diag(covariance))
    known = {}
    for i, name in enumerate(_NAMES, start=1):
        size = getattr(prior.spread, name)
        known[name] = Known(getattr(trial, name), float(sd[i]) * size, size)
    speed, drag = 1 + _NAMES.index("speed"), 1 + _NAMES.index("drag")
    return MarkFit(
        offset=float(values[0]),
        **known,
        correlation=float(covariance[speed, drag] / (sd[speed] * sd[drag])),
        misfit=misfit,
        error_inflation=inflation,
        residuals=residuals,
        values=values,
        covariance=covariance,
    )


def _check_order(shots: Sequence[ShotMark]) -> None:
    ordered = sorted(shots, key=lambda one: one.distance)
    near, far = ordered[0], ordered[-1]
    # nearer than some 15 yd marks turn round: the line of sight starts above the arrow
    if far.distance > 1.5 * near.distance and far.distance > 25.0 and far.mark <= near.mark:
        raise InputProblem(
            f"the mark for {far.distance / YARD:.4g} yd ({far.distance:.4g} m) is not larger "
            f"than that for {near.distance / YARD:.4g} yd ({near.distance:.4g} m): the number on "
            "the bar must rise as the pin goes down. If yours falls, say so with --falling"
        )


def marks_at(
    elevations: Elevations, distances: FloatArray, fit: MarkFit, prior: MarkPrior
) -> Marks:
    """Marks at ``distances`` (n,) m with the bands that the fit leaves."""
    mark, slopes = _slopes(elevations, distances, fit.values, prior)

    def half(rows: FloatArray) -> FloatArray:
        return np.asarray(_INTERVAL * np.sqrt(np.sum((rows @ fit.covariance) * rows, axis=1)))

    wide, gap, gap_wide = half(slopes), np.diff(mark), half(np.diff(slopes, axis=0))
    return Marks(distances, mark, mark - wide, mark + wide, gap, gap - gap_wide, gap + gap_wide)


@dataclass(frozen=True)
class Check:
    """A mark kept out of the fit: what was shot, what is expected, and the 95 % of a new one."""

    shot: ShotMark
    expected: float
    low: float
    high: float

    @property
    def fits(self) -> bool:
        """Whether it lies within that interval."""
        return self.low <= self.shot.mark <= self.high


def check_marks(
    elevations: Elevations, kept: Sequence[ShotMark], fit: MarkFit, prior: MarkPrior
) -> list[Check]:
    """Kept-out marks against the fit; a new mark has its reading and aiming error on top."""
    if not kept:
        return []
    found = marks_at(elevations, np.array([one.distance for one in kept]), fit, prior)
    own = 1.96 * math.hypot(prior.reading, prior.nominal.radius * prior.aiming)
    checks = []
    for shot, value, high in zip(kept, found.mark, found.high, strict=True):
        half = math.hypot(float(high - value), own)
        checks.append(Check(shot, float(value), float(value) - half, float(value) + half))
    return checks


def mark_prior(
    rig: Rig,
    marksman: Marksman,
    ranges: Mapping[str, tuple[float, float]],
    *,
    radius: float,
    radius_error: float,
    reading: float,
    aiming: float,
    reach: float,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    progress: Callable[[Sequence[dict[str, float]]], Iterable[dict[str, float]]] = iter,
) -> MarkPrior:
    """What the setup says before any mark is shot.

    Args:
        rig: nominal.
        marksman: of that rig.
        ranges: the setup's plausible ranges; flat over each, so an SD of width/√12.
        radius: m, peep to pin.
        radius_error: m, one standard deviation.
        reading: m, one standard deviation of a mark on the bar.
        aiming: rad, one standard deviation of a group's center.
        reach: m, where the drag's uncertainty is looked at.
        draws: plausible rigs behind the drag's uncertainty.
        seed: of the draws.
        progress: wraps the draws, to show how far the work is.

    The drag's standard deviation is what the plausible ranges of the flight model do to the speed
    lost on the way to ``reach``.
    """
    speed = rig.bow.arrow_speed
    low, high = ranges.get("arrow_speed", (speed, speed))
    others = {name: pair for name, pair in ranges.items() if name != "arrow_speed"}
    nominal = Trial(radius, speed)

    def lost(one: Marksman) -> float:
        return math.log(speed / one.speed_left(reach, nominal))

    own = lost(marksman)
    shares = [
        lost(Marksman(vary(rig, values), radius, reach)) / own
        for values in progress(latin_hypercube(others, draws, seed) if others else [])
    ]
    spread = float(np.std(shares)) if shares else 0.0
    return MarkPrior(
        nominal=nominal,
        spread=replace(
            nominal,
            radius=radius_error,
            speed=(high - low) / math.sqrt(12.0),
            drag=max(spread, _LEAST_DRAG_ERROR),
            height=HEIGHT_ERROR,
        ),
        reading=reading,
        aiming=aiming,
    )
