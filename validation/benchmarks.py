"""How fast a flight is, and how exact: prints a table, asserts nothing.

Run:  python validation/benchmarks.py

It stands in ``validation/`` because speed without its error means nothing: each row shows both. All
rows are measured in one run, so that the ratios hold on any machine. The bow and the arrow are
invented. The reference is scipy's DOP853 at rtol 1e-13 with the same right-hand side.
"""

import math
import os
import platform
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numba
import numpy as np
import scipy
from scipy.integrate import solve_ivp

from vireton.bow.arrow import assemble
from vireton.flight.flight import Conditions, prepare
from vireton.flight.volley import Aim, start_of, starts_around
from vireton.kernel.compiled import compiled
from vireton.kernel.door import fly_many, fly_to_planes, release
from vireton.kernel.motion import SYMMETRIC_SIZE, derivatives
from vireton.kernel.parameters import Parameters
from vireton.kernel.start import START
from vireton.launch import Launch
from vireton.setup import load_setup
from vireton.tuning.sensitivities import Released, by_start, sensitivities

YARD = 0.9144
DEMO = Path(__file__).parent.parent / "examples" / "mill_bow.toml"
FAR, MIDDLE = 100.0 * YARD, 60.0 * YARD
CORES = os.cpu_count() or 1


@compiled
def many_rates(state: np.ndarray, p: Parameters, out: np.ndarray, count: int) -> float:
    """The right-hand side alone."""
    total = 0.0
    for i in range(count):
        state[3] = 85.0 + 1e-9 * i
        derivatives(state, p, out)
        total += out[3]
    return total


@dataclass(frozen=True)
class Case:
    """The demo arrow, its launch with some yaw and pitch rate, and where its point ends up."""

    body: Parameters
    start: np.ndarray  # (15,)
    state: np.ndarray  # (16,)
    front: float
    brace_height: float

    def point(self, tolerance: float, distance: float = FAR) -> tuple[np.ndarray, int]:
        """The point where it crosses ``distance``, and the right-hand sides that this took."""
        crossed = fly_to_planes(self.state, self.body, [distance], self.front, tolerance)
        return crossed.states[0, 0:3] + self.front * crossed.states[0, 6:9], crossed.evaluations


def demo_case() -> Case:
    """From the example's setup file."""
    setup = load_setup(DEMO)
    arrow = assemble(setup.parts)
    launch = Launch(setup.bow.arrow_speed, direction_up=0.03, yaw_rate=0.5, pitch_rate=0.3)
    start = start_of(launch, Aim(), arrow.balance)
    return Case(
        prepare(arrow, launch.speed, Conditions(setup.air)),
        start,
        release(start[None], setup.bow.brace_height)[0],
        arrow.total_length - arrow.balance,
        setup.bow.brace_height,
    )


def fastest(run: Callable[[], object], repeats: int = 5) -> float:
    """Shortest of several times, s: the one that others disturbed least."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def scipy_flight(case: Case, rtol: float, method: str = "DOP853") -> tuple[np.ndarray, int]:
    """Point at 100 yd and right-hand-side evaluations, by scipy with an event at the plane."""
    rates = np.empty(16)
    full = case.state.copy()

    def fun(_: float, y: np.ndarray) -> np.ndarray:
        full[:SYMMETRIC_SIZE] = y
        derivatives(full, case.body, rates)
        return rates[:SYMMETRIC_SIZE].copy()

    def crossing(_: float, y: np.ndarray) -> float:
        return float(y[0] + case.front * y[6] - FAR)

    crossing.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(
        fun,
        (0.0, 10.0),
        case.state[:SYMMETRIC_SIZE],
        method,
        events=crossing,
        rtol=rtol,
        atol=rtol,
    )
    end = run.y_events[0][0]
    return end[0:3] + case.front * end[6:9], run.nfev


def flights(case: Case, count: int) -> np.ndarray:
    """States (count, 16) of shots that differ a little in speed."""
    change = np.random.default_rng(1).normal(0.0, 0.3, count)
    return release(starts_around(case.start, speed=change), case.brace_height)


def row(label: str, *cells: str) -> None:
    """One line of a table."""
    print(f"{label:36}" + "".join(f"{cell:>13}" for cell in cells))


def single_flights(case: Case, reference: np.ndarray) -> Iterator[tuple[float, float]]:
    """One core, many flights in one call. Yields errors (mm) and times (s)."""
    row("to 100 yd, one core", "error, mm", "evaluations", "µs", "flights/s")
    same = np.repeat(case.state[None], 500, axis=0)
    for tolerance in (1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8):

        def run(tolerance: float = tolerance) -> object:
            return fly_many(same, [case.body], [FAR], case.front, tolerance, threads=1)

        took = fastest(run) / len(same)
        point, evaluations = case.point(tolerance)
        error = float(np.linalg.norm(point - reference)) * 1e3
        row(
            f"Vireton, tolerance {tolerance:g} m",
            f"{error:.5f}",
            f"{evaluations}",
            f"{took * 1e6:.1f}",
            f"{1.0 / took:.0f}",
        )
        yield error, took
    alone = fastest(lambda: [case.point(1e-6) for _ in range(500)]) / 500
    row("  1e-6, one by one from Python", "", "", f"{alone * 1e6:.1f}", f"{1.0 / alone:.0f}")


def against_scipy(case: Case, reference: np.ndarray, ours: list[tuple[float, float]]) -> None:
    """The same right-hand side under scipy, and the ratio at equal error."""
    theirs: list[tuple[float, float]] = []
    for rtol in (1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 1e-10):
        point, count = scipy_flight(case, rtol)
        took = fastest(lambda r=rtol: scipy_flight(case, r), 3)  # type: ignore[misc]
        error = float(np.linalg.norm(point - reference)) * 1e3
        theirs.append((error, took))
        row(
            f"scipy DOP853, rtol = atol = {rtol:g}",
            f"{error:.5f}",
            f"{count}",
            f"{took * 1e6:.1f}",
            f"{1.0 / took:.0f}",
        )
    print("\nratio at equal error (scipy's time interpolated over the logarithm of its error):")
    logs = np.log([max(error, 1e-9) for error, _ in theirs])[::-1]
    took_by_scipy = np.array([took for _, took in theirs])[::-1]
    for error, took in ours:
        if math.exp(logs[0]) <= error <= math.exp(logs[-1]):
            there = float(np.interp(math.log(error), logs, took_by_scipy))
            print(f"  at {error:.4f} mm: {there / took:.0f}×")


def other_pairs(case: Case, reference: np.ndarray) -> None:
    """Right-hand sides that other pairs need, by scipy: what a change of pair could save."""
    row("\nother pairs, by scipy", " error, mm", "evaluations")
    for method, tolerances in (
        ("RK23", (1e-5, 1e-6)),
        ("RK45", (1e-6, 1e-7, 1e-8)),
        ("DOP853", (1e-5, 1e-6, 1e-8)),
        ("LSODA", (1e-7, 1e-8, 1e-9)),
    ):
        for rtol in tolerances:
            point, count = scipy_flight(case, rtol, method)
            error = float(np.linalg.norm(point - reference)) * 1e3
            row(f"{method}, rtol = atol = {rtol:g}", f"{error:.5f}", f"{count}")


def batches(case: Case) -> None:
    """Growth with the number of arrows and of cores, to 60 yd."""
    row("\nto 60 yd, tolerance 1e-4 m", " 1 core, s", f"{CORES} cores, s", "arrows/s")
    for count in (1_000, 10_000, 100_000):
        states = flights(case, count)

        def run(threads: int, states: np.ndarray = states) -> object:
            return fly_many(states, [case.body], [MIDDLE], case.front, 1e-4, threads=threads)

        one, all_cores = fastest(lambda r=run: r(1), 3), fastest(lambda r=run: r(CORES), 3)  # type: ignore[misc]
        row(f"{count} arrows", f"{one:.3f}", f"{all_cores:.3f}", f"{count / all_cores:.0f}")
    states = flights(case, 100_000)
    took = fastest(lambda: fly_many(states, [case.body], [MIDDLE], case.front), 3)
    row("100000 arrows at 1e-6 m", "", f"{took:.3f}", f"{100_000 / took:.0f}")


def growth(case: Case) -> None:
    """Growth with the distance."""
    row("\none flight, tolerance 1e-6 m", "evaluations", "µs")
    same = np.repeat(case.state[None], 500, axis=0)
    for yards in (10, 20, 40, 60, 80, 100, 200):

        def run(distance: float = yards * YARD) -> object:
            return fly_many(same, [case.body], [distance], case.front, threads=1)

        _, evaluations = case.point(1e-6, yards * YARD)
        row(f"to {yards} yd", f"{evaluations}", f"{fastest(run) / 500 * 1e6:.1f}")


def slopes(case: Case) -> None:
    """Derivatives by a complex step against forward differences with any step."""
    shot = Released(case.start, np.array(case.body), case.front, 0.0)
    names = ("speed", "yaw", "pitch", "yaw_rate", "pitch_rate", "elevation")
    directions = [by_start(name) for name in names]

    def derive(tolerance: float) -> np.ndarray:
        found = sensitivities(
            shot, directions, [MIDDLE], brace_height=case.brace_height, tolerance=tolerance
        )
        return np.asarray(found.points_by[0])

    def point(start: np.ndarray, tolerance: float) -> np.ndarray:
        moved = Released(start, shot.body, shot.front, 0.0)
        flown = sensitivities(
            moved, [], [MIDDLE], brace_height=case.brace_height, tolerance=tolerance
        )
        return np.asarray(flown.points[0])

    exact = derive(1e-13)
    row("\nslopes of the impact at 60 yd", "  worst error", "µs each")
    for tolerance in (1e-6, 1e-8, 1e-10):
        error = np.max(np.abs(derive(tolerance) - exact).max(axis=0) / np.abs(exact).max(axis=0))
        took = fastest(lambda t=tolerance: derive(t), 20) / len(names)  # type: ignore[misc]
        row(f"complex step, tolerance {tolerance:g} m", f"{error:.1e}", f"{took * 1e6:.0f}")
    for tolerance in (1e-6, 1e-8, 1e-10):
        worst = 0.0
        for i, name in enumerate(names):
            errors = []
            for step in np.logspace(-9, 0, 19):
                start = shot.start.copy()
                start[START.index(name)] += step
                slope = (point(start, tolerance) - point(shot.start, tolerance)) / step
                errors.append(np.abs(slope - exact[:, i]).max() / np.abs(exact[:, i]).max())
            worst = max(worst, min(errors))
        row(f"best forward step, {tolerance:g} m", f"{worst:.1e}")


def main() -> None:
    """Measure and print."""
    case = demo_case()
    reference, _ = scipy_flight(case, 1e-13)
    print(f"Python {platform.python_version()}, numba {numba.__version__}, numpy {np.__version__},")
    print(f"scipy {scipy.__version__}, {platform.machine()}, {CORES} cores; invented demo arrow\n")
    state, rates = case.state.copy(), np.empty(16)
    many_rates(state, case.body, rates, 10)
    rhs = fastest(lambda: many_rates(state, case.body, rates, 100_000)) / 100_000
    print(f"one right-hand side: {rhs * 1e9:.0f} ns\n")
    ours = list(single_flights(case, reference))
    against_scipy(case, reference, ours)
    other_pairs(case, reference)
    batches(case)
    growth(case)
    slopes(case)


if __name__ == "__main__":
    main()
