"""Step-controlled integration with output at planes downrange.

Ours because speed is the point: scipy's DOP853 under the same right-hand side is its oracle in the
tests. All errors are per step against an absolute scale a state, so the answer does not depend on
where the origin lies.
"""

import numpy as np

from vireton.kernel.compiled import compiled, inlined
from vireton.kernel.dop853 import ERROR_FIFTH, ERROR_THIRD, INTERPOLANT, STAGES
from vireton.kernel.motion import STATE_SIZE, derivatives
from vireton.kernel.parameters import Parameters

REACHED = 0
NOT_REACHED = 1
TOO_MANY_STEPS = 2
NOT_FINITE = 3
BEHIND = 4

#: What each status means to a person.
MESSAGES = {
    REACHED: "every distance was reached",
    NOT_REACHED: "the arrow never reached this distance",
    TOO_MANY_STEPS: "the motion was too violent to follow (over the limit of steps)",
    NOT_FINITE: "the motion left the range of numbers: check the arrow and the launch",
    BEHIND: "the distance lies behind the point of the arrow as it leaves the string",
}

MAX_TIME = 60.0  # s: longer than any arrow stays up
MAX_STEPS = 20_000
FLOOR = -2_000.0  # m below the launch, where a falling arrow is given up

#: Error scale of each state for a tolerance of 1 m: a position error of 1 m goes with these in
#: velocity, axis and angular velocity; spin matters least. Found by measuring: with them the error
#: at 100 yd is what DEVELOPERS has under "Budgets".
_SCALES = np.array(
    [1.0, 1.0, 1.0, 3.0, 3.0, 3.0, 0.3, 0.3, 0.3, 10.0, 10.0, 10.0, 300.0, 0.3, 0.3, 0.3]
)

_FIRST_STEP = 2e-3  # s
_SAFETY, _SHRINK, _GROW = 0.9, 0.2, 6.0


@inlined
def _fill_stage(
    row: int, size: int, step: float, state: np.ndarray, stages: np.ndarray, out: np.ndarray
) -> None:
    """Out = state + step·(weights of this row)·(stages so far)."""
    for k in range(STATE_SIZE):
        out[k] = 0.0
    for j in range(row):
        weight = STAGES[row, j]
        if weight != 0.0:
            for k in range(STATE_SIZE):
                out[k] += weight * stages[j, k]
    for k in range(STATE_SIZE):
        out[k] = state[k] + step * out[k]


@inlined
def _error_norm(size: int, step: float, stages: np.ndarray, tolerance: float) -> float:
    """Error of the step in units of the tolerance (Hairer, Nørsett, Wanner 1993, II.10)."""
    fifth_squared = 0.0
    third_squared = 0.0
    for k in range(size):
        fifth = 0.0
        third = 0.0
        for j in range(12):
            fifth += ERROR_FIFTH[j] * stages[j, k].real
            third += ERROR_THIRD[j] * stages[j, k].real
        scale = tolerance * _SCALES[k]
        fifth_squared += (fifth / scale) ** 2
        third_squared += (third / scale) ** 2
    total = fifth_squared + 0.01 * third_squared
    if total == 0.0:
        return 0.0
    return abs(step) * fifth_squared / np.sqrt(total * size)


@compiled
def _prepare_interpolant(
    size: int,
    step: float,
    p: Parameters,
    old: np.ndarray,
    new: np.ndarray,
    stages: np.ndarray,
    scratch: np.ndarray,
    rows: np.ndarray,
) -> None:
    """Three more stages, then the seven rows of the step's 7th-order polynomial."""
    for row in range(13, 16):
        _fill_stage(row, size, step, old, stages, scratch)
        derivatives(scratch, p, stages[row])
    for k in range(size):
        change = new[k] - old[k]
        rows[0, k] = change
        rows[1, k] = step * stages[0, k] - change
        rows[2, k] = 2.0 * change - step * (stages[12, k] + stages[0, k])
        for i in range(4):
            total = 0.0 * stages[0, k]
            for j in range(16):
                total += INTERPOLANT[i, j] * stages[j, k]
            rows[3 + i, k] = step * total


@inlined
def _interpolate(fraction: float, k: int, old: np.ndarray, rows: np.ndarray) -> float:
    """State ``k`` at this fraction of the step."""
    value = 0.0 * rows[6, k]
    for i in range(7):
        value += rows[6 - i, k]
        value *= fraction if i % 2 == 0 else 1.0 - fraction
    return old[k] + value


@inlined
def _slope(fraction: float, k: int, rows: np.ndarray) -> float:
    """Its derivative by the fraction."""
    value = 0.0 * rows[6, k]
    slope = value
    for i in range(7):
        value += rows[6 - i, k]
        if i % 2 == 0:
            slope = slope * fraction + value
            value *= fraction
        else:
            slope = slope * (1.0 - fraction) - value
            value *= 1.0 - fraction
    return slope


@inlined
def _ahead(
    fraction: float, plane: float, station: float, old: np.ndarray, rows: np.ndarray
) -> float:
    """How far the station on the shaft is beyond the plane at this fraction of the step, m."""
    x = _interpolate(fraction, 0, old, rows)
    return x + station * _interpolate(fraction, 6, old, rows) - plane


@inlined
def _crossing(
    plane: float, station: float, old: np.ndarray, rows: np.ndarray, before: float, after: float
) -> float:
    """Fraction of the step at which the station crosses the plane.

    Illinois false position on the real parts, then one step of Newton's method, with which a
    complex state gets a complex fraction: the derivative of the crossing comes along.
    """
    low, high = 0.0, 1.0
    fraction = 1.0
    for _ in range(60):
        fraction = (low * after - high * before) / (after - before)
        value = _ahead(fraction, plane, station, old, rows).real
        if abs(value) < 1e-12 or high - low < 1e-15:
            break
        if value < 0.0:
            if before < 0.0 and low > 0.0:
                after *= 0.5
            low, before = fraction, value
        else:
            if high < 1.0:
                before *= 0.5
            high, after = fraction, value
    slope = _slope(fraction, 0, rows) + station * _slope(fraction, 6, rows)
    return fraction - _ahead(fraction, plane, station, old, rows) / slope


@compiled
def integrate(
    state: np.ndarray,
    p: Parameters,
    planes: np.ndarray,
    stations: np.ndarray,
    tolerance: float,
    size: int,
    out: np.ndarray,
) -> tuple[int, int, int]:
    """Fly from ``state`` and note the state at each plane.

    Args:
        state: (16,) initial state; left as it is.
        p: the body and its air.
        planes: (n,) distances downrange, m, in any order.
        stations: (n,) the place on the shaft, m forward of the center of gravity, whose crossing
            counts: the point for an impact, the nock for the tail's hole in paper.
        tolerance: error allowed a step, m of position (other states scaled).
        size: how many states are integrated, 13 for a roll-symmetric body, else 16.
        out: (n, 17) filled with time and state at each crossing; nan where there was none.

    Returns:
        status, number of steps tried, number of right-hand sides evaluated. BEHIND where a plane
        lies behind its station at the start; all others were then reached.
    """
    count = planes.shape[0]
    stages = np.zeros((16, STATE_SIZE), dtype=state.dtype)
    old = state.copy()
    new = state.copy()
    scratch = state.copy()
    rows = np.zeros((7, STATE_SIZE), dtype=state.dtype)
    done = np.zeros(count, dtype=np.bool_)
    left = count
    out[:, :] = np.nan

    time = 0.0
    step = _FIRST_STEP
    grow = _GROW
    tried = 0
    evaluated = 1
    derivatives(old, p, stages[0])
    end = REACHED
    for i in range(count):
        beyond = (old[0] + stations[i] * old[6] - planes[i]).real
        if beyond < 0.0:
            continue
        if beyond == 0.0:
            out[i, 0] = 0.0
            for k in range(STATE_SIZE):
                out[i, 1 + k] = old[k]
        else:
            end = BEHIND
        done[i] = True
        left -= 1
    while left > 0:
        if tried >= MAX_STEPS:
            return TOO_MANY_STEPS, tried, evaluated
        if time > MAX_TIME or old[1].real < FLOOR:
            return NOT_REACHED, tried, evaluated
        tried += 1
        for row in range(1, 12):
            _fill_stage(row, size, step, old, stages, scratch)
            derivatives(scratch, p, stages[row])
        evaluated += 11
        error = _error_norm(size, step, stages, tolerance)
        if not np.isfinite(error):
            if step < 1e-12:
                return NOT_FINITE, tried, evaluated
            step *= 0.1
            grow = 1.0
            continue
        if error > 1.0:
            step *= max(_SHRINK, _SAFETY * error**-0.125)
            grow = 1.0  # no growth straight after a rejection
            continue
        _fill_stage(12, size, step, old, stages, new)
        derivatives(new, p, stages[12])
        evaluated += 1

        prepared = False
        for i in range(count):
            if done[i]:
                continue
            after = (new[0] + stations[i] * new[6] - planes[i]).real
            if after < 0.0:
                continue
            before = (old[0] + stations[i] * old[6] - planes[i]).real
            if not prepared:
                _prepare_interpolant(size, step, p, old, new, stages, scratch, rows)
                evaluated += 3
                prepared = True
            fraction = _crossing(planes[i], stations[i], old, rows, before, after)
            out[i, 0] = time + fraction * step
            for k in range(size):
                out[i, 1 + k] = _interpolate(fraction, k, old, rows)
            for k in range(size, STATE_SIZE):
                out[i, 1 + k] = old[k]
            done[i] = True
            left -= 1

        time += step
        for k in range(size):
            old[k] = new[k]
            stages[0, k] = stages[12, k]
        if error == 0.0:
            step *= grow
        else:
            step *= min(grow, max(_SHRINK, _SAFETY * error**-0.125))
        grow = _GROW
    return end, tried, evaluated
