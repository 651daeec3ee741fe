"""Shoot until the answer is as sure as asked, or as many arrows as allowed."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vireton.scatter.blocks import Block, Runner, run_here
from vireton.scatter.case import Case
from vireton.scatter.estimates import Group, groups_of
from vireton.scatter.record import Record

#: Independent scrambles: the standard error of 16 is itself known to a sixth (our choice).
REPLICATES = 16
#: Shots of each replicate to begin with; powers of two keep Sobol' points balanced.
FIRST_SHOTS = 128
#: Shots of a block: some 50 ms of work, far more than handing it over costs.
BLOCK_SHOTS = 1024
#: m: an SD below this is known well enough when its error is a small share of this (our choice).
_SMALL_SPREAD = 1e-3


@dataclass(frozen=True, eq=False)
class Answer:
    """One case's groups by kind of arrow. ``arrows`` were shot of each kind.

    ``reached_precision`` tells whether the standard errors are as small as asked; where not,
    ``arrows_needed`` says about how many would do, at most.
    """

    label: str
    groups: dict[str, Group]
    arrows: int
    reached_precision: bool
    arrows_needed: int


def run_study(
    cases: Sequence[Case],
    *,
    precision: float | None = 0.01,
    most: int = 1_048_576,
    fewest: int = REPLICATES * FIRST_SHOTS,
    runner: Runner = run_here,
) -> list[Answer]:
    """Shoot all cases with the same draws, doubling the number of arrows until all are sure.

    Args:
        cases: from :func:`~vireton.scatter.case.make_case`; the same draws make their difference
            surer than the answers themselves.
        precision: standard error to reach, as a share of each SD (of 1 mm, where that is larger);
            hit probabilities to half as many points. None: shoot ``fewest`` arrows and no more.
        most: arrows of each kind and case, never exceeded.
        fewest: arrows to begin with. Both are rounded down to 16 times a power of two, which
            keeps the points balanced, but not below 32.
        runner: who shoots the blocks.

    The result is the same to the last bit whoever shoots the blocks and in whatever order; across
    machines of another kind the last bits may differ, for their processors do.
    """
    shots = _balanced(fewest)
    done = 0
    totals: dict[tuple[int, int], Record] = {}
    while True:
        blocks = plan(len(cases), done, shots)
        for block, record in zip(blocks, runner(cases, blocks), strict=True):
            key = block.case, block.replicate
            totals[key] = totals[key] + record if key in totals else record
        done = shots
        answers = [
            _answer(case, [totals[i, r] for r in range(REPLICATES)], done, precision)
            for i, case in enumerate(cases)
        ]
        if precision is None or all(one.reached_precision for one in answers):
            return answers
        shots = 2 * done
        if shots * REPLICATES > most:
            return answers


def plan(cases: int, done: int, shots: int) -> list[Block]:
    """Blocks that bring every replicate of every case from ``done`` to ``shots`` shots."""
    return [
        Block(case, replicate, first, min(BLOCK_SHOTS, shots - first))
        for case in range(cases)
        for replicate in range(REPLICATES)
        for first in range(done, shots, BLOCK_SHOTS)
    ]


def _balanced(arrows: int) -> int:
    """Shots a replicate, a power of two of two or more, for so many arrows."""
    return 1 << max(1, int(math.log2(max(arrows, 2) / REPLICATES)) if arrows >= REPLICATES else 1)


def _answer(case: Case, replicates: list[Record], shots: int, precision: float | None) -> Answer:
    groups = groups_of(case, replicates)
    arrows = shots * REPLICATES
    excess = max(_excess(group, precision or 1.0) for group in groups.values())
    return Answer(
        label=case.label,
        groups=groups,
        arrows=arrows,
        reached_precision=precision is None or excess <= 1.0,
        # as if the points were independent: Sobol' points need fewer
        arrows_needed=math.ceil(arrows * max(excess, 1.0) ** 2),
    )


def _excess(group: Group, precision: float) -> float:
    """Largest standard error, in multiples of the one asked for."""
    relative = group.sd.error / np.maximum(group.sd.value, _SMALL_SPREAD)
    return max(float(relative.max()) / precision, float(group.hits.error.max()) / (precision / 2))
