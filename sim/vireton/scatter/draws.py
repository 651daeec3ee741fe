"""Evenly spread normal numbers: scrambled Sobol' points."""

import numpy as np
from scipy.special import ndtri
from scipy.stats.qmc import Sobol

from vireton.kernel.arrays import FloatArray
from vireton.scatter.sources import SOURCES

#: Digits of a point in base two; half a last digit is added, so that none is 0 or 1 and no normal
#: number lies farther out than 6.24.
_BITS = 30


def normal_draws(seed: int, replicate: int, first: int, count: int) -> FloatArray:
    """Standard normal numbers (count, sources): points ``first`` on of one scrambled sequence.

    The same arguments give the same numbers, and a point does not depend on ``count``. Sequences of
    different ``replicate`` are scrambled independently: each is a fair sample by itself, and how
    much they differ tells the standard error (Owen 1995, "Randomly Permuted (t,m,s)-Nets and
    (t,s)-Sequences", from memory). Mapped to normal numbers by the inverse of their distribution.
    """
    generator = np.random.default_rng([seed, replicate])
    sequence = Sobol(len(SOURCES), scramble=True, bits=_BITS, seed=generator)
    if first:
        sequence.fast_forward(first)
    points = sequence.random(count) + 0.5 ** (_BITS + 1)
    return np.asarray(ndtri(points))
