"""How much the groups could differ for what was not measured: the same scatter, plausible bows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy.typing as npt

from vireton.bands import Banded, band, latin_hypercube
from vireton.rig import Rig, vary
from vireton.scatter.case import Case, make_case
from vireton.scatter.sources import Scatter
from vireton.scatter.study import Answer

#: Arrows of each plausible bow: the bands are far wider than what so few leave open.
ARROWS_EACH = 1024


@dataclass(frozen=True, eq=False)
class GroupBands:
    """Nominal values with the 5th and 95th percentile over plausible bows, m; as in a Group."""

    centre: Banded
    sd: Banded
    radius: Banded
    hits: Banded


def plausible_cases(
    rig: Rig,
    scatter: Scatter,
    distances: npt.ArrayLike,
    target: float,
    ranges: Mapping[str, tuple[float, float]],
    *,
    draws: int,
    seed: int,
) -> list[Case]:
    """Cases of ``draws`` plausible bows, each sighted in anew; the shots are the same for all."""
    return [
        make_case(vary(rig, values), scatter, distances, target, seed=seed)
        for values in latin_hypercube(ranges, draws, seed)
    ]


def group_bands(nominal: Answer, drawn: Sequence[Answer]) -> dict[str, GroupBands]:
    """Bands by kind of arrow."""

    def banded(kind: str, name: str) -> Banded:
        values = [getattr(one.groups[kind], name).value for one in (nominal, *drawn)]
        return band(values[0], values[1:])

    names = ("centre", "sd", "radius", "hits")
    return {kind: GroupBands(*(banded(kind, name) for name in names)) for kind in nominal.groups}
