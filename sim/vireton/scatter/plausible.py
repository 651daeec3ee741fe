"""How much the groups could differ for what was not measured: the same scatter, plausible bows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from vireton.kernel.arrays import FloatArray
from vireton.rig import Rig, vary
from vireton.scatter.case import Case, make_case
from vireton.scatter.sources import Scatter
from vireton.scatter.study import Answer
from vireton.uncertain import Banded, band, latin_hypercube

#: Arrows of each plausible bow. So few are enough, for only their differences from the nominal bow
#: with the very same shots count.
ARROWS_EACH = 512


@dataclass(frozen=True, eq=False)
class GroupBands:
    """Nominal values with the 5th and 95th percentile over plausible bows, m; as in a Group."""

    center: Banded
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


def group_bands(nominal: Answer, few: Answer, drawn: Sequence[Answer]) -> dict[str, GroupBands]:
    """Bands by kind of arrow.

    ``drawn`` and ``few`` shot the same, ``few`` with the bow of ``nominal``: what the drawn ones
    differ by is laid around the nominal values.
    """

    def banded(kind: str, name: str) -> Banded:
        def of(answer: Answer) -> FloatArray:
            values: FloatArray = getattr(answer.groups[kind], name).value
            return values

        around = [of(nominal) + of(one) - of(few) for one in drawn]
        if name != "center":  # the others are never below nothing
            around = [np.clip(one, 0.0, 1.0 if name == "hits" else None) for one in around]
        return band(of(nominal), around)

    names = ("center", "sd", "radius", "hits")
    return {kind: GroupBands(*(banded(kind, name) for name in names)) for kind in nominal.groups}
