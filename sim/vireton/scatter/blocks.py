"""A study cut into blocks: each is shot by itself, anywhere, and gives the same record."""

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from vireton.flight.volley import shoot_volley
from vireton.kernel.arrays import FloatArray
from vireton.kernel.parameters import Parameters
from vireton.kernel.start import START
from vireton.scatter.arrows import LAUNCH, Family
from vireton.scatter.case import Case, own_program
from vireton.scatter.draws import normal_draws
from vireton.scatter.record import Record, record_of
from vireton.scatter.sources import SOURCES
from vireton.units.problems import InputProblem

_WIND = [Parameters._fields.index(name) for name in ("wind_x", "wind_right")]


@dataclass(frozen=True)
class Block:
    """Shots ``first`` to ``first + count`` of one replicate of one case."""

    case: int
    replicate: int
    first: int
    count: int


class Runner(Protocol):
    """Shoots blocks somewhere and hands back their records in the order of the blocks."""

    def __call__(self, cases: Sequence[Case], blocks: Sequence[Block]) -> Iterator[Record]:
        """Records, one a block."""
        ...


def shoot_block(case: Case, block: Block) -> Record:
    """Shoot one block: a pure function of its arguments, with no state and no side effect.

    Raises InputProblem where the case was made by other sources than these: the numbers could
    differ in silence.
    """
    if case.program != own_program():
        raise InputProblem(
            "this study was prepared by another version of Vireton, or with another numba or "
            "Python, than the worker that shoots it: install the same everywhere"
        )
    draws = normal_draws(case.seed, block.replicate, block.first, block.count)
    active = [SOURCES.index(name) for name in case.scatter.active]
    return record_of(
        shots(case, draws), case.landing, case.middle, 0.5 * case.target, draws[:, active]
    )


def shots(case: Case, draws: FloatArray) -> FloatArray:
    """Where the points land, (k, m, n, 2) m right and up from the line of sight.

    ``draws`` (m, sources) in SDs, in the order of :data:`~vireton.scatter.sources.SOURCES`. nan
    where a distance is never reached.
    """
    by_name = dict(zip(SOURCES, draws.T, strict=True))
    return np.array([_places(case, family, by_name) for family in case.kinds.values()])


def _places(case: Case, family: Family, draws: dict[str, FloatArray]) -> FloatArray:
    """The same of one kind of arrow, (m, n, 2)."""
    scatter, aim = case.scatter, case.aim
    change = {name: getattr(scatter, name) * draw for name, draw in draws.items()}
    launch = family.launched(draws["mass"], draws["spine"])
    columns = {name: launch[name] for name in (*LAUNCH, "balance")}
    for name in ("speed", "yaw", "pitch", "yaw_rate", "pitch_rate"):
        columns[name] = columns[name] + change[name]
    still = np.zeros_like(launch["balance"])
    columns["elevation"] = aim.elevation + change["aim_up"]
    columns["windage"] = aim.windage + change["aim_right"]
    columns["height"] = aim.height + still
    columns["cant"] = aim.cant + still
    bodies = family.packed(draws["mass"], draws["speed"])
    bodies[:, _WIND[0]] = case.wind[0] + change["gust_along"]
    bodies[:, _WIND[1]] = case.wind[1] + change["gust_across"]
    volley = shoot_volley(
        np.stack([columns[name] for name in START], axis=1),
        bodies,
        launch["front"],
        case.distances,
        case.brace_height,
        threads=1,
    )
    return np.stack([volley.right, volley.up], axis=-1)


def run_here(
    cases: Sequence[Case], blocks: Sequence[Block], threads: int | None = None
) -> Iterator[Record]:
    """Shoot on this machine, a block a core at a time; ``threads`` changes nothing but the time."""
    workers = min(threads or os.cpu_count() or 1, len(blocks))
    with ThreadPoolExecutor(workers) as pool:
        try:
            yield from pool.map(lambda block: shoot_block(cases[block.case], block), blocks)
        except BaseException:  # Ctrl-C too: what has not begun never does
            pool.shutdown(wait=False, cancel_futures=True)
            raise
