"""A broadhead against the field point: where it lands, what launch errors and vanes do to it."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from vireton.bow.arrow import Arrow, with_vanes
from vireton.flight.flight import Flight, fly_prepared, prepare
from vireton.flight.stability import static_margin
from vireton.kernel.arrays import FloatArray
from vireton.launch import Launch
from vireton.rig import Rig, vary
from vireton.studies.rest_moves import Ranges, Watched
from vireton.uncertain import (
    DEFAULT_DRAWS,
    DEFAULT_SEED,
    Banded,
    band,
    latin_hypercube,
    variance_shares,
)
from vireton.units.problems import InputProblem

#: Launch errors small enough to answer in proportion: on the demo arrow within 0.4 % of vanishing
#: ones at 40 yd; four times as large are within 4 %, ten times within 13 %.
_PROBE_RATE = 0.05  # rad/s
_PROBE_YAW = math.radians(0.1)

#: Where vanes are compared, m: 40 yd, some two waves of yaw downrange (our choice).
VANE_DISTANCE = 36.576

#: Vanes are tried from this to that share of their present height.
LOWEST, HIGHEST = 0.25, 3.0


@dataclass(frozen=True)
class VanesNeeded:
    """What other vanes do to the broadhead's answer to a launch yaw rate, at ``distance`` m.

    ``to_halve`` and ``to_match`` are shares of the present vane height, the length as it is (the
    lift of a low vane goes with the square of its height and hardly with its length). With the
    first, broadhead and field point, both on such vanes, part half as much as today; with the
    second the broadhead answers as the field point does today. A share at :data:`HIGHEST` or
    :data:`LOWEST` means that much or beyond; nan: some vanes between them do not carry the arrow to
    ``distance``. ``one_more`` is the share of today's separation that one more vane of the same
    kind leaves. ``point_per_rate`` and ``broadhead_per_rate`` are
    today's drifts sideways, m per rad/s. All are bands of shape ().
    """

    distance: float
    point_per_rate: Banded
    broadhead_per_rate: Banded
    to_halve: Banded
    to_match: Banded
    one_more: Banded


@dataclass(frozen=True)
class BroadheadAnswer:
    """Broadhead minus field point at ``distance`` (n,) m, the sight set with the field point.

    ``separation`` (n, 2) m (right, up) as the bow shoots them; ``straight`` the same from a launch
    without yaw, pitch and rates: what drag leaves, and the broadhead's nose that follows the
    falling path later. ``per_yaw_rate`` (n,) m per rad/s and ``per_yaw`` (n,) m per rad: what a
    launch error, nose right, adds to the separation to the right; nose up adds about as much
    upwards. ``point_margin`` and ``broadhead_margin`` m, of shape (): static margins, see
    :func:`vireton.flight.stability.static_margin`. ``deciders`` tell which inputs decide the launch
    yaw rate that opens a given separation at the last distance.
    """

    distance: FloatArray
    separation: Banded
    straight: Banded
    per_yaw_rate: Banded
    per_yaw: Banded
    point_margin: Banded
    broadhead_margin: Banded
    vanes: VanesNeeded
    deciders: dict[str, float]
    draws: int


def margin_with_broadhead(rig: Rig) -> float | None:
    """Static margin of the broadhead arrow as this bow shoots it, m; None without one."""
    if rig.broadhead is None:
        return None
    speed = rig.stroke.speed_of(rig.broadhead.mass)
    return static_margin(prepare(rig.broadhead, speed, rig.conditions), speed)


def answer_broadhead(
    rig: Rig,
    distances: npt.ArrayLike,
    ranges: Ranges,
    *,
    vane_distance: float = VANE_DISTANCE,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    progress: Watched = iter,
) -> BroadheadAnswer:
    """Compare the broadhead with the field point of the same arrow.

    Args:
        rig: sighted in with the field point.
        distances: (n,) m.
        ranges: plausible ranges by the keys of :data:`vireton.uncertain.inputs.INPUTS`.
        vane_distance: m, where the need of vanes is worked out.
        draws: how many plausible rigs the bands come from.
        seed: of the draws.
        progress: wraps the rigs, to show how far the work is.

    Raises InputProblem where the setup has no broadhead or no vanes.
    """
    if rig.broadhead is None:
        raise InputProblem(
            "the setup file has no broadhead: give the table [arrow.broadhead] beside [arrow.point]"
        )
    where = np.atleast_1d(np.asarray(distances, dtype=float))
    drawn = latin_hypercube(ranges, draws, seed)
    rigs = [rig, *(vary(rig, values) for values in drawn)]
    found = [_compare(one, where, vane_distance) for one in progress(rigs)]

    def banded(name: str) -> Banded:
        values = [np.asarray(getattr(one, name)) for one in found]
        return band(values[0], values[1:])

    with np.errstate(divide="ignore"):
        last = 1.0 / np.array([one.per_yaw_rate[-1] for one in found[1:]])
    return BroadheadAnswer(
        distance=where,
        separation=banded("separation"),
        straight=banded("straight"),
        per_yaw_rate=banded("per_yaw_rate"),
        per_yaw=banded("per_yaw"),
        point_margin=banded("point_margin"),
        broadhead_margin=banded("broadhead_margin"),
        vanes=VanesNeeded(
            distance=vane_distance,
            point_per_rate=banded("point_per_rate"),
            broadhead_per_rate=banded("broadhead_per_rate"),
            to_halve=banded("to_halve"),
            to_match=banded("to_match"),
            one_more=banded("one_more"),
        ),
        deciders=variance_shares(drawn, last) if np.isfinite(last).all() else {},
        draws=draws,
    )


class _NeverThereError(Exception):
    """An arrow does not get to where it is asked about."""


@dataclass(frozen=True)
class _Comparison:
    """The numbers of :class:`BroadheadAnswer` and :class:`VanesNeeded` for one rig."""

    separation: FloatArray
    straight: FloatArray
    per_yaw_rate: FloatArray
    per_yaw: FloatArray
    point_margin: float
    broadhead_margin: float
    point_per_rate: float
    broadhead_per_rate: float
    to_halve: float
    to_match: float
    one_more: float


class _Shooter:
    """One arrow on one rig, packed once, for many launches."""

    def __init__(self, rig: Rig, arrow: Arrow, launch: Launch) -> None:
        self.rig, self.arrow, self.launch = rig, arrow, launch
        self.body = prepare(arrow, launch.speed, rig.conditions)

    def shoot(self, where: npt.ArrayLike, yaw: float = 0.0, yaw_rate: float = 0.0) -> Flight:
        """Fly with these errors added to its launch."""
        start = self.launch
        return self._fly(
            replace(start, yaw=start.yaw + yaw, yaw_rate=start.yaw_rate + yaw_rate), where
        )

    def shoot_straight(self, where: npt.ArrayLike) -> Flight:
        """Fly from a launch of the same direction without yaw, pitch or rates."""
        return self._fly(
            replace(self.launch, yaw=0.0, pitch=0.0, yaw_rate=0.0, pitch_rate=0.0), where
        )

    def _fly(self, launch: Launch, where: npt.ArrayLike) -> Flight:
        rig = self.rig
        return fly_prepared(self.arrow, self.body, launch, where, rig.aim, rig.bow.brace_height)

    def per_rate(self, where: npt.ArrayLike) -> FloatArray:
        """Drift to the right per launch yaw rate, m per rad/s."""
        there, back = (self.shoot(where, yaw_rate=way * _PROBE_RATE).right for way in (1.0, -1.0))
        return np.asarray((there - back) / (2.0 * _PROBE_RATE))

    def per_yaw(self, where: npt.ArrayLike) -> FloatArray:
        """Drift to the right per launch yaw, m per rad."""
        there, back = (self.shoot(where, yaw=way * _PROBE_YAW).right for way in (1.0, -1.0))
        return np.asarray((there - back) / (2.0 * _PROBE_YAW))


def _apart(head: Flight, field: Flight) -> FloatArray:
    return np.column_stack([head.right - field.right, head.up - field.up])


def _compare(rig: Rig, where: FloatArray, vane_distance: float) -> _Comparison:
    assert rig.broadhead is not None
    field = _Shooter(rig, rig.fletched, rig.launch(rig.fletched))
    head = _Shooter(rig, rig.broadhead, rig.launch(rig.broadhead))
    to_halve, to_match, one_more = _other_vanes(field, head, vane_distance)
    return _Comparison(
        separation=_apart(head.shoot(where), field.shoot(where)),
        straight=_apart(head.shoot_straight(where), field.shoot_straight(where)),
        per_yaw_rate=head.per_rate(where) - field.per_rate(where),
        per_yaw=head.per_yaw(where) - field.per_yaw(where),
        point_margin=static_margin(field.body, field.launch.speed),
        broadhead_margin=static_margin(head.body, head.launch.speed),
        point_per_rate=float(field.per_rate([vane_distance])[0]),
        broadhead_per_rate=float(head.per_rate([vane_distance])[0]),
        to_halve=to_halve,
        to_match=to_match,
        one_more=one_more,
    )


def _revaned(shooter: _Shooter, height: float = 1.0, more: int = 0) -> _Shooter:
    """The same arrow with vanes ``height`` times as high, or with ``more`` of them."""
    arrow, rig = shooter.arrow, shooter.rig
    now = arrow.parts.vanes
    assert now is not None
    vanes = replace(now, height=height * now.height, mass=height * now.mass, count=now.count + more)
    other = with_vanes(arrow, vanes)
    # the launch errors stay those of the arrow as it is: only the speed follows the mass
    speed = rig.stroke.speed_of(other.mass)
    return _Shooter(rig, other, replace(shooter.launch, speed=speed))


def _other_vanes(field: _Shooter, head: _Shooter, distance: float) -> tuple[float, float, float]:
    """Heights that halve and that match (see VanesNeeded), and what one more vane leaves."""
    from scipy.optimize import brentq  # noqa: PLC0415 (costs 0.5 s, needed here alone)

    there = [distance]
    own = float(field.per_rate(there)[0])
    apart = float(head.per_rate(there)[0]) - own

    def left(height: float = 1.0, more: int = 0) -> float:
        pair = [float(_revaned(one, height, more).per_rate(there)[0]) for one in (head, field)]
        return (pair[0] - pair[1]) / apart

    def above(height: float) -> float:
        return float(_revaned(head, height).per_rate(there)[0]) / own - 1.0

    def crossing(excess: Callable[[float], float]) -> float:
        def known(height: float) -> float:
            found = excess(height)
            if not math.isfinite(found):
                raise _NeverThereError
            return found

        try:
            if known(HIGHEST) >= 0.0:
                return HIGHEST
            if known(LOWEST) <= 0.0:
                return LOWEST
            return float(brentq(known, LOWEST, HIGHEST, xtol=1e-3))
        except _NeverThereError:
            return math.nan

    return crossing(lambda height: left(height) - 0.5), crossing(above), left(more=1)
