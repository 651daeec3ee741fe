"""How much an answer could differ for what was not measured: draws over plausible ranges."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from vireton.kernel.arrays import FloatArray
from vireton.uncertain.row import DECADE, spans_decades

DEFAULT_DRAWS = 64
DEFAULT_SEED = 1

#: Share of the draws that a band holds, 5th to 95th percentile.
BAND_SHARE = 0.90


@dataclass(frozen=True)
class Banded:
    """A result and its band. Arrays of one shape.

    ``nominal`` with the setup's own numbers, ``low`` and ``high`` the 5th and 95th percentile over
    the draws. The band covers the listed uncertain inputs only: not the scatter of shots, and not
    what the model leaves out.
    """

    nominal: FloatArray
    low: FloatArray
    high: FloatArray

    def __getitem__(self, place: Any) -> "Banded":
        return Banded(self.nominal[place], self.low[place], self.high[place])


def latin_hypercube(
    ranges: Mapping[str, tuple[float, float]], count: int, seed: int
) -> list[dict[str, float]]:
    """Evenly spread draws: each range is cut in ``count`` slices and each slice is used once.

    McKay, Beckman and Conover 1979, "A Comparison of Three Methods for Selecting Values of Input
    Variables", Technometrics 21:239–245. The ranges are independent; within each the draws are
    uniform, or, where the high end is ten times the low one or more, uniform in the logarithm: such
    a range says that not even the size is known. The same seed gives the same draws. Raises
    ValueError for a count below 1.
    """
    if count < 1:
        raise ValueError(f"at least one draw is needed, got {count}")
    random = np.random.default_rng(seed)
    draws: list[dict[str, float]] = [{} for _ in range(count)]
    for name, (low, high) in ranges.items():
        shares = (random.permutation(count) + random.random(count)) / count
        for draw, share in zip(draws, shares, strict=True):
            draw[name] = range_at((low, high), float(share))
    return draws


def range_at(within: tuple[float, float], share: float) -> float:
    """The value at this share of a range, 0 to 1, as it is drawn."""
    low, high = within
    if spans_decades(within):
        return float(low * (high / low) ** share)
    return low + (high - low) * share


def share_of(within: tuple[float, float], value: float) -> float:
    """Where in its range a value lies, the reverse of :func:`range_at`."""
    low, high = within
    if not high > low:
        return 0.5
    if spans_decades(within):
        return math.log(value / low) / math.log(high / low)
    return (value - low) / (high - low)


def band(
    nominal: FloatArray, drawn: Sequence[FloatArray], weights: FloatArray | None = None
) -> Banded:
    """Nominal values with the band of the drawn ones; nan where any draw has none.

    ``weights`` (n,) of the draws; without them all count alike.
    """
    stack = np.stack([nominal, *drawn])
    tail = (1.0 - BAND_SHARE) / 2.0
    if weights is None:
        low, high = np.percentile(stack, [100.0 * tail, 100.0 - 100.0 * tail], axis=0)
    else:
        # the nominal one counts as a draw like the others
        counted = np.concatenate([[np.mean(weights)], weights])
        low, high = quantiles(stack, [tail, 1.0 - tail], counted)
    # a lopsided band can leave the nominal value just outside: never show it so
    return Banded(nominal, np.minimum(low, nominal), np.maximum(high, nominal))


def quantiles(values: FloatArray, shares: Sequence[float], weights: FloatArray) -> FloatArray:
    """Quantiles over the first axis of ``values`` (n, ...), the n values weighed.

    Returns:
        (k, ...), one for each of ``shares`` (0 to 1); nan where any value is. Straight lines
        between the middles of the weights' steps, the first at 0 and the last at 1: with equal
        weights this is numpy's own.
    """
    counted = np.asarray(weights, dtype=float) > 0.0
    flat = np.asarray(values, dtype=float).reshape(len(values), -1)[counted]
    found = np.full((len(shares), flat.shape[1]), np.nan)
    for column in range(flat.shape[1]):
        if np.isnan(flat[:, column]).any():
            continue
        order = np.argsort(flat[:, column], kind="stable")
        weight = np.asarray(weights, dtype=float)[counted][order]
        middle = np.cumsum(weight) - 0.5 * weight
        span = middle[-1] - middle[0]
        place = (middle - middle[0]) / span if span > 0.0 else np.zeros_like(middle)
        found[:, column] = np.interp(shares, place, flat[order, column])
    return found.reshape(len(shares), *np.shape(values)[1:])


def variance_shares(
    draws: Sequence[Mapping[str, float]], values: FloatArray, weights: FloatArray | None = None
) -> dict[str, float]:
    """Which input decides a result: the share of its variance that each explains on its own.

    Args:
        draws: of independent inputs, as :func:`latin_hypercube` gives them.
        values: (n,) the result of each.
        weights: (n,) of the draws; without them all count alike.

    Returns:
        Shares by name, largest first; they add up to at most 1, and what is missing is curvature
        and interplay. All 0 where nothing varies.

    Squared standardized regression coefficients (Saltelli et al. 2008, *Global Sensitivity
    Analysis: The Primer*, section 1.2.5, from memory), with as many degrees of freedom taken off as
    there are inputs, so that few draws do not make shares out of noise. An input that spans decades
    counts by its logarithm. Weights tie the inputs to one another a little: the shares are then
    those of what is left.
    """
    names = [name for name in draws[0] if len({draw[name] for draw in draws}) > 1]
    share = np.full(len(draws), 1.0 / len(draws))
    if weights is not None:
        share = np.asarray(weights, dtype=float) / np.sum(weights)
    centered = values - share @ values
    spread = float(share @ centered**2)
    if not names or not spread > 0.0:
        return dict.fromkeys(draws[0], 0.0)
    count = 1.0 / float(share @ share)
    if count <= len(names) + 1:
        # any numbers could be fitted: nothing is told apart
        return dict.fromkeys(names, 0.0)
    inputs = np.array([[draw[name] for name in names] for draw in draws])
    wide = _drawn_by_logarithm(inputs)
    inputs[:, wide] = np.log(inputs[:, wide])
    inputs = inputs - share @ inputs
    inputs /= np.sqrt(share @ inputs**2)
    root = np.sqrt(share)
    coefficients, *_ = np.linalg.lstsq(root[:, None] * inputs, root * centered, rcond=None)
    left = centered - inputs @ coefficients
    noise = float(share @ left**2) / (count - len(names) - 1)
    shares = np.maximum(coefficients**2 - noise, 0.0) / spread
    shares /= max(1.0, float(shares.sum()))
    order = np.argsort(-shares)
    return {names[i]: float(shares[i]) for i in order}


def _drawn_by_logarithm(inputs: FloatArray) -> npt.NDArray[np.bool_]:
    """Which columns lie evenly in the logarithm, by where their middle is between their ends."""
    low, high = inputs.min(axis=0), inputs.max(axis=0)
    middle = np.median(inputs, axis=0)
    between = np.sqrt(np.maximum(low, 0.0) * np.maximum(high, 0.0))
    far = (low > 0.0) & (high > 0.5 * DECADE * low)
    return np.asarray(far & (np.abs(middle - between) < np.abs(middle - 0.5 * (low + high))))
