"""Where the arrows of a setup file land: as the model has it, and with the nose turned round."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from vireton.bow.arrow import Arrow
from vireton.flight.volley import shoot_volley, start_of
from vireton.kernel.arrays import FloatArray
from vireton.kernel.door import DEFAULT_TOLERANCE
from vireton.kernel.start import START
from vireton.report.cases import ROUGH, Case, Seen, bodies_in_wind, symmetric
from vireton.rig import Rig, vary
from vireton.studies.experience import weigh
from vireton.tuning.causes import resampled
from vireton.tuning.observations import ArrowKind
from vireton.tuning.prior import sign_belief
from vireton.uncertain import DEFAULT_SEED
from vireton.units.numbers import INCH

#: Plausible rigs behind the covariances: each flies from every place of the sliders.
DRAWS = 32

_PROBE = INCH / 32.0  # m of rest that shows a gain

#: What a start's nose is told by, sideways.
_NOSE = [START.index("yaw"), START.index("yaw_rate")]
_TURN = START.index("yaw_rate")


def _arrow(rig: Rig, kind: ArrowKind) -> Arrow:
    return rig.bare if kind == "bare" else rig.fletched


@dataclass(frozen=True)
class _Shape:
    """Starts of one arrow of one rig: (15,) as it stands, and the changes by a rest move, per m."""

    still: FloatArray
    by_right: FloatArray
    by_up: FloatArray

    @staticmethod
    def of(rig: Rig, arrow: Arrow) -> "_Shape":
        def start(right: float, up: float) -> FloatArray:
            return start_of(rig.launch(arrow, right, up), rig.aim, arrow.balance)

        still = start(0.0, 0.0)
        return _Shape(
            still, (start(_PROBE, 0.0) - still) / _PROBE, (start(0.0, _PROBE) - still) / _PROBE
        )

    def turned(self) -> "_Shape":
        """With a nose that turns to the other side; the group as a whole goes with the rest."""
        other = self.by_right.copy()
        other[_NOSE] *= -1.0
        return _Shape(self.still, other, self.by_up)

    def starts(self, moves: FloatArray) -> FloatArray:
        """(m, 15) for rest moves (m, 2)."""
        return np.asarray(self.still + moves[:, :1] * self.by_right + moves[:, 1:] * self.by_up)


@dataclass(frozen=True)
class RigCase:
    """A rig, and the plausible ones like it, whose nose turns to one side.

    Places are measured from the line of sight (from the bore line without a sight-in), as ``fly``
    does. The covariance is that of the plausible rigs about this one: no shot scatter.
    """

    rig: Rig
    drawn: tuple[Rig, ...]
    distances: FloatArray
    weight: float
    nose: int

    @property
    def kinds(self) -> tuple[ArrowKind, ...]:
        """Without vanes there is only the bare shaft."""
        return ("fletched", "bare") if self.rig.fletched.is_fletched else ("bare",)

    def places(self, kind: ArrowKind, settings: FloatArray) -> FloatArray:
        """Real flights from real launches. See :class:`~vireton.report.cases.Case`."""
        arrow = _arrow(self.rig, kind)
        starts = self._starts(arrow, settings[:, :2])
        bodies = bodies_in_wind(
            self.rig, kind, float(starts[0, START.index("speed")]), settings[:, 2]
        )
        return self._shoot(starts, np.array(bodies), arrow)

    def _starts(self, arrow: Arrow, moves: FloatArray) -> FloatArray:
        """Sideways and up are launched apart: neither changes the other, and launches cost most."""

        def start(right: float, up: float) -> FloatArray:
            return start_of(self.rig.launch(arrow, right, up), self.rig.aim, arrow.balance)

        still = start(0.0, 0.0)
        by_right = {right: start(right, 0.0) - still for right in set(moves[:, 0])}
        by_up = {up: start(0.0, up) - still for up in set(moves[:, 1])}
        sideways = np.array([by_right[right] for right in moves[:, 0]])
        if _nose_gain(self.rig) * self.nose < 0.0:
            sideways[:, _NOSE] *= -1.0
        return np.asarray(still + sideways + np.array([by_up[up] for up in moves[:, 1]]))

    def _shoot(
        self,
        starts: FloatArray,
        bodies: FloatArray,
        arrow: Arrow,
        tolerance: float = DEFAULT_TOLERANCE,
    ) -> FloatArray:
        volley = shoot_volley(
            starts,
            bodies,
            arrow.total_length - arrow.balance,
            self.distances,
            self.rig.bow.brace_height,
            tolerance=tolerance,
        )
        return np.stack([volley.right, volley.up], axis=-1)

    def covariances(self, seen: Seen, settings: FloatArray) -> FloatArray:
        """Second moments of the plausible rigs about this one, (m, n, 2, 2) m²."""
        if seen == "apart":
            off = self._off("bare", settings) - self._off("fletched", settings)
        else:
            off = self._off(seen, settings)
        return symmetric(np.einsum("dmna,dmnb->mnab", off, off) / len(off))

    def _off(self, kind: ArrowKind, settings: FloatArray) -> FloatArray:
        """How far each plausible rig's arrow lands off this one's, (draws, m, n, 2) m."""
        key = (kind, settings.tobytes())
        if key in self._known:
            return self._known[key]
        arrow = _arrow(self.rig, kind)
        starts, bodies = [], []
        for rig, shape in zip(self.drawn, self._shapes[kind], strict=True):
            one = shape.starts(settings[:, :2])
            starts.append(one)
            bodies += bodies_in_wind(rig, kind, float(one[0, START.index("speed")]), settings[:, 2])
        landed = self._shoot(np.concatenate(starts), np.array(bodies), arrow, ROUGH)
        landed = landed.reshape(len(self.drawn), len(settings), len(self.distances), 2)
        self._known[key] = landed - self.places(kind, settings)
        return self._known[key]

    @cached_property
    def _known(self) -> dict[tuple[ArrowKind, bytes], FloatArray]:
        return {}

    @cached_property
    def _shapes(self) -> dict[ArrowKind, list[_Shape]]:
        """Of the plausible rigs, those that answer to the other side turned round."""
        turns = [_nose_gain(rig) * self.nose < 0.0 for rig in self.drawn]

        def shapes(kind: ArrowKind) -> list[_Shape]:
            found = (_Shape.of(rig, _arrow(rig, kind)) for rig in self.drawn)
            return [one.turned() if t else one for one, t in zip(found, turns, strict=True)]

        return {kind: shapes(kind) for kind in self.kinds}


def _nose_gain(rig: Rig) -> float:
    """Which way rest right turns the fletched arrow's nose, rad/s per m, and so the bare one's."""
    return float(_Shape.of(rig, rig.fletched).by_right[_TURN])


def cases_of_rig(
    rig: Rig,
    ranges: Mapping[str, tuple[float, float]],
    distances: FloatArray,
    *,
    draws: int = DRAWS,
    seed: int = DEFAULT_SEED,
) -> list[Case]:
    """Both ways in which this rig may answer sideways: as the model has it, and the other way.

    Args:
        rig: sighted in.
        ranges: plausible ranges by the keys of :data:`vireton.uncertain.inputs.INPUTS`.
        distances: (n,) m.
        draws: plausible rigs for the covariance.
        seed: of those draws.

    The weights are those with which a tuning begins, see :mod:`vireton.tuning.prior`.
    """
    weighed = weigh(rig, ranges, draws=draws, seed=seed)
    nose_right = [_nose_gain(vary(rig, values)) > 0.0 for values in weighed.values]
    share, after = float(np.mean(nose_right)), float(weighed.weights @ nose_right)
    right = sign_belief(rig, share, after)
    drawn = tuple(vary(rig, values) for values in resampled(weighed.values, weighed.weights, draws))
    where = np.atleast_1d(np.asarray(distances, dtype=float))
    return [
        RigCase(rig, drawn, where, weight, nose) for weight, nose in ((right, 1), (1.0 - right, -1))
    ]
