"""All that was seen, as arrays: one entry a row, right and up together as right + i·up."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from vireton.bow.setting import BowSetting
from vireton.kernel.arrays import ComplexArray, FloatArray
from vireton.tuning.flown import Entries, Flown
from vireton.tuning.observations import Measurement
from vireton.tuning.rounds import Round
from vireton.tuning.surface import RATE
from vireton.units.numbers import INCH

#: rad, how far the sight may stand elsewhere at a later setting, or with another pin: wide enough
#: that then only what is between bare and fletched counts (our choice).
SIGHT_MOVED = 0.02
#: m: how far from where it was meant to the rest stands after a move, one standard deviation (our
#: choice, no source); and rad/s that a m of rest turns an arrow, to say what that does to it.
REST_PLAY, _USUAL_GAIN = 0.004 * INCH, 380.0
#: rad: where a broadhead that is not quite straight goes by itself, some inch at 20 yd; and how far
#: the model's answer of a broadhead may be off, as a share (our choice, no source).
BROADHEAD_ALONE, BROADHEAD_DOUBT = 0.0014, 0.3
#: How many times more or less than it is thought a shooter may scatter, and the share of each
#: (our choice, no source).
SCATTERS = ((0.6, 0.25), (1.0, 0.5), (1.7, 0.25))

_SAME_DISTANCE = 0.5  # m


def rest_of(setting: BowSetting) -> complex:
    """Where the rest stands as an arrow sees it: a nock that is high is a rest that is low."""
    return complex(setting.rest_right, setting.rest_up - setting.nock_height)


@dataclass(frozen=True)
class Evidence:
    """What was seen: n entries.

    ``planes``: the formulas of each, and the launch that the rig itself gives it. ``values`` (n,)
    complex, m; ``settings`` (n,) complex, m of rest from the first setting;
    ``rounds`` (n,) numbers; ``moves``: by number of the round that it begins, the rest move
    (complex); ``shifted`` (n,): 1 where the bow is known to be off from where the log has it;
    ``variances`` (n, t) m² of either axis, one for each of :data:`SCATTERS`; ``away`` (n,) m of
    targets, 0 of paper; ``aimed`` m, for which the sight was set. ``inside`` (t,): logarithm of the
    evidence, at each scatter, of what was taken together. ``axes`` (n, 2): 1 for an axis that was
    seen, 0 for one that was not; rows of a film are in rad/s or rad where others are in m.
    """

    planes: Entries
    values: ComplexArray
    settings: ComplexArray
    rounds: npt.NDArray[np.int64]
    moves: dict[int, complex]
    shifted: FloatArray
    variances: FloatArray
    away: FloatArray
    aimed: float
    inside: FloatArray
    axes: FloatArray

    @property
    def typed(self) -> npt.NDArray[np.bool_]:
        """(n,) whether somebody wrote the value itself: not so of films, which see one axis."""
        return np.asarray(self.axes.all(axis=1))

    @property
    def film_errors(self) -> list[float]:
        """rad/s, one standard deviation of the rate of each film."""
        # a film is two entries, the rate first
        return [float(one) for one in np.sqrt(self.variances[~self.typed, 0][::2])]

    @property
    def count(self) -> int:
        """Of entries."""
        return len(self.values)

    def inflated(self, factor: float) -> "Evidence":
        """The same with all errors ``factor`` times as large."""
        return replace(self, variances=self.variances * factor**2)

    @cached_property
    def whiteners(self) -> FloatArray:
        """(t, n, n): turn what was seen into standard deviations, the same on both axes."""
        return _whitened(self._covariance)

    @cached_property
    def whiteners_by_axis(self) -> tuple[FloatArray, FloatArray]:
        """The same for what was seen right and for what was seen up; one array where all was.

        What was not seen has nothing to do with what was.
        """
        if self.axes.all():
            return self.whiteners, self.whiteners
        right, up = (
            np.where(seen[:, None] * seen, self._covariance, np.eye(self.count))
            for seen in self.axes.T
        )
        return _whitened(right), _whitened(up)

    @cached_property
    def _covariance(self) -> FloatArray:
        answers = _USUAL_GAIN * self.planes.coefficients[:, 1]
        return _covariance(self.variances, self.settings, self.away, self.aimed, answers)

    def condensed(self, since: int) -> "Evidence":
        """The same, with what was seen alike before round ``since`` taken together.

        Nothing is lost: of one arrow at one setting and distance, means with their errors are
        enough. A log of a thousand rounds becomes one of some dozen entries.
        """
        alike: dict[tuple[object, ...], list[int]] = {}
        for k in range(self.count):
            old = self.rounds[k] < since and self.typed[k]
            places = np.round([self.settings[k].real, self.settings[k].imag], 9)
            p = self.planes
            arrow = (p.bare[k], complex(p.coefficients[k, 1]))
            what = (*places, *arrow, p.paper[k], p.far[k], self.shifted[k])
            alike.setdefault(what if old else (k,), []).append(k)
        if len(alike) == self.count:
            return self
        groups = list(alike.values())
        first = np.array([group[0] for group in groups])
        precisions = np.array([(1.0 / self.variances[group]).sum(axis=0) for group in groups])
        inside = self.inside - np.log(self.variances).sum(axis=0) - np.log(precisions).sum(axis=0)
        usual = [level for level, _ in SCATTERS].index(1.0)
        values = np.array(
            [np.average(self.values[g], weights=1.0 / self.variances[g, usual]) for g in groups]
        )
        for group, value in zip(groups, values, strict=True):
            apart = np.abs(self.values[group] - value) ** 2
            inside -= 0.5 * (apart[:, None] / self.variances[group]).sum(axis=0)
        return Evidence(
            self.planes.of(first),
            values,
            self.settings[first],
            self.rounds[first],
            self.moves,
            self.shifted[first],
            1.0 / precisions,
            self.away[first],
            self.aimed,
            inside,
            self.axes[first],
        )


def gathered(
    rounds: Sequence[Round], flown: Flown, spread_angle: float, start: complex | None = None
) -> Evidence:
    """The rounds that count, in order, as evidence.

    Args:
        rounds: between which only rest and nocking point moved.
        flown: the arrows of these rounds; shots of one that it has not say nothing.
        spread_angle: rad, one arrow on one axis.
        start: where the rest stood for what is known beforehand; without it, at the first round in
            which anything was measured.
    """
    told: list[tuple[int, complex, Measurement]] = []
    moves: dict[int, complex] = {}
    variances: list[list[float]] = []
    before = start
    for one in rounds:
        here = rest_of(one.setting)
        if before is not None and abs(here - before) > 1e-9:
            moves[one.number] = here - before
        before = here
        for seen in one.observations:
            if seen.speaks_of not in flown.shooter.shots:
                continue
            said = [seen.measurements(spread_angle * level, flown.shooter) for level, _ in SCATTERS]
            for levels in zip(*said, strict=True):
                told.append((one.number, here, levels[0]))
                variances.append([level.variance for level in levels])
    if start is None:
        start = told[0][1] if told else 0j
    planes = flown.planes(
        [(m.arrow, m.plane, m.distance) for _, _, m in told], [m.later for _, _, m in told]
    )
    own = np.array([_own_error(m, flown) for _, _, m in told])
    settings = np.array([here - start for _, here, _ in told], dtype=complex)
    return Evidence(
        planes,
        np.array([complex(*m.value) for _, _, m in told], dtype=complex),
        settings,
        np.array([number for number, _, _ in told], dtype=np.int64),
        moves,
        np.zeros(len(told)),
        np.array(variances).reshape(-1, len(SCATTERS)) + own.reshape(-1, 1),
        np.array([m.distance if m.plane == "target" else 0.0 for _, _, m in told]),
        flown.shooter.rig.sight.sight_in or 0.0,
        np.zeros(len(SCATTERS)),
        np.array([m.axes for _, _, m in told]).reshape(-1, 2),
    )


def _own_error(one: Measurement, flown: Flown) -> float:
    """m² of either axis that an arrow does by itself, beside what every measurement has."""
    if one.arrow != "broadhead":
        return 0.0
    apart = flown.surface("broadhead", "target", one.distance) - flown.surface(
        "fletched", "target", one.distance
    )
    answer = BROADHEAD_DOUBT * abs(apart[1]) * RATE
    return float((BROADHEAD_ALONE * one.distance) ** 2 + answer**2)


def _whitened(covariance: FloatArray) -> FloatArray:
    """Inverses of the Cholesky factors of covariances (t, n, n)."""
    return np.asarray(np.linalg.inv(np.linalg.cholesky(covariance)), dtype=float)


def _covariance(
    variances: FloatArray,
    settings: ComplexArray,
    away: FloatArray,
    aimed: float,
    answers: ComplexArray,
) -> FloatArray:
    """Of the errors, (t, n, n).

    Every value has its own error. Where the sight may not be that of the start (a later setting, or
    another distance than the one it was set for) both arrows at a distance share what it is off.
    All that was seen after a move shares how far it went astray; ``answers`` (n,) m a m of rest.
    """
    first = np.abs(settings) < 1e-9
    here = np.abs(settings[:, None] - settings[None, :]) < 1e-9
    astray = REST_PLAY**2 * (np.outer(answers, np.conj(answers)).real * here * ~first)
    free = (away > 0.0) & (~first | (np.abs(away - aimed) > _SAME_DISTANCE))
    together = here & (away[:, None] == away[None, :])
    shared = together & free[:, None] & free[None, :]
    common = shared * np.outer(SIGHT_MOVED * away, SIGHT_MOVED * away)
    own = variances.T[:, :, None] * np.eye(len(away))
    return np.asarray(own + common + astray, dtype=float)
