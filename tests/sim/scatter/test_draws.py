"""Quasi-random normal numbers."""

import numpy as np
import pytest

from vireton.scatter.arrows import REACH
from vireton.scatter.draws import normal_draws
from vireton.scatter.sources import SOURCES


def test_a_point_is_the_same_wherever_its_block_begins():
    whole = normal_draws(3, 5, 0, 256)
    parts = [normal_draws(3, 5, first, 64) for first in (0, 64, 128, 192)]
    assert whole.shape == (256, len(SOURCES))
    assert np.array_equal(np.concatenate(parts), whole)


def test_seeds_and_replicates_differ():
    one = normal_draws(3, 5, 0, 16)
    assert not np.isclose(one, normal_draws(3, 6, 0, 16)).any()
    assert not np.isclose(one, normal_draws(4, 5, 0, 16)).any()


def test_they_are_normal_and_even():
    draws = normal_draws(1, 0, 0, 1 << 12)
    # plain random numbers would miss by some 1/64 = 0.016
    assert abs(draws.mean(axis=0)).max() < 2e-3
    assert draws.std(axis=0) == pytest.approx(1.0, abs=5e-3)
    apart = np.corrcoef(draws.T) - np.eye(len(SOURCES))
    assert abs(apart).max() < 0.02


def test_none_lies_beyond_the_surfaces_or_at_infinity():
    from scipy.special import ndtri  # the very ends of what a point can be

    assert abs(ndtri(0.5**31)) < REACH
    assert np.isfinite(normal_draws(7, 1, 0, 1 << 15)).all()
