"""A second, independent launch model, to test the library's against and to make bows to tune.

It shares the physics with the library's launch and no code. The shaft is a chain of stiff bars
with springs at the joints (Hencky's bar chain; from memory), solved in full, without modes. Every
part of the arrow rides on its bar, so that mass, balance and inertia are exact. The thrust pushes
along tilted bars, which is the geometric stiffness. Time steps are classical Runge and Kutta's.

One plane at a time; y is across the bore line (right, or up), s runs forward from the nock throat.
Sideways the string holds the nock: stiffness thrust over stroke left, behind it one coordinate for
all that gives way with mass (cams, limb tips, axles). Up and down the nock stays on its path.
Angles are nose right or up, rad; rates rad/s; the direction is that of the balance point's flight.
"""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any, NamedTuple

import numba
import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

#: Where the string's tension may rise beyond its thrust: the last quarter of the stroke.
LAST_PART = 0.75
#: Below this share of the stroke left, thrust over stroke left is its value at that share.
_LEAST_LEFT = 1e-3
_QUADRATURE = 1000


class Launch(NamedTuple):
    """The rigid part of one plane at nock release: rad, rad/s, rad."""

    angle: float
    rate: float
    direction: float


class Rod(NamedTuple):
    """A part as a uniform rod: kg, from and to in m forward of the nock throat."""

    mass: float
    start: float
    end: float


@dataclass(frozen=True)
class Arrow:
    """``length`` m from the throat to the shaft's front end, ``stiffness`` EI in N·m², its parts.

    ``damping``: ratio of each free bending mode to critical.
    """

    length: float
    stiffness: float
    rods: tuple[Rod, ...]
    damping: float = 0.015

    @property
    def mass(self) -> float:
        """kg."""
        return sum(rod.mass for rod in self.rods)

    @property
    def balance(self) -> float:
        """Balance point, m from the throat."""
        return sum(rod.mass * 0.5 * (rod.start + rod.end) for rod in self.rods) / self.mass

    @property
    def inertia(self) -> float:
        """Across the axis about the balance point, kg·m²."""
        where = self.balance
        return sum(
            rod.mass
            * ((rod.end - rod.start) ** 2 / 12.0 + (0.5 * (rod.start + rod.end) - where) ** 2)
            for rod in self.rods
        )


@dataclass(frozen=True)
class Bow:
    """What pushes and holds the arrow; SI.

    The draw force, read from full draw on: ``holding`` (a share of the peak) over the share
    ``valley`` of the stroke, up to the peak over ``fall``, the peak, and down to nothing over the
    last share ``rise``. Its size follows from ``speed`` (m/s) of this arrow: thrust = mass times
    acceleration. ``tension`` ≥ 0: the string's sideways hold at nock release over the one that the
    thrust alone gives, growing from 1 over the last quarter.

    Rest: ``ahead`` m from the string at nock release; ``lets_go`` share of the stroke;
    ``rest_stiffness`` N/m (inf is not allowed: 1e6 is hard); ``one_sided``: it can push up only,
    with ``gravity`` m/s² holding the shaft down. ``string_mass`` kg; ``give_mass`` kg,
    ``give_stiffness`` N/m and ``give_damping`` ratio of cams, limb tips and axles sideways.
    """

    stroke: float
    speed: float
    holding: float = 0.2
    valley: float = 0.05
    fall: float = 0.2
    rise: float = 0.25
    tension: float = 1.0
    ahead: float = 0.165
    lets_go: float = 0.45
    rest_stiffness: float = 5000.0
    rest_damping: float = 0.15
    one_sided: bool = False
    gravity: float = 0.0
    string_mass: float = 0.010
    give_mass: float = 0.25
    give_stiffness: float = 2.0e4
    give_damping: float = 0.05


def _compiled(function: Any) -> Any:
    # numba's own store of machine code: safe here, for nothing in another file is called
    return numba.njit(cache=True, fastmath={"reassoc", "contract"}, error_model="numpy")(function)


@_compiled
def force_share(travel: float, holding: float, valley: float, fall: float, rise: float) -> float:
    """Draw force over its peak at this share of the stroke, 0 at full draw, 1 at nock release."""
    if travel < valley:
        return holding
    if travel < valley + fall:
        part = (travel - valley) / fall
        return holding + (1.0 - holding) * part * part * (3.0 - 2.0 * part)
    if travel < 1.0 - rise:
        return 1.0
    return max(0.0, (1.0 - travel) / rise)


@_compiled
def _polynomial(c: FloatArray, x: float) -> tuple[float, float, float]:
    """Value, slope and curvature of a polynomial with rising powers."""
    value = slope = curve = 0.0
    for k in range(c.size - 1, -1, -1):
        curve = curve * x + 2.0 * slope
        slope = slope * x + value
        value = value * x + c[k]
    return value, slope, curve


@_compiled
def _weights(s: float, bar: float, nodes: int, weight: FloatArray, slope: FloatArray) -> int:
    """Cubic interpolation from four nodes at s: their weights, those of the slope, the first."""
    first = min(max(int(s / bar) - 1, 0), nodes - 4)
    u = s / bar - first
    for i in range(4):
        value = 1.0
        change = 0.0
        for j in range(4):
            if j == i:
                continue
            change = (change * (u - j) + value) / (i - j)
            value = value * (u - j) / (i - j)
        weight[i] = value
        slope[i] = change / bar
    return first


@_compiled
def _acceleration(
    state: FloatArray,
    out: FloatArray,
    bend: FloatArray,
    damp: FloatArray,
    push: FloatArray,
    inverse: FloatArray,
    weight_force: FloatArray,
    path: FloatArray,
    p: FloatArray,
    held: bool,
    guided: bool,
    weight: FloatArray,
    slope: FloatArray,
    force: FloatArray,
) -> None:
    """Rates of (y of all nodes, give, x; their speeds)."""
    n = bend.shape[0]
    half = n + 2
    x, v = state[n + 1], state[half + n + 1]
    stroke = p[0]
    travel = min(max(x / stroke, 0.0), 1.0)
    thrust = p[1] * force_share(travel, p[2], p[3], p[4], p[5])  # per mass: an acceleration
    for i in range(half):
        out[i] = state[half + i]
    for i in range(n):
        force[i] = weight_force[i]

    # the nock's path: where the string, unloaded, would hold it
    where, way, curve = _polynomial(path, travel)
    nock_speed = way * v / stroke
    nock_acceleration = curve * (v / stroke) ** 2 + way * thrust / stroke

    if held:
        first = _weights(p[7] + stroke - x, p[6], n, weight, slope)
        lift = -p[8]
        rate = 0.0
        for i in range(4):
            j = first + i
            lift += weight[i] * state[j]
            rate += weight[i] * state[half + j] - v * slope[i] * state[j]
        back = -p[9] * lift - p[10] * rate
        if p[11] > 0.0 and (lift > 0.0 or back < 0.0):
            back = 0.0
        for i in range(4):
            force[first + i] += weight[i] * back

    out[half + n] = 0.0
    if not guided:
        left = max(1.0 - travel, _LEAST_LEFT)
        near = min(travel, 1.0 - _LEAST_LEFT)
        stiffness = p[12] * p[1] * force_share(near, p[2], p[3], p[4], p[5]) / (left * stroke)
        if travel > LAST_PART:
            stiffness *= 1.0 + (p[13] - 1.0) * (travel - LAST_PART) / (1.0 - LAST_PART)
        pull = stiffness * (state[0] - where - state[n])
        force[0] -= pull
        if p[14] > 0.0:
            out[half + n] = (pull - p[15] * state[n] - p[16] * state[half + n]) / p[14]

    start = 1 if guided else 0
    for i in range(start, n):
        total = 0.0
        for j in range(n):
            total += (bend[i, j] + thrust * push[i, j]) * state[j] + damp[i, j] * state[half + j]
            total += inverse[i, j] * force[j]
        out[half + i] = total
    if guided:
        # column 0 of ``inverse`` carries what the nock's own acceleration does to the others
        for i in range(1, n):
            out[half + i] += inverse[i, 0] * (nock_acceleration - force[0])
        out[half] = nock_acceleration
        out[0] = nock_speed
    out[half + n + 1] = thrust


@_compiled
def _march(
    state: FloatArray,
    seconds: float,
    steps: int,
    bend: FloatArray,
    damp: FloatArray,
    push: FloatArray,
    inverse: FloatArray,
    weight_force: FloatArray,
    path: FloatArray,
    p: FloatArray,
    held: bool,
    guided: bool,
) -> None:
    """Runge and Kutta's classical steps, in place."""
    size = state.size
    stages = np.empty((4, size))
    there = np.empty(size)
    weight, slope, force = np.empty(4), np.empty(4), np.empty(bend.shape[0])
    dt = seconds / steps
    for _ in range(steps):
        for k in range(4):
            share = 0.0 if k == 0 else (1.0 if k == 3 else 0.5)
            for i in range(size):
                there[i] = state[i] + (share * dt * stages[k - 1, i] if k > 0 else 0.0)
            _acceleration(
                there,
                stages[k],
                bend,
                damp,
                push,
                inverse,
                weight_force,
                path,
                p,
                held,
                guided,
                weight,
                slope,
                force,
            )
        for i in range(size):
            state[i] += (
                dt / 6.0 * (stages[0, i] + 2.0 * (stages[1, i] + stages[2, i]) + stages[3, i])
            )


class Chain:
    """One arrow on one bow, its matrices worked out once; then launch it as often as wanted.

    ``bars``: how many the shaft is cut into; ``steps`` over the whole stroke.
    """

    def __init__(self, arrow: Arrow, bow: Bow, bars: int = 14, steps: int = 0) -> None:
        self.arrow, self.bow, self.bars = arrow, bow, bars
        self.bar = arrow.length / bars
        nodes = bars + 1
        self.places = self.bar * np.arange(nodes)
        self.masses = self._masses()
        self.bending = self._bending()
        self.pushing = self._pushing()
        self._timing()
        self.rate_limit = np.sqrt(
            float(np.linalg.eigvals(np.linalg.solve(self.masses, self.bending)).real.max())
        )
        # the stability limit of these steps is 2.8 of the fastest swing; 2.2 leaves room
        self.steps = steps or max(300, int(self.time * self.rate_limit / 2.2) + 1)
        self.damping = self._damping()
        string = np.zeros((nodes, nodes))
        string[0, 0] = bow.string_mass / 3.0
        inverse = np.linalg.inv(self.masses + string)
        self._sideways = (
            -inverse @ self.bending,
            -inverse @ self.damping,
            inverse @ self.pushing,
            inverse,
        )
        free = np.zeros((nodes, nodes))
        free[1:, 1:] = np.linalg.inv(self.masses[1:, 1:])
        guided = free.copy()
        guided[1:, 0] = -free[1:, 1:] @ self.masses[1:, 0]
        self._guided = (
            -free @ self.bending,
            -free @ self.damping,
            free @ self.pushing,
            guided,
        )

    def _shares(self, s: float) -> tuple[int, float]:
        """Bar on which s lies (the last one carries what stands out), and how far along it."""
        bar = min(int(s / self.bar), self.bars - 1)
        return bar, s / self.bar - bar

    def _pieces(self) -> list[Rod]:
        """The parts cut where bars end."""
        pieces = []
        for rod in self.arrow.rods:
            long = rod.end - rod.start
            cuts = [s for s in self.places[1:-1] if rod.start < s < rod.end]
            edges = [rod.start, *cuts, rod.end]
            for a, b in pairwise(edges):
                share = (b - a) / long if long > 0.0 else 1.0
                pieces.append(Rod(rod.mass * share, a, b))
        return pieces

    def _masses(self) -> FloatArray:
        matrix = np.zeros((self.bars + 1, self.bars + 1))
        for piece in self._pieces():
            middle = 0.5 * (piece.start + piece.end)
            bar, u = self._shares(middle)
            spread = ((piece.end - piece.start) / self.bar) ** 2 / 12.0
            own = np.array([[1.0, -1.0], [-1.0, 1.0]]) * spread
            ends = np.array([1.0 - u, u])
            matrix[bar : bar + 2, bar : bar + 2] += piece.mass * (np.outer(ends, ends) + own)
        return matrix

    def _bending(self) -> FloatArray:
        matrix = np.zeros((self.bars + 1, self.bars + 1))
        kink = np.array([1.0, -2.0, 1.0]) / self.bar
        for joint in range(1, self.bars):
            at = slice(joint - 1, joint + 2)
            matrix[at, at] += self.arrow.stiffness / self.bar * np.outer(kink, kink)
        return matrix

    def _pushing(self) -> FloatArray:
        """What tilts a bar on: mean mass ahead along it, per unit of acceleration."""
        matrix = np.zeros((self.bars + 1, self.bars + 1))
        pieces = self._pieces()
        tilt = np.array([[1.0, -1.0], [-1.0, 1.0]]) / self.bar
        for bar in range(self.bars):
            start, end = self.places[bar], self.places[bar + 1]
            ahead = 0.0
            for piece in pieces:
                # the integral over the bar of the mass ahead is mass times the way from its start
                middle = 0.5 * (piece.start + piece.end)
                if bar == self.bars - 1 and middle > start:
                    ahead += piece.mass * (middle - start)
                elif middle > end:
                    ahead += piece.mass * (end - start)
                elif middle > start:
                    ahead += piece.mass * (middle - start)
            matrix[bar : bar + 2, bar : bar + 2] += ahead / self.bar * tilt
        return matrix

    def _damping(self) -> FloatArray:
        """The same ratio for every free mode, as one matrix; the modes are kept."""
        root = np.linalg.cholesky(self.masses)
        back = np.linalg.inv(root)
        squares, shapes = np.linalg.eigh(back @ self.bending @ back.T)
        rates = np.sqrt(np.clip(squares, 0.0, None))
        rates[:2] = 0.0  # moving and turning as a whole
        self.free_rates = rates[2:]
        self.shapes = back.T @ shapes[:, 2:]  # of unit generalized mass
        spread = root @ shapes
        return np.asarray(spread @ np.diag(2.0 * self.arrow.damping * rates) @ spread.T)

    def swing(self, seconds: float, beyond: float = 0.0) -> tuple[float, float]:
        """How far the nock and the point of the arrow launched last are off its rigid line, m.

        So many ``seconds`` after nock release, swinging freely; the point is ``beyond`` m ahead of
        the shaft's end.
        """
        ratio, rates = self.arrow.damping, self.free_rates
        damped = rates * np.sqrt(1.0 - ratio * ratio)
        start, speed = (self.shapes.T @ (self.masses @ part) for part in self._left)
        size = np.exp(-ratio * rates * seconds) * (
            start * np.cos(damped * seconds)
            + (speed + ratio * rates * start) / damped * np.sin(damped * seconds)
        )
        bent = self.shapes @ size
        ahead = beyond / self.bar
        return float(bent[0]), float(bent[-1] + ahead * (bent[-1] - bent[-2]))

    def _timing(self) -> None:
        """Peak acceleration from the speed; times to let-go and to nock release."""
        bow = self.bow
        # u² = travel takes away the root at the start
        u = (np.arange(_QUADRATURE) + 0.5) / _QUADRATURE
        shape = np.array(
            [force_share(w * w, bow.holding, bow.valley, bow.fall, bow.rise) for w in u]
        )
        work = np.concatenate([[0.0], np.cumsum(shape * 2.0 * u / _QUADRATURE)])
        self.peak = 0.5 * bow.speed**2 / (bow.stroke * work[-1])
        speeds = np.sqrt(2.0 * self.peak * bow.stroke * work)
        each = 4.0 * u * bow.stroke / (speeds[1:] + speeds[:-1]) / _QUADRATURE
        times = np.concatenate([[0.0], np.cumsum(each)])
        self.time = float(times[-1])
        edges = np.arange(_QUADRATURE + 1) / _QUADRATURE
        self.let_go = float(np.interp(np.sqrt(bow.lets_go), edges, times))

    def _parameters(self, offset: float, *, one_sided: bool) -> FloatArray:
        bow = self.bow
        at_draw = bow.ahead + bow.stroke
        about_nock = self.arrow.inertia + self.arrow.mass * self.arrow.balance**2
        damping = 2.0 * bow.rest_damping * np.sqrt(bow.rest_stiffness * about_nock / at_draw**2)
        give = 2.0 * bow.give_damping * np.sqrt(bow.give_stiffness * bow.give_mass)
        return np.array(
            [
                bow.stroke,
                self.peak,
                bow.holding,
                bow.valley,
                bow.fall,
                bow.rise,
                self.bar,
                bow.ahead,
                offset,
                bow.rest_stiffness,
                damping,
                1.0 if one_sided else 0.0,
                self.arrow.mass,
                bow.tension,
                bow.give_mass,
                bow.give_stiffness,
                give,
            ]
        )

    def _launch(
        self, offset: float, path: FloatArray, kick: float, *, guided: bool, gravity: float
    ) -> Launch:
        bow = self.bow
        one_sided = guided and bow.one_sided
        p = self._parameters(offset, one_sided=one_sided)
        nodes = self.bars + 1
        half = nodes + 2
        state = np.zeros(2 * half)
        start = path[0]
        slope = (offset - start) / (bow.ahead + bow.stroke)
        state[:nodes] = start + slope * self.places
        if not guided:
            state[half] = kick
        weight = -gravity * self.masses.sum(axis=1)
        matrices = self._guided if guided else self._sideways
        held = max(1, round(self.steps * self.let_go / self.time))
        free = max(1, self.steps - held)
        for seconds, steps, on_rest in (
            (self.let_go, held, True),
            (self.time - self.let_go, free, False),
        ):
            if seconds > 0.0:
                _march(state, seconds, steps, *matrices, weight, path, p, on_rest, guided)
        self.exit_speed = float(state[half + nodes + 1])
        self._left = state[:nodes], state[half : half + nodes]
        return self._rigid(*self._left)

    def _rigid(self, y: FloatArray, rates: FloatArray) -> Launch:
        arrow = self.arrow
        arm = self.places - arrow.balance
        turning = arm @ self.masses
        return Launch(
            angle=float(turning @ y) / arrow.inertia,
            rate=float(turning @ rates) / arrow.inertia,
            direction=float(np.sum(self.masses @ rates)) / arrow.mass / self.bow.speed,
        )

    def sideways(self, offset: float, path: tuple[float, ...] = (), kick: float = 0.0) -> Launch:
        """Rest ``offset`` m right of the bore line; ``kick`` m/s to the right on the nock.

        ``path``: where the string, unloaded, would hold the nock, m off the bore line: polynomial
        coefficients in the share of the stroke, rising powers. The nock starts on it.
        """
        return self._launch(offset, np.array(path or (0.0,)), kick, guided=False, gravity=0.0)

    def up_and_down(self, offset: float, path: tuple[float, ...] = ()) -> Launch:
        """Rest ``offset`` m above the bore line, the nock on its path as in :meth:`sideways`."""
        return self._launch(
            offset, np.array(path or (0.0,)), 0.0, guided=True, gravity=self.bow.gravity
        )


def rigid_launch(arrow: Arrow, bow: Bow, offset: float) -> Launch:
    """A stiff shaft, a hard rest, the nock on a straight line, constant thrust: in closed form.

    While the rest holds, the angle is offset over way from nock to rest; then the shaft is an
    inverted pendulum about the nock, pushed with the constant acceleration v²/2X.
    """
    acceleration = bow.speed**2 / (2.0 * bow.stroke)
    way = bow.ahead + bow.stroke * (1.0 - bow.lets_go)
    speed = bow.speed * np.sqrt(bow.lets_go)
    angle, rate = offset / way, offset * speed / way**2
    about_nock = arrow.inertia + arrow.mass * arrow.balance**2
    kappa = np.sqrt(acceleration * arrow.mass * arrow.balance / about_nock)
    seconds = (bow.speed - speed) / acceleration
    c, s = np.cosh(kappa * seconds), np.sinh(kappa * seconds)
    end_angle, end_rate = angle * c + rate / kappa * s, angle * kappa * s + rate * c
    return Launch(float(end_angle), float(end_rate), float(arrow.balance * end_rate / bow.speed))
