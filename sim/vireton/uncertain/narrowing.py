"""What measurements leave of the plausible ranges: the one way in which a bow is known better.

The range of an input is even (in its logarithm where it spans decades); a reading's errors are
normal. The range that is drawn afterwards is even again, with the mean and the spread of what both
together leave: mean ± √3 standard deviations. Without a reading that is the range itself.

Readings that a range cannot hold, or that contradict one another, are told in words. The first
count all the same where they read the input itself, for a reading beats a guess; what only follows
from the model does not, nor does either of two that contradict each other.
"""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple, cast

from vireton.uncertain.bench_readings import Reads, Taken
from vireton.uncertain.inputs import changed, row_of
from vireton.uncertain.measurements import MEASUREMENTS, Measurement
from vireton.uncertain.row import Pieces, Range, spans_decades
from vireton.units.factors import FACTORS
from vireton.units.kinds import Band
from vireton.units.quantity import Quantity
from vireton.units.text import split

#: Standard deviations from which on a reading contradicts what else is known (our choice).
FAR = 3.0
_POINTS = 121
_EVEN = math.sqrt(3.0)


class Observed(NamedTuple):
    """A reading of one number: of which measurement, what was read."""

    row: Measurement
    reads: Reads
    value: float
    taken: Taken

    def off(self, one: Pieces) -> float:
        """How far the reading is from what these pieces would show, standard deviations."""
        predicted = self.reads.predicted(one, self.taken)
        return (self.value - predicted) / self.reads.error(predicted, self.taken)

    def log_likelihood(self, one: Pieces) -> float:
        """Up to a constant."""
        predicted = self.reads.predicted(one, self.taken)
        error = self.reads.error(predicted, self.taken)
        return -0.5 * ((self.value - predicted) / error) ** 2 - math.log(error)


@dataclass(frozen=True)
class Narrowed:
    """Bow and arrow with their measured numbers put in, what is still plausible, and what is odd.

    ``before``: the ranges without the measurements, around the numbers of ``pieces``.
    """

    pieces: Pieces
    ranges: dict[str, Range]
    before: dict[str, Range]
    notes: tuple[str, ...] = ()


def narrow(pieces: Pieces, ranges: Mapping[str, Range], taken: Mapping[str, Taken]) -> Narrowed:
    """Put in what was measured.

    Args:
        pieces: by the setup file's own numbers.
        ranges: plausible ones around them, SI, by the keys of the uncertain inputs.
        taken: readings by the keys of the measurements.
    """
    seen = [
        Observed(row, reads, reads.of(taken[row.key]), taken[row.key])
        for row in MEASUREMENTS
        if row.key in taken and row.applies(pieces)
        for reads in row.reads
    ]
    return with_observed(pieces, ranges, seen)


def with_observed(
    pieces: Pieces, ranges: Mapping[str, Range], seen: Iterable[Observed]
) -> Narrowed:
    """The same of readings that are there already."""
    by_input: dict[str, list[Observed]] = {}
    for one in seen:
        by_input.setdefault(one.reads.input, []).append(one)
    narrowed, before, notes = dict(ranges), dict(ranges), []
    for key, readings in by_input.items():
        if key not in ranges:
            notes += _against_the_curve(pieces, readings)
            continue
        found = _posterior(pieces, key, ranges[key], readings)
        notes += found.notes
        if found.range is None:
            continue
        low, high = found.range
        middle, size = found.middle, (found.middle if row_of(key).is_factor else 1.0)
        pieces = changed(pieces, {key: middle})
        # a factor counts from the number that it has just been put into
        narrowed[key] = (low / size, high / size)
        before[key] = (ranges[key][0] / size, ranges[key][1] / size)
    return Narrowed(pieces, narrowed, before, tuple(notes))


class _Found(NamedTuple):
    middle: float
    range: Range | None
    notes: tuple[str, ...] = ()


def _posterior(pieces: Pieces, key: str, within: Range, readings: Sequence[Observed]) -> _Found:
    def at(value: float) -> Pieces:
        return changed(pieces, {key: value})

    notes: tuple[str, ...] = ()
    grid = _grid(within)
    outside = [one for one in readings if min(abs(one.off(at(u))) for u in grid) > FAR]
    if outside:
        item = cast(Band, row_of(key).kind).item
        assert isinstance(item, Quantity)
        notes = tuple(_outside_words(one, key, within) for one in outside)
        if not all(one.reads.is_direct for one in outside):
            return _Found(0.0, None, notes)
        within = item.bounds
        grid = _grid(within, 40 * _POINTS)
    if len(readings) > 1 and min(max(abs(r.off(at(u))) for r in readings) for u in grid) > FAR:
        return _Found(0.0, None, (*notes, _apart_words(readings, key)))
    logarithmic = spans_decades(within)
    ends = [_put(end, logarithmic) for end in within]
    mean, spread = _moments(grid, logarithmic, at, readings)
    step = (ends[1] - ends[0]) / len(grid)
    if spread < 5.0 * step:  # a second, finer look where it is
        reach = 6.0 * max(spread, step)
        near = (max(ends[0], mean - reach), min(ends[1], mean + reach))
        fine = _grid((_back(near[0], logarithmic), _back(near[1], logarithmic)))
        mean, spread = _moments(fine, logarithmic, at, readings)
    low, high = max(ends[0], mean - _EVEN * spread), min(ends[1], mean + _EVEN * spread)
    found = (_back(low, logarithmic), _back(high, logarithmic))
    return _Found(_back(mean, logarithmic), found, notes)


def _put(value: float, logarithmic: bool) -> float:
    return math.log(value) if logarithmic else value


def _back(value: float, logarithmic: bool) -> float:
    return math.exp(value) if logarithmic else value


def _grid(within: Range, points: int = _POINTS) -> list[float]:
    logarithmic = spans_decades(within)
    low, high = (_put(end, logarithmic) for end in within)
    return [_back(low + (high - low) * (i + 0.5) / points, logarithmic) for i in range(points)]


def _moments(
    grid: Sequence[float],
    logarithmic: bool,
    at: Callable[[float], Pieces],
    readings: Sequence[Observed],
) -> tuple[float, float]:
    """Mean and standard deviation of the input, or of its logarithm."""
    logs = [math.fsum(one.log_likelihood(at(u)) for one in readings) for u in grid]
    top = max(logs)
    weights = [math.exp(one - top) for one in logs]
    places = [_put(u, logarithmic) for u in grid]
    whole = math.fsum(weights)
    mean = math.fsum(w * u for w, u in zip(weights, places, strict=True)) / whole
    spread = math.fsum(w * (u - mean) ** 2 for w, u in zip(weights, places, strict=True)) / whole
    return mean, math.sqrt(spread)


def _against_the_curve(pieces: Pieces, readings: Sequence[Observed]) -> list[str]:
    """Where the draw force is read already nothing is left to tell, but it can contradict that."""
    return [
        f"{one.row.where} does not fit the draw force that the bow scale read near brace "
        f"({abs(one.off(pieces)):.0f} times what errors explain): take one of them anew. The scale "
        "counts"
        for one in readings
        if abs(one.off(pieces)) > FAR
    ]


def _outside_words(one: Observed, key: str, within: Range) -> str:
    row = row_of(key)
    said = (
        f"{one.row.where} does not fit the range that the setup file has for {row.words}, "
        f"{_said(within, key)}."
    )
    if not one.reads.is_direct:
        return f"{said} It does not count: take it anew, or widen uncertainty.{key}"
    own = "".join(f"{name}, or " for name in one.row.replaces)
    return f"{said} The measurement counts; check it, and correct {own}uncertainty.{key}"


def _said(within: Range, key: str) -> str:
    """``"30 % to 60 %"``, in the unit of the row's example."""
    item = cast(Band, row_of(key).kind).item
    assert isinstance(item, Quantity)
    unit = split(item.like)[1]
    low, high = (end / FACTORS[item.dimension][unit] for end in within)
    return f"{low:.4g} {unit} to {high:.4g} {unit}"


def _apart_words(readings: Sequence[Observed], key: str) -> str:
    named = " and ".join(dict.fromkeys(one.row.where for one in readings))
    return (
        f"{named} contradict each other about {row_of(key).words}: neither counts. Measure both "
        "anew, and correct what was wrong"
    )
