"""Arrows side by side: their figures with bands, and which differences are clear."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import numpy.typing as npt

from vireton.bow.arrow import Arrow
from vireton.bow.bow import Bow, Sight
from vireton.flight.flight import Wind
from vireton.kernel.arrays import FloatArray
from vireton.launch import speed_on_bow
from vireton.rig import Rig, assemble_rig, vary
from vireton.studies.arrow_figures import arrow_figures
from vireton.studies.figures import BY_NAME
from vireton.uncertain import DEFAULT_DRAWS, DEFAULT_SEED, Banded, band, latin_hypercube
from vireton.uncertain.inputs import ALL_INPUTS

Verdict = Literal["higher", "lower", "no_clear_difference", "cannot_tell"]

#: Of a figure: the whole flight, or the index of a distance.
Place = int | tuple[()]
WHOLE: Place = ()


@dataclass(frozen=True)
class Contender:
    """One arrow of a comparison on its bow.

    ``ranges``: plausible low and high, see :data:`vireton.uncertain.inputs.INPUTS`; that of
    ``arrow_speed`` is of the speed measured with ``measured_bow`` and ``measured_arrow``, from
    which the arrow's own follows. ``file`` counts the setup files: those of one share all draws.
    """

    label: str
    rig: Rig
    ranges: Mapping[str, tuple[float, float]]
    measured_bow: Bow
    measured_arrow: Arrow
    file: int = 0


@dataclass(frozen=True)
class Compared:
    """One contender's figures, and their differences from the first contender's.

    Both by the names of :data:`~vireton.studies.figures.FIGURES`, arrays of shape () or (n,). The
    band of a difference is of the difference within each draw, not of two bands.
    """

    contender: Contender
    figures: dict[str, Banded]
    differences: dict[str, Banded]

    def verdict(self, name: str, place: Place = WHOLE) -> Verdict:
        """Whether this figure clearly differs from the first contender's (at one distance)."""
        return verdict(self.differences[name][place], BY_NAME[name].least)


def verdict(difference: Banded, least: float) -> Verdict:
    """``no_clear_difference`` where the band holds 0 or any difference below ``least``.

    ``cannot_tell`` where either side, or a draw of it, has no value.
    """
    value, low, high = (float(v) for v in (difference.nominal, difference.low, difference.high))
    if not np.isfinite([value, low, high]).all():
        return "cannot_tell"
    if low >= least:
        return "higher"
    if high <= -least:
        return "lower"
    return "no_clear_difference"


def contender(
    label: str,
    rig: Rig,
    ranges: Mapping[str, tuple[float, float]],
    *,
    measured_bow: Bow | None = None,
    measured_arrow: Arrow | None = None,
    file: int = 0,
) -> Contender:
    """A contender in still air on level ground, measured from the bore line.

    Without ``measured_bow`` and ``measured_arrow`` the rig's own speed is the measured one.
    """
    level = assemble_rig(
        rig.bow,
        rig.fletched.parts,
        replace(rig.conditions, wind=Wind(), slope=0.0),
        Sight(None, 0.0),
        override=rig.override,
    )
    return Contender(
        label, level, ranges, measured_bow or rig.bow, measured_arrow or rig.fletched, file
    )


def compare(
    contenders: Sequence[Contender],
    distances: npt.ArrayLike,
    *,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    progress: Callable[[Sequence[Contender]], Iterable[Contender]] = iter,
) -> list[Compared]:
    """Figures of each contender and their differences from the first one's.

    Args:
        contenders: one or more, see :func:`contender`.
        distances: (n,) m from the grip.
        draws: plausible worlds for the bands. In each, all contenders share what nobody knows:
            the air's coefficients, and the numbers of bow and shaft where they are the same. So two
            bands may overlap while the difference is clear. Speeds measured for separate files err
            each by itself.
        seed: of the draws.
        progress: wraps the contenders, to show how far the work is.
    """
    where = np.atleast_1d(np.asarray(distances, dtype=float))
    first = contenders[0]
    answers: list[Compared] = []
    reference: list[dict[str, FloatArray]] = []
    for one in progress(contenders):
        drawn = _draws(one, first, draws, seed)
        rigs = [one.rig, *(_drawn(one, values) for values in drawn)]
        rows = [arrow_figures(rig, where) for rig in rigs]
        reference = reference or rows
        figures, differences = {}, {}
        for name in rows[0]:
            figures[name] = band(rows[0][name], [row[name] for row in rows[1:]])
            apart = [row[name] - base[name] for row, base in zip(rows, reference, strict=True)]
            differences[name] = band(apart[0], apart[1:])
        answers.append(Compared(one, figures, differences))
    return answers


def _draws(one: Contender, first: Contender, count: int, seed: int) -> list[dict[str, float]]:
    """The same place in every range for all contenders, but for what each file knows by itself."""
    shared = latin_hypercube(one.ranges, count, seed)
    if one.file == first.file:
        return shared
    apart = {"chronograph"}
    if replace(one.measured_bow, arrow_speed=first.measured_bow.arrow_speed) != first.measured_bow:
        apart.add("bow")
    if one.measured_arrow.parts.shaft != first.measured_arrow.parts.shaft:
        apart.add("shaft")
    keys = {row.key for row in ALL_INPUTS if row.known_of in apart}
    ranges = {key: pair for key, pair in one.ranges.items() if key in keys}
    own = latin_hypercube(ranges, count, seed + one.file)
    return [{**ours, **theirs} for ours, theirs in zip(shared, own, strict=True)]


def _drawn(one: Contender, values: Mapping[str, float]) -> Rig:
    measured = values.get("arrow_speed", one.measured_bow.arrow_speed)
    speed = speed_on_bow(
        replace(one.measured_bow, arrow_speed=measured),
        one.measured_arrow,
        one.rig.bow,
        one.rig.fletched,
    )
    return vary(one.rig, {**values, "arrow_speed": speed})
