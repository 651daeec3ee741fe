"""Draws and bands."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vireton.uncertain.draws import band, latin_hypercube, quantiles, variance_shares

RANGES = {"a": (0.0, 1.0), "b": (-3.0, 5.0)}


@given(st.integers(1, 200), st.integers(0, 1000))
def test_every_slice_of_every_range_is_used_once(count, seed):
    draws = latin_hypercube(RANGES, count, seed)
    for name, (low, high) in RANGES.items():
        slices = sorted(int((draw[name] - low) / (high - low) * count) for draw in draws)
        assert slices == list(range(count))


def test_the_same_seed_gives_the_same_draws_and_another_does_not():
    assert latin_hypercube(RANGES, 16, 3) == latin_hypercube(RANGES, 16, 3)
    assert latin_hypercube(RANGES, 16, 3) != latin_hypercube(RANGES, 16, 4)


def test_the_ranges_are_drawn_independently():
    draws = latin_hypercube(RANGES, 2000, 1)
    values = np.array([[draw["a"], draw["b"]] for draw in draws])
    # 4 standard errors of a correlation of nothing
    assert abs(np.corrcoef(values.T)[0, 1]) < 4.0 / np.sqrt(2000)


def test_a_band_of_a_known_distribution():
    # even draws over 0…1: the 5th and 95th percentile are 0.05 and 0.95
    values = [np.array([draw["a"]]) for draw in latin_hypercube({"a": (0.0, 1.0)}, 1000, 1)]
    result = band(np.array([0.5]), values)
    assert result.low[0] == pytest.approx(0.05, abs=2e-3)
    assert result.high[0] == pytest.approx(0.95, abs=2e-3)


def test_the_nominal_value_is_never_outside_its_band():
    result = band(np.array([9.0]), [np.array([v]) for v in (0.0, 1.0, 2.0)] * 20)
    assert result.high[0] == 9.0


def test_a_draw_without_a_value_leaves_the_band_open():
    result = band(np.array([1.0]), [np.array([1.0]), np.array([np.nan])])
    assert np.isnan(result.low[0])


def test_no_draws_are_refused():
    with pytest.raises(ValueError, match="at least one"):
        latin_hypercube(RANGES, 0, 1)


def test_too_few_draws_tell_no_shares():
    ranges = dict.fromkeys("abcdefgh", (0.0, 1.0))
    draws = latin_hypercube(ranges, 9, 1)
    values = np.random.default_rng(1).normal(size=9)
    assert set(variance_shares(draws, values).values()) == {0.0}


def test_shares_of_a_known_sum():
    # variances 9 : 1 of a sum of two even draws
    draws = latin_hypercube({"a": (0.0, 3.0), "b": (0.0, 1.0), "c": (0.0, 1.0)}, 400, 1)
    values = np.array([draw["a"] + draw["b"] for draw in draws])
    shares = variance_shares(draws, values)
    assert next(iter(shares)) == "a"
    assert shares["a"] == pytest.approx(0.9, abs=0.03)
    assert shares["b"] == pytest.approx(0.1, abs=0.03)
    assert shares["c"] < 0.01
    assert variance_shares(draws, np.ones(400))["a"] == 0.0


def test_a_range_over_decades_is_drawn_by_its_logarithm():
    draws = latin_hypercube({"wide": (1.0, 100.0), "narrow": (1.0, 9.0)}, 200, 3)
    wide, narrow = (np.array([one[name] for one in draws]) for name in ("wide", "narrow"))
    assert np.median(wide) == pytest.approx(10.0, rel=0.05)
    assert np.mean(np.log10(wide) < 0.5) == pytest.approx(0.25, abs=0.01)
    assert np.median(narrow) == pytest.approx(5.0, rel=0.03)
    shares = variance_shares(draws, np.log(wide) + 0.01 * narrow)
    assert shares["wide"] > 0.99


def test_equal_weights_change_nothing():
    random = np.random.default_rng(1)
    values = list(random.normal(size=(33, 2)))
    plain, weighed = (band(np.zeros(2), values, w) for w in (None, np.full(33, 1 / 33)))
    assert weighed.low == pytest.approx(plain.low)
    assert weighed.high == pytest.approx(plain.high)
    draws = latin_hypercube({"a": (0.0, 3.0), "b": (0.0, 1.0)}, 60, 1)
    result = np.array([draw["a"] + draw["b"] for draw in draws])
    same = variance_shares(draws, result, np.full(60, 1 / 60))
    assert same == pytest.approx(variance_shares(draws, result))


def test_weights_count_like_so_many_draws():
    values = np.array([[0.0], [1.0], [2.0], [5.0]])
    often = np.repeat(values, [500, 500, 1500, 500], axis=0)
    weights = np.array([500.0, 500.0, 1500.0, 500.0])
    middle = quantiles(values, [0.5], weights)[0, 0]
    assert middle == pytest.approx(np.median(often), abs=0.5)
    assert quantiles(values, [0.0, 1.0], weights).ravel() == pytest.approx([0.0, 5.0])
    nothing = quantiles(np.array([[1.0], [np.nan]]), [0.5], np.ones(2))
    assert np.isnan(nothing).all()


def test_a_draw_without_weight_is_not_seen():
    nominal, drawn = np.zeros(1), [np.array([x]) for x in (-1.0, 1.0, 50.0)]
    assert band(nominal, drawn, np.array([0.5, 0.5, 0.0])).high < 10.0


def test_weights_turn_what_decides():
    draws = latin_hypercube({"a": (0.0, 1.0), "b": (0.0, 1.0)}, 400, 1)
    a, b = (np.array([draw[name] for draw in draws]) for name in "ab")
    result = np.where(a < 0.5, b, 10.0 * a)
    low = variance_shares(draws, result, np.where(a < 0.5, 1.0, 0.0))
    assert low["b"] > 0.9
    assert variance_shares(draws, result)["a"] > 0.7
