"""How an arrow swings at small angles, and how soon it settles: read off the one right-hand side.

Nothing here repeats a formula of the aerodynamics: slopes are differences of the very loads that
the flight integrates, without gravity and wind. Functions of the kernel's parameters.
"""

import math
from dataclasses import dataclass

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.kernel.door import fly_to_planes, rates
from vireton.kernel.motion import STATE_SIZE
from vireton.kernel.parameters import Parameters

#: rad: small enough that the shaft's crossflow, which grows with the square, hardly counts yet.
_SMALL_ANGLE = 1e-4

#: rad, yaw at which the static margin is taken: small, and yet some crossflow on the shaft (our
#: choice).
MARGIN_YAW = math.radians(0.5)

#: rad, the launch yaw of the settling flight: 1°, what a fair launch leaves (our choice).
SETTLING_YAW = math.radians(1.0)
#: Settled: the swing's amplitude is below this share of the launch yaw.
SETTLED_SHARE = 0.1
#: m; an arrow that still swings there counts as one that never settles (our choice).
FARTHEST_SETTLING = 300.0
_SETTLING_STEP = 0.5

#: Share of the steady turns per meter at which an arrow counts as spun up.
SPUN_UP_SHARE = 0.9
#: The same for the spin-up.
FARTHEST_SPIN_UP = 200.0
_SPIN_UP_STEP = 0.25


@dataclass(frozen=True)
class Swing:
    """The small swing of the nose about the path, at one speed.

    ``wavelength`` m of one swing along the path and ``damping`` 1/m, the rate at which its
    amplitude dies (exp(−damping·x)); both nan where the arrow does not swing about its path.
    """

    wavelength: float
    damping: float


def calm(p: Parameters) -> Parameters:
    """The same body without gravity and wind."""
    return p._replace(
        gravity_x=0.0, gravity_up=0.0, gravity_right=0.0, wind_x=0.0, wind_right=0.0,
        wind_exponent=0.0,
    )  # fmt: skip


def _state(speed: float, yaw: float = 0.0, spin: float = 0.0) -> FloatArray:
    """Flying along x, nose right by ``yaw`` rad."""
    state = np.zeros(STATE_SIZE)
    state[3] = speed
    state[6], state[8] = math.cos(yaw), math.sin(yaw)
    state[12] = spin
    state[13], state[15] = -math.sin(yaw), math.cos(yaw)  # points right, as at release
    return state


def steady_spin(p: Parameters, speed: float) -> float:
    """Spin at which the vanes neither drive nor brake it, rad/s, at zero yaw and this speed m/s.

    Newton's method on the roll moment of the right-hand side; 0 without vanes.
    """
    if p.vane_count == 0.0:
        return 0.0
    body = calm(p)

    def roll(spin: float) -> float:
        return float(rates(_state(speed, spin=spin), body)[12])

    spin, probe = 0.0, 1e-3 * speed
    for _ in range(20):
        here = roll(spin)
        change = -here * probe / (roll(spin + probe) - here)
        spin += change
        if abs(change) < 1e-9 * (abs(spin) + speed):
            break
    return spin


def drag_area(p: Parameters, speed: float, spin: float = 0.0) -> float:
    """Drag ÷ dynamic pressure, m², at zero yaw, this speed m/s and spin rad/s."""
    slowing = -float(rates(_state(speed, spin=spin), calm(p))[3])
    return slowing * p.mass / (0.5 * p.density * speed * speed)


def static_margin(p: Parameters, speed: float, yaw: float = MARGIN_YAW) -> float:
    """How far behind the balance point the air's sideways push acts, m, at this yaw (rad).

    Positive steers the nose back into the flight; negative turns it away: the arrow planes until
    the crossflow on its shaft holds it. Without spin at ``speed`` m/s; nan where nothing pushes.
    Two blades, and two vanes that spin, are averaged over their angle; of two vanes without offset,
    which do not spin, it is that of the way in which they steer least.
    """
    body = calm(p)
    push, turn = [], []
    for angle in np.linspace(0.0, math.pi, 8, endpoint=False):
        state = _state(speed, yaw)
        across = np.array([-state[8], 0.0, state[6]])
        state[13:16] = math.cos(angle) * across
        state[14] = math.sin(angle)
        out = rates(state, body)
        push.append(body.mass * float(out[3:6] @ across))
        # nose right is a turn about the axis that points down
        turn.append(-body.inertia_across * float(out[10]))
    if not all(push):
        return math.nan
    if _stands_still(p):
        return min(-one / force for one, force in zip(turn, push, strict=True))
    return -sum(turn) / sum(push)


def _stands_still(p: Parameters) -> bool:
    """Two straight vanes: no spin takes the mean over their angle."""
    return p.vane_count == 2.0 and p.vane_offset_sine == 0.0


def small_swing(p: Parameters, speed: float, spin: float = 0.0) -> Swing:
    """Wavelength and damping at small angles, this speed m/s and spin rad/s.

    The direction of the path, the axis's tip and the turning rate per meter, each as one complex
    number (up + i·right), obey a linear system of three equations along the path, for a
    roll-symmetric body looks the same from all sides; one of two vanes does so on the mean of two
    roll angles a quarter turn apart, which is what its spin makes of it (without spin it has no one
    swing: nan). The coefficients are
    differences of the right-hand side. One eigenvalue is 0 (turn path and nose together and nothing
    happens), the other two are the swings of the nose. For a body of constant coefficients they are
    those of the linear theory (McCoy 1999, *Modern Exterior Ballistics*, ch. 10):
    λ = 2π√(2 I/(ρSd|CMα|)) and (ρS/4m)[CLα − CD − (md²/I)(CMq + CMα̇)] per meter.
    """
    if _stands_still(p):
        return Swing(math.nan, math.nan)
    body = calm(p)
    # steps that all make the same small angle at the tail
    steps = (_SMALL_ANGLE * speed, _SMALL_ANGLE, _SMALL_ANGLE * speed)
    still = rates(_state(speed, spin=spin), body)
    columns = []
    for first, step in zip((3, 6, 9), steps, strict=True):
        state = _state(speed, spin=spin)
        state[first + 2] += step
        if first == 6:
            state[6] = math.sqrt(1.0 - step * step)
        quarter = state.copy()
        quarter[13:16] = np.cross(state[6:9], state[13:16])
        moved = (0.5 * (rates(state, body) + rates(quarter, body)) - still) / step
        # a push to the right (i), answered up and right, divided by i
        columns.append([complex(moved[k + 2], -moved[k + 1]) for k in (3, 6, 9)])
    slowing = -float(still[3])
    # nose right is a negative rate about the up axis: turned back is a positive one
    restoring = -columns[1][2].imag
    matrix = np.array(columns).T
    # angles and turns per meter: the speed that both are measured by falls
    matrix[0, 0] += slowing / speed
    matrix[2, 2] += slowing / speed
    swings = sorted(np.linalg.eigvals(matrix), key=abs)[1:]
    turning = float(np.mean([abs(root.imag) for root in swings]))
    decay = -float(np.mean([root.real for root in swings]))
    if restoring <= 0.0 or turning == 0.0:
        return Swing(math.nan, math.nan)
    return Swing(2.0 * math.pi * speed / turning, decay / speed)


def settling_distance(p: Parameters, speed: float, swing: Swing) -> float:
    """Flown distance, m, after which the angle to the path stays below a tenth of the launch yaw.

    Args:
        p: the body; gravity and wind are left out.
        speed: at launch, m/s.
        swing: the small swing, from :func:`small_swing`; one without a wavelength gives nan.

    Launched at :data:`SETTLING_YAW` without spin and rates; the full flight, stall and crossflow
    included. Counted by the swing's amplitude, √(ξ² + (ξ′ + μξ)²/k²) for ξ = e^(−μx)·cos(kx), not
    by the angle ξ itself, which passes through 0 twice a swing: so the distance does not jump by
    half a wave where one peak more or less stays below. nan where it is beyond
    :data:`FARTHEST_SETTLING`.
    """
    if not math.isfinite(swing.wavelength):
        return math.nan
    x = np.arange(_SETTLING_STEP, FARTHEST_SETTLING, _SETTLING_STEP)
    flown = fly_to_planes(_state(speed, yaw=SETTLING_YAW), calm(p), x, 0.0).states
    along = np.linalg.norm(flown[:, 3:6], axis=1)
    angle = (flown[:, 7] - flown[:, 4] / along) + 1j * (flown[:, 8] - flown[:, 5] / along)
    slope = np.gradient(angle, _SETTLING_STEP)
    quarter = np.abs(slope + swing.damping * angle) * swing.wavelength / (2.0 * math.pi)
    amplitude = np.hypot(np.abs(angle), quarter)
    return _last_above(x, amplitude, SETTLED_SHARE * SETTLING_YAW)


def _last_above(x: FloatArray, values: FloatArray, level: float) -> float:
    """Where ``values`` go below ``level`` for good; nan if they never do, 0 if they always are."""
    above = np.flatnonzero(~(values < level))
    if above.size == 0:
        return 0.0
    last = int(above[-1])
    if last + 1 >= x.size:
        return math.nan
    share = (values[last] - level) / (values[last] - values[last + 1])
    return float(x[last] + share * (x[last + 1] - x[last]))


def spin_up_distance(p: Parameters, speed: float) -> float:
    """Flown distance, m, after which the turns per meter stay within a tenth of the steady ones.

    Launched straight and without spin, no gravity, no wind. Per meter, because the steady spin
    itself falls with the speed. nan where the vanes do not drive it, or beyond
    :data:`FARTHEST_SPIN_UP`.
    """
    steady = steady_spin(p, speed) / speed
    if abs(steady) < 1e-6:
        return math.nan
    x = np.arange(_SPIN_UP_STEP, FARTHEST_SPIN_UP, _SPIN_UP_STEP)
    flown = fly_to_planes(_state(speed), calm(p), x, 0.0).states
    left = 1.0 - flown[:, 12] / np.linalg.norm(flown[:, 3:6], axis=1) / steady
    return _last_above(x, left, 1.0 - SPUN_UP_SHARE)
