"""Sums of a block against plain loops."""

import numpy as np
import pytest
from numpy.polynomial.hermite_e import hermegauss

from vireton.scatter.record import DEGREE, record_of, waves

LANDING = np.array([[[0.1, 0.0], [0.2, -0.5]]])
MIDDLE = np.array([[0.0, 0.0], [0.2, -0.4]])


def shots(count, seed=1):
    random = np.random.default_rng(seed)
    places = LANDING[:, None] + 0.1 * random.standard_normal((1, count, 2, 2))
    return places, random.standard_normal((count, 3))


def test_the_polynomials_are_orthonormal_under_the_normal_distribution():
    points, weights = hermegauss(8)  # exact to degree 15
    values = waves(points[:, None])[:, 0]
    gram = np.einsum("m,mi,mj->ij", weights / weights.sum(), values, values)
    assert values.shape == (8, DEGREE)
    assert gram == pytest.approx(np.eye(DEGREE), abs=1e-12)
    assert weights @ values == pytest.approx(np.zeros(DEGREE), abs=1e-12)


def test_sums_are_those_of_a_plain_loop():
    places, draws = shots(40)
    record = record_of(places, LANDING, MIDDLE, 0.15, draws)
    off = places[0] - LANDING[0]
    assert record.shot == 40.0
    assert record.reached.tolist() == [[40.0, 40.0]]
    for j in range(2):
        inside = [np.hypot(*(places[0, m, j] - MIDDLE[j])) <= 0.15 for m in range(40)]
        assert record.hits[0, j] == sum(inside)
        assert 0 < sum(inside) < 40
        assert record.radius[0, j] == pytest.approx(sum(np.hypot(*off[m, j]) for m in range(40)))
        assert record.products[0, j] == pytest.approx(off[:, j].T @ off[:, j])
        assert record.by_wave[0, j, 1, 2, 0] == pytest.approx(off[:, j, 1] @ draws[:, 2])
        assert record.waves[0, j, 1, 1] == pytest.approx(waves(draws)[:, 1, 1].sum())


def test_an_arrow_that_never_arrives_counts_as_shot_and_as_nothing_else():
    places, draws = shots(10)
    lost = places.copy()
    lost[0, 3, 1] = np.nan
    some = record_of(lost, LANDING, MIDDLE, 10.0, draws)
    rest = np.delete(places, 3, axis=1), np.delete(draws, 3, axis=0)
    others = record_of(rest[0], LANDING, MIDDLE, 10.0, rest[1])
    assert some.shot == 10.0
    assert some.reached.tolist() == [[10.0, 9.0]]
    assert some.hits.tolist() == [[10.0, 9.0]]
    for name in ("radius", "deviation", "products", "waves", "by_wave"):
        assert getattr(some, name)[0, 1] == pytest.approx(getattr(others, name)[0, 1]), name


def test_two_blocks_add_up_to_one():
    places, draws = shots(30)
    whole = record_of(places, LANDING, MIDDLE, 0.15, draws)
    both = record_of(places[:, :11], LANDING, MIDDLE, 0.15, draws[:11]) + record_of(
        places[:, 11:], LANDING, MIDDLE, 0.15, draws[11:]
    )
    for name, value in vars(whole).items():
        assert getattr(both, name) == pytest.approx(value), name
