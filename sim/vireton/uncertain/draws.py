"""How much an answer could differ for what was not measured: draws over plausible ranges."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from vireton.kernel.arrays import FloatArray

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
    Variables", Technometrics 21:239–245. Uniform within each range, the ranges independent. The
    same seed gives the same draws. Raises ValueError for a count below 1.
    """
    if count < 1:
        raise ValueError(f"at least one draw is needed, got {count}")
    random = np.random.default_rng(seed)
    draws: list[dict[str, float]] = [{} for _ in range(count)]
    for name, (low, high) in ranges.items():
        shares = (random.permutation(count) + random.random(count)) / count
        for draw, share in zip(draws, shares, strict=True):
            draw[name] = low + (high - low) * float(share)
    return draws


def band(nominal: FloatArray, drawn: Sequence[FloatArray]) -> Banded:
    """Nominal values with the band of the drawn ones; nan where any draw has none."""
    stack = np.stack([nominal, *drawn])
    tail = 100.0 * (1.0 - BAND_SHARE) / 2.0
    low, high = np.percentile(stack, [tail, 100.0 - tail], axis=0)
    # a lopsided band can leave the nominal value just outside: never show it so
    return Banded(nominal, np.minimum(low, nominal), np.maximum(high, nominal))


def variance_shares(draws: Sequence[Mapping[str, float]], values: FloatArray) -> dict[str, float]:
    """Which input decides a result: the share of its variance that each explains on its own.

    Args:
        draws: of independent inputs, as :func:`latin_hypercube` gives them.
        values: (n,) the result of each.

    Returns:
        Shares by name, largest first; they add up to at most 1, and what is missing is curvature
        and interplay. All 0 where nothing varies.

    Squared standardized regression coefficients (Saltelli et al. 2008, *Global Sensitivity
    Analysis: The Primer*, section 1.2.5, from memory), with as many degrees of freedom taken off as
    there are inputs, so that few draws do not make shares out of noise.
    """
    names = [name for name in draws[0] if len({draw[name] for draw in draws}) > 1]
    spread = float(np.var(values))
    if not names or not spread > 0.0:
        return dict.fromkeys(draws[0], 0.0)
    if len(draws) <= len(names) + 1:
        # any numbers could be fitted: nothing is told apart
        return dict.fromkeys(names, 0.0)
    inputs = np.array([[draw[name] for name in names] for draw in draws])
    inputs = (inputs - inputs.mean(axis=0)) / inputs.std(axis=0)
    centered = values - values.mean()
    coefficients, *_ = np.linalg.lstsq(inputs, centered, rcond=None)
    left = centered - inputs @ coefficients
    noise = float(left @ left) / (len(draws) - len(names) - 1) / len(draws)
    shares = np.maximum(coefficients**2 - noise, 0.0) / spread
    shares /= max(1.0, float(shares.sum()))
    order = np.argsort(-shares)
    return {names[i]: float(shares[i]) for i in order}
