"""One set-up and its scatter, worked out so far that shooting it takes plain numbers only."""

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import numpy.typing as npt

from vireton.flight.flight import Flight, Wind
from vireton.flight.reaching import demand_reached
from vireton.flight.volley import Aim
from vireton.kernel.arrays import FloatArray
from vireton.kernel.compiled import sources_hash
from vireton.rig import Rig
from vireton.scatter.arrows import Family, families
from vireton.scatter.sources import Scatter


@dataclass(frozen=True, eq=False)
class Case:
    """All that a block of shots depends on. Plain data: it can be sent to another machine.

    ``program`` names the very sources that made it: other ones must not shoot it. ``kinds`` holds
    the families by name, ``wind`` m/s the steady wind (along, right). ``distances`` (n,) m;
    ``landing`` (k, n, 2) m: where each kind lands without scatter, in the steady wind; ``middle``
    (n, 2) m: the middle of the target, where the fletched arrow lands without scatter in still air
    and with the bow upright: as if each distance had its pin.
    """

    program: str
    label: str
    scatter: Scatter
    kinds: dict[str, Family]
    aim: Aim
    brace_height: float
    wind: tuple[float, float]
    distances: FloatArray
    landing: FloatArray
    middle: FloatArray
    target: float
    seed: int


@cache
def own_program() -> str:
    """Names the sources, numba and Python of this process."""
    return sources_hash()


def make_case(
    rig: Rig,
    scatter: Scatter,
    distances: npt.ArrayLike,
    target: float,
    *,
    seed: int,
    label: str = "",
) -> Case:
    """Work a case out.

    Args:
        rig: sighted in; its own wind is the steady part.
        scatter: what differs from shot to shot.
        distances: (n,) m.
        target: m, diameter of the circle that counts as a hit, > 0.
        seed: of all draws.
        label: a name, where there are several cases.

    Raises InputProblem where an arrow without scatter does not get so far, or as
    :func:`vireton.scatter.arrows.families` does.
    """
    where = np.atleast_1d(np.asarray(distances, dtype=float))
    kinds = families(rig, scatter)
    landing = [_place(rig.shoot(getattr(rig, kind), where), kind) for kind in kinds]
    calm = replace(
        rig,
        conditions=replace(rig.conditions, wind=Wind()),
        aim=replace(rig.aim, cant=0.0),
    )
    middle = _place(calm.shoot(calm.fletched, where), "fletched")
    steady = rig.conditions.wind
    return Case(
        program=own_program(),
        label=label,
        scatter=scatter,
        kinds=kinds,
        aim=rig.aim,
        brace_height=rig.bow.brace_height,
        wind=(steady.towards_x, steady.towards_right),
        distances=where,
        landing=np.array(landing),
        middle=middle,
        target=target,
        seed=seed,
    )


def _place(flight: Flight, kind: str) -> FloatArray:
    demand_reached(f"the {kind} arrow", flight.distance, flight.time, why=flight.message)
    return np.column_stack([flight.right, flight.up])
