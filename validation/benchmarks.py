"""How fast a flight is, and how exact: prints a table, asserts nothing.

Run:  python validation/benchmarks.py

It stands in ``validation/`` because speed without its error means nothing: each row shows both. All
rows are measured in one run on one core, so that the ratios hold on any machine. The bow and the
arrow are invented. The reference is scipy's DOP853 at rtol 1e-13 with the same right-hand side.
"""

import math
import platform
import time
from collections.abc import Callable
from pathlib import Path

import numba
import numpy as np
import scipy
from scipy.integrate import solve_ivp

from vireton.arrow import assemble
from vireton.flight import Conditions, initial_state, prepare
from vireton.kernel.compiled import compiled
from vireton.kernel.door import fly_to_planes
from vireton.kernel.integrator import integrate
from vireton.kernel.motion import SYMMETRIC_SIZE, derivatives
from vireton.kernel.parameters import Parameters
from vireton.launch import Launch, power_stroke
from vireton.setup import load_setup
from vireton.volley import Aim

YARD = 0.9144
DEMO = Path(__file__).parent.parent / "examples" / "mill_bow.toml"


@compiled
def many_flights(
    start: np.ndarray,
    p: Parameters,
    planes: np.ndarray,
    stations: np.ndarray,
    tolerance: float,
    out: np.ndarray,
    count: int,
) -> int:
    """The same flight again and again inside compiled code: what a batch costs."""
    evaluated = 0
    for _ in range(count):
        evaluated += integrate(start, p, planes, stations, tolerance, SYMMETRIC_SIZE, out)[2]
    return evaluated


@compiled
def many_rates(state: np.ndarray, p: Parameters, out: np.ndarray, count: int) -> float:
    """The right-hand side alone."""
    total = 0.0
    for i in range(count):
        state[3] = 85.0 + 1e-9 * i
        derivatives(state, p, out)
        total += out[3]
    return total


def fastest(run: Callable[[], object], repeats: int = 5) -> float:
    """Shortest of several times, s: the one that others disturbed least."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def scipy_flight(
    start: np.ndarray, p: Parameters, plane: float, station: float, rtol: float
) -> tuple[np.ndarray, int]:
    """Point at the plane and right-hand-side evaluations, by scipy with an event at the plane."""
    rates = np.empty(16)
    full = start.copy()

    def fun(_: float, y: np.ndarray) -> np.ndarray:
        full[:SYMMETRIC_SIZE] = y
        derivatives(full, p, rates)
        return rates[:SYMMETRIC_SIZE].copy()

    def crossing(_: float, y: np.ndarray) -> float:
        return float(y[0] + station * y[6] - plane)

    crossing.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(
        fun, (0.0, 10.0), start[:SYMMETRIC_SIZE], "DOP853", events=crossing, rtol=rtol, atol=rtol
    )
    end = run.y_events[0][0]
    return end[0:3] + station * end[6:9], run.nfev


def main() -> None:
    """Measure and print."""
    setup = load_setup(DEMO)
    arrow = assemble(setup.parts)
    power_stroke(setup.bow, arrow)
    launch = Launch(setup.bow.arrow_speed, direction_up=0.03, yaw_rate=0.5, pitch_rate=0.3)
    body = prepare(arrow, launch.speed, Conditions(setup.air))
    start = initial_state(arrow, launch, Aim(), setup.bow.brace_height)
    front = arrow.total_length - arrow.balance
    planes, stations = np.array([100.0 * YARD]), np.array([front])
    out = np.empty((1, 17))
    reference, _ = scipy_flight(start, body, planes[0], front, 1e-13)

    print(f"Python {platform.python_version()}, numba {numba.__version__}, numpy {np.__version__},")
    print(f"scipy {scipy.__version__}, {platform.machine()}; one core; demo arrow to 100 yd\n")
    state = start.copy()
    rates = np.empty(16)
    many_rates(state, body, rates, 10)
    rhs = fastest(lambda: many_rates(state, body, rates, 100_000)) / 100_000
    print(f"one right-hand side: {rhs * 1e9:.0f} ns\n")
    print(f"{'':34}{'error, mm':>11}{'evaluations':>13}{'µs':>9}{'flights/s':>11}")
    ours: list[tuple[float, float]] = []
    for tolerance in (1e-4, 1e-5, 1e-6, 1e-7, 1e-8):
        many_flights(start, body, planes, stations, tolerance, out, 1)
        took = (
            fastest(lambda t=tolerance: many_flights(start, body, planes, stations, t, out, 500))  # type: ignore[misc]
            / 500
        )
        crossed = fly_to_planes(start, body, planes, stations, tolerance)
        point = crossed.states[0, 0:3] + front * crossed.states[0, 6:9]
        error = float(np.linalg.norm(point - reference)) * 1e3
        ours.append((error, took))
        print(
            f"{f'Vireton, tolerance {tolerance:g} m':34}{error:11.5f}{crossed.evaluations:13d}"
            f"{took * 1e6:9.1f}{1.0 / took:11.0f}"
        )
    through_door = fastest(lambda: [fly_to_planes(start, body, planes, front) for _ in range(500)])
    print(f"{'  the same at 1e-6 from Python':34}{'':11}{'':13}{through_door / 500 * 1e6:9.1f}")
    theirs: list[tuple[float, float]] = []
    for rtol in (1e-6, 1e-7, 1e-8, 1e-9, 1e-10):
        point, count = scipy_flight(start, body, planes[0], front, rtol)
        took = fastest(lambda r=rtol: scipy_flight(start, body, planes[0], front, r))  # type: ignore[misc]
        error = float(np.linalg.norm(point - reference)) * 1e3
        theirs.append((error, took))
        print(
            f"{f'scipy DOP853, rtol = atol = {rtol:g}':34}{error:11.5f}{count:13d}"
            f"{took * 1e6:9.1f}{1.0 / took:11.0f}"
        )
    print("\nratio at equal error (scipy's time interpolated over the logarithm of its error):")
    logs = np.log([max(error, 1e-9) for error, _ in theirs])[::-1]
    took_by_scipy = np.array([took for _, took in theirs])[::-1]
    for error, took in ours:
        if math.exp(logs[0]) <= error <= math.exp(logs[-1]):
            there = float(np.interp(math.log(error), logs, took_by_scipy))
            print(f"  at {error:.4f} mm: {there / took:.0f}×")


if __name__ == "__main__":
    main()
