"""Groups from records whose truth is known: no flight in here."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from vireton.scatter.draws import normal_draws
from vireton.scatter.estimates import ellipse, groups_of
from vireton.scatter.record import record_of

SOURCES = ("aim_right", "aim_up", "speed")
RADIUS = 0.1


def groups(function, seed=1, shots=256, replicates=16, draw=normal_draws):
    """Groups of places (m, 2) m that are this function of three normal numbers (m, 3)."""
    case = SimpleNamespace(
        kinds={"fletched": None},
        distances=np.array([20.0]),
        landing=np.zeros((1, 1, 2)),
        middle=np.zeros((1, 2)),
        scatter=SimpleNamespace(active=SOURCES),
    )
    records = []
    for replicate in range(replicates):
        draws = draw(seed, replicate, 0, shots)[:, :3]
        places = np.asarray(function(draws))[None, :, None, :]
        records.append(record_of(places, case.landing, case.middle, RADIUS, draws))
    return groups_of(case, records)["fletched"]


def columns(*values):
    return np.stack(np.broadcast_arrays(*values), axis=1)


def close(estimate, truth, sigmas=4.0):
    assert (abs(estimate.value - truth) <= sigmas * estimate.error + 1e-12).all(), (
        estimate.value,
        truth,
        estimate.error,
    )


def linear(z):
    return columns(0.03 * z[:, 0] + 0.04 * z[:, 2], 0.05 * z[:, 1])


def test_variances_of_independent_sources_add():
    group = groups(linear)
    close(group.sd, [[0.05, 0.05]])
    assert (group.sd.error < 0.002 * 0.05).all()
    assert group.covariance[0, 0, 1] == pytest.approx(0.0, abs=2e-5)
    close(group.center, [[0.0, 0.0]])


def test_hits_and_radius_of_a_round_group_are_rayleighs():
    # 1 − exp(−R²/2σ²) and σ·√(π/2): Rayleigh's distribution (any text)
    group = groups(linear)
    close(group.hits, 1.0 - math.exp(-0.5 * (RADIUS / 0.05) ** 2))
    close(group.radius, 0.05 * math.sqrt(math.pi / 2.0))
    assert group.hits.error[0] < 0.005


def test_shares_are_those_of_the_variances_and_add_up_to_1():
    group = groups(linear)
    close(group.shares["right"], [[0.36, 0.0, 0.64, 0.0]])
    close(group.shares["up"], [[0.0, 1.0, 0.0, 0.0]])
    close(group.shares["both"], [[0.18, 0.5, 0.32, 0.0]])
    for shares in group.shares.values():
        assert shares.value.sum() == pytest.approx(1.0, abs=1e-14)
        assert (shares.error < 0.01).all()


def test_what_two_sources_do_only_together_is_told_apart():
    # var = 1 + 1/4 for z₀ + z₁z₂/2: the product belongs to neither alone
    group = groups(lambda z: columns(z[:, 0] + 0.5 * z[:, 1] * z[:, 2], z[:, 1]))
    close(group.shares["right"], [[0.8, 0.0, 0.0, 0.2]])
    assert group.shares["right"].error[0, 3] < 0.02


def test_a_bent_answer_is_still_its_own_source():
    # z² has variance 2 and no slope: a regression line would see nothing
    group = groups(lambda z: columns(z[:, 0] ** 2, z[:, 1]))
    close(group.shares["right"], [[1.0, 0.0, 0.0, 0.0]])


def test_nothing_that_varies_has_no_shares():
    group = groups(lambda z: columns(0.0, z[:, 1]))
    assert group.sd.value[0, 0] == 0.0
    assert np.isnan(group.shares["right"].value).all()
    close(group.shares["both"], [[0.0, 1.0, 0.0, 0.0]])


def test_where_all_hit_the_error_is_not_nothing():
    group = groups(lambda z: 1e-3 * linear(z), shots=64)
    assert group.hits.value[0] == 1.0
    assert group.hits.error[0] == 1.0 / (64 * 16)


@pytest.mark.parametrize("plain", [False, True])
def test_the_standard_errors_are_those_of_many_seeds(plain):
    # over 150 seeds the deviations in standard errors have a mean square near 1; with 16
    # replicates the errors are Student's with 15 degrees of freedom: 15/13, give or take 0.13
    def random(seed, replicate, first, count):
        return np.random.default_rng([seed, replicate]).standard_normal((count, 3))

    def shaped(z):
        return columns(0.03 * z[:, 0] + 0.04 * z[:, 2] + 0.01 * z[:, 0] * z[:, 1], 0.05 * z[:, 1])

    truth_right = math.sqrt(0.03**2 + 0.04**2 + 0.01**2)
    scores = []
    for seed in range(150):
        # so few plain random numbers would leave a bias of one in their number in the shares
        shots, draw = (512, random) if plain else (32, normal_draws)
        group = groups(shaped, seed, shots, draw=draw)
        share = group.shares["right"]
        scores.append(
            [
                (group.sd.value[0, 0] - truth_right) / group.sd.error[0, 0],
                (group.radius.value[0] - mean_radius()) / group.radius.error[0],
                (share.value[0, 2] - (0.04 / truth_right) ** 2) / share.error[0, 2],
            ]
        )
    squares = np.mean(np.square(scores), axis=0)
    assert (squares > 0.65).all(), squares
    assert (squares < 1.75).all(), squares


def mean_radius():
    """Of the shaped group, by a product of Gauss–Hermite rules."""
    points, weights = np.polynomial.hermite_e.hermegauss(60)
    weights = weights / weights.sum()
    a, b, c = np.meshgrid(points, points, points, indexing="ij")
    right = 0.03 * a + 0.04 * c + 0.01 * a * b
    radius = np.hypot(right, 0.05 * b)
    return float(np.einsum("ijk,i,j,k->", radius, weights, weights, weights))


def test_the_ellipse_of_a_round_group_is_rayleighs_circle():
    long, short, _ = ellipse(np.diag([4.0, 4.0]))
    assert (long, short) == pytest.approx([2.0 * math.sqrt(-2.0 * math.log(0.05))] * 2)


def test_the_ellipse_leans_with_the_group():
    lean = math.radians(30.0)
    turn = np.array([[math.cos(lean), -math.sin(lean)], [math.sin(lean), math.cos(lean)]])
    long, short, found = ellipse(turn @ np.diag([9.0, 1.0]) @ turn.T, 1.0 - math.exp(-0.5))
    assert (long, short) == pytest.approx((3.0, 1.0))
    assert found == pytest.approx(lean)
