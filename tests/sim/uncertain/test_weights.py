"""Weighing draws by rules: exact where it can be, and the least change that does it."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vireton.uncertain.weights import carried, effective_number, tilt


def test_one_rule_is_two_factors():
    follows = np.array([[True], [True], [False], [False], [False], [False], [False], [False]])
    weights = tilt(follows, (0.75,))
    assert weights == pytest.approx([0.375] * 2 + [0.25 / 6] * 6)


def test_equal_weights_where_the_share_is_met_or_nothing_is_asked():
    follows = np.array([[True, False], [True, True], [True, True], [False, True]])
    assert tilt(follows, (0.75, 0.75)) == pytest.approx([0.25] * 4)
    assert tilt(follows, (None, None)) == pytest.approx([0.25] * 4)


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_a_rule_that_all_or_none_follow_is_left_alone(share):
    follows = np.full((5, 1), bool(share))
    assert tilt(follows, (0.75,)) == pytest.approx([0.2] * 5)


@settings(deadline=None)
@given(st.integers(0, 10_000), st.floats(0.05, 0.95), st.floats(0.05, 0.95))
def test_both_rules_hold_in_their_shares(seed, first, second):
    follows = np.random.default_rng(seed).random((80, 2)) < (0.3, 0.6)
    weights = tilt(follows, (first, second))
    assert weights @ follows == pytest.approx([first, second], abs=1e-6)
    assert (weights > 0.0).all()
    assert weights.sum() == pytest.approx(1.0)
    # draws of one class count alike: experience knows the side and nothing else
    for kind in np.unique(follows, axis=0):
        own = weights[(follows == kind).all(axis=1)]
        assert own == pytest.approx(own[0])


def test_no_other_weights_of_those_shares_lie_nearer_to_equal_ones():
    random = np.random.default_rng(3)
    follows = random.random((40, 2)) < (0.3, 0.6)
    weights = tilt(follows, (0.75, 0.9))
    constraints = np.vstack([follows.T, np.ones(40)])
    away = random.standard_normal(40)
    away -= np.linalg.pinv(constraints) @ (constraints @ away)  # keeps the shares

    def entropy(w):
        return float(np.sum(w * np.log(w * len(w))))

    for step in (1e-4, -1e-4):
        assert entropy(weights + step * away) > entropy(weights)


def test_effective_number_of_draws():
    assert effective_number(np.full(64, 1.0 / 64)) == pytest.approx(64.0)
    assert effective_number(np.array([1.0, 0.0, 0.0])) == 1.0
    assert effective_number(np.array([3.0, 1.0])) == pytest.approx(16.0 / 10.0)


def test_a_share_that_too_few_draws_would_carry_stops_short():
    follows = np.zeros((100, 1), dtype=bool)
    follows[:3] = True
    weights = carried(follows, (0.75,), 60.0)
    assert effective_number(weights) == pytest.approx(60.0, rel=1e-3)
    assert 0.03 < weights @ follows[:, 0] < 0.75
    assert carried(follows, (0.75,), 1.0) == pytest.approx(tilt(follows, (0.75,)))
    assert carried(follows, (0.75,), 100.0) == pytest.approx(np.full(100, 0.01), rel=0.01)
