"""Shot statistics, against hand cases, printed tables and many simulated shooters."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import integrate, stats

from vireton.tuning.groups import MOST_SHOTS, _exceeds, outliers, separation, shots_needed
from vireton.tuning.observations import Group, group_of_center, group_of_shots
from vireton.tuning.spread import (
    UNKNOWN_SHOOTER,
    GroupProblem,
    Spread,
    assumed_spread,
    center_of,
    check_group,
    pooled_spread,
    squares_of,
)

INCH = 0.0254
TWENTY = 20.0 * 0.9144  # m
SD = 1.5 * INCH
SEEDS = range(1000)

# the corners of a square of 2 m: center (1, 1), variances 4/3, no slant
SQUARE = ((0.0, 0.0), (2.0, 0.0), (0.0, 2.0), (2.0, 2.0))

PLACES = st.tuples(st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
SHOTS = st.lists(PLACES, min_size=1, max_size=10).map(tuple)


def shot(seed, kind="bare", count=3, sd=SD, distance=TWENTY, center=(0.0, 0.0), tall=1.0):
    """Simulated shots; ``tall`` stretches the scatter up and down."""
    random = np.random.default_rng(seed)
    places = random.normal(size=(count, 2)) * (sd, sd * tall) + center
    return group_of_shots(kind, distance, tuple(map(tuple, places.tolist())))


def pair(seed, count, sd=SD, off=(0.0, 0.0), tall=1.0, distance=TWENTY):
    bare = shot((seed, 1), "bare", count, sd, distance, off, tall)
    return bare, shot((seed, 2), "fletched", count, sd, distance, tall=tall)


# --- one group


def sd_of(group):
    """m of one arrow on one axis with its interval, from this group alone."""
    spread = pooled_spread([group], None)
    return tuple(angle * group.distance for angle in (spread.sd, spread.low, spread.high))


def test_a_square_by_hand():
    group = group_of_shots("bare", TWENTY, SQUARE)
    np.testing.assert_allclose(center_of(group), [1.0, 1.0])
    assert sd_of(group)[0] == pytest.approx(math.sqrt(4 / 3))


def test_the_interval_of_the_sd_from_a_printed_table():
    # chi-square, 4 degrees: 0.484 and 11.143 at 2.5 % (any printed table, from memory)
    shots = group_of_shots("bare", TWENTY, ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)))
    for group, expected in (
        (shots, math.sqrt(1 / 3)),  # squares 2/3 and 2/3 over 4 degrees
        (group_of_center("bare", TWENTY, (0.1, 0.2), 3, 0.04), 0.04),
    ):
        sd, low, high = sd_of(group)
        assert sd == pytest.approx(expected)
        assert low == pytest.approx(sd * math.sqrt(4 / 11.143), rel=1e-4)
        assert high == pytest.approx(sd * math.sqrt(4 / 0.4844), rel=1e-4)


def test_the_sd_pools_both_axes():
    shots = ((0.0, 0.0), (1.0, 3.0), (2.0, 0.0), (5.0, 1.0))
    variances = np.var(shots, axis=0, ddof=1)
    sd = sd_of(group_of_shots("bare", TWENTY, shots))[0]
    assert sd == pytest.approx(math.sqrt(variances.mean()))


@pytest.mark.parametrize("place", [(0.0, 0.0), (0.1, 0.1), (0.3, -0.7)])
def test_shots_in_one_place_have_no_scatter_not_even_rounding(place):
    assert squares_of(group_of_shots("bare", TWENTY, (place,) * 3)) == (0.0, 4)


@given(SHOTS, PLACES)
def test_scatter_ignores_where_the_group_lies_and_mirrors_exactly(shots, by):
    def ask(change):
        group = group_of_shots("bare", TWENTY, tuple(change(r, u) for r, u in shots))
        return center_of(group), squares_of(group)[0]

    center, squares = ask(lambda r, u: (r, u))
    moved, moved_squares = ask(lambda r, u: (r + by[0], u + by[1]))
    mirrored, mirrored_squares = ask(lambda r, u: (-r, u))
    np.testing.assert_allclose(moved, center + by, atol=1e-14)
    assert moved_squares == pytest.approx(squares, abs=1e-14)
    np.testing.assert_array_equal(mirrored, center * (-1, 1))
    assert mirrored_squares == squares


# --- scatter


def test_groups_pool_as_angles_by_hand():
    # squares 16/3·1 m² at 10 m and the same at 20 m: (8 + 8/4)/100 over 6 + 6 degrees
    near, far = (group_of_shots("bare", d, SQUARE) for d in (10.0, 20.0))
    spread = pooled_spread([near, far], None)
    assert spread.degrees == 12
    assert spread.sd == pytest.approx(math.sqrt((8 / 100 + 8 / 400) / 12))
    assert spread.at(30.0) == pytest.approx(30.0 * spread.sd)


def test_the_mean_of_a_group_does_not_count_as_scatter():
    shots = [shot(1, center=(c, -c)) for c in (-0.3, 0.0, 0.3)]
    # the same shots at three rest settings: one scatter
    assert pooled_spread(shots, None).sd == pytest.approx(pooled_spread(shots[:1], None).sd)


def test_the_unknown_shooter():
    # 4 degrees: chi-square 11.143 and 0.484 (printed table, from memory)
    assert UNKNOWN_SHOOTER.at(TWENTY) == pytest.approx(SD)
    low, high = UNKNOWN_SHOOTER.low * TWENTY, UNKNOWN_SHOOTER.high * TWENTY
    assert low / INCH == pytest.approx(0.9, abs=0.05)
    assert high / INCH == pytest.approx(4.3, abs=0.05)
    assert UNKNOWN_SHOOTER.degrees == 4.0


def test_groups_that_tell_no_scatter_leave_the_prior_as_it_is():
    quiet = [group_of_shots("bare", TWENTY, ((0.1, 0.2),)), group_of_center("bare", 9.0, (0, 0), 5)]
    spread = pooled_spread(quiet)
    assert (spread.sd, spread.degrees) == (pytest.approx(UNKNOWN_SHOOTER.sd), 4.0)


def test_a_prior_counts_as_much_as_a_group_of_its_weight():
    real = shot(5, count=6)
    stand_in = group_of_center("fletched", TWENTY, (0.2, 0.1), 3, SD)
    with_prior, with_group = pooled_spread([real]), pooled_spread([real, stand_in], None)
    assert with_prior.sd == pytest.approx(with_group.sd)
    assert with_prior.degrees == with_group.degrees == 14


def test_shots_in_one_place_are_finite_with_a_prior_and_refused_without():
    same = group_of_shots("bare", TWENTY, ((0.1, 0.1),) * 5)
    spread = pooled_spread([same])
    assert spread.sd == pytest.approx(UNKNOWN_SHOOTER.sd * math.sqrt(4 / 12))
    with pytest.raises(GroupProblem, match="assume a spread"):
        pooled_spread([same], None)


@pytest.mark.parametrize(
    "groups", [[], [group_of_shots("bare", TWENTY, ((0.0, 0.0),))]], ids=["none", "one shot"]
)
def test_no_scatter_without_a_prior_is_refused(groups):
    with pytest.raises(GroupProblem, match="two shots"):
        pooled_spread(groups, None)


@given(st.lists(SHOTS, min_size=1, max_size=4), st.floats(2.0, 90.0))
def test_scatter_is_between_what_was_known_and_what_was_seen(shots, distance):
    groups = [group_of_shots("bare", distance, one) for one in shots]
    spread = pooled_spread(groups)
    told = [squares_of(one) for one in groups]
    own = [math.sqrt(squares / n) / distance for squares, n in told if n]
    assert min([*own, UNKNOWN_SHOOTER.sd]) * (1 - 1e-9) <= spread.sd
    assert spread.sd <= max([*own, UNKNOWN_SHOOTER.sd]) * (1 + 1e-9)
    assert spread.low < spread.sd < spread.high


@pytest.mark.parametrize("count", [2, 3, 10])
def test_the_interval_of_the_sd_holds_it_in_95_of_100_groups(count):
    held = 0
    for seed in SEEDS:
        _, low, high = sd_of(shot(seed, count=count))
        held += low <= SD <= high
    assert 0.92 <= held / len(SEEDS) <= 0.98


def test_the_pooled_interval_holds_over_mixed_distances():
    held = 0
    for seed in SEEDS:
        groups = [shot((seed, d), count=3, sd=SD * d / 20, distance=d * 0.9144) for d in (10, 40)]
        spread = pooled_spread(groups, None)
        held += spread.low <= SD / TWENTY <= spread.high
    assert 0.92 <= held / len(SEEDS) <= 0.98


# --- separation


def test_three_and_three_shots_of_an_inch_and_a_half_by_hand():
    # t of 4 degrees 2.776 (printed table): 2.776·1.5·√(2/3) = 3.40 in. So much is seen with the
    # scatter from one axis of both groups, 2 + 2 degrees, or from the unknown shooter
    bare, fletched = (group_of_center(k, TWENTY, (0.0, 0.0), 3) for k in ("bare", "fletched"))
    result = separation(bare, fletched, UNKNOWN_SHOOTER)
    np.testing.assert_allclose(result.half_width / INCH, 3.40, atol=0.005)
    # both axes of both groups, 8 degrees, t 2.306: 2.82 in
    noted = [group_of_center("bare", TWENTY, (0.0, 0.0), 3, SD)] * 2
    result = separation(bare, fletched, pooled_spread(noted, None))
    np.testing.assert_allclose(result.half_width / INCH, 2.82, atol=0.005)


def test_the_difference_is_bare_minus_fletched():
    bare = group_of_center("bare", TWENTY, (0.05, -0.02), 2)
    fletched = group_of_center("fletched", TWENTY, (0.01, 0.03), 3)
    result = separation(bare, fletched, UNKNOWN_SHOOTER)
    np.testing.assert_allclose(result.difference, [0.04, -0.05])
    assert (result.degrees, result.distance) == (4.0, TWENTY)


def test_the_p_value_in_closed_form():
    # an F tail with 2 degrees above is (1 + 2F/ν)^(−ν/2), exactly
    spread = assumed_spread(0.03, TWENTY, 7.0)
    bare = group_of_center("bare", TWENTY, (0.05, -0.02), 2)
    fletched = group_of_center("fletched", TWENTY, (0.01, 0.03), 3)
    ratio = (0.04**2 + 0.05**2) / (2 * 0.03**2 * (1 / 2 + 1 / 3))
    expected = (1 + 2 * ratio / 7.0) ** (-3.5)
    assert separation(bare, fletched, spread).p_value == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(("count", "real"), [(3, False), (12, True)])
def test_two_inches_are_not_seen_with_three_shots_each_but_with_twelve(count, real):
    bare = group_of_center("bare", TWENTY, (2.0 * INCH, 0.0), count, SD)
    fletched = group_of_center("fletched", TWENTY, (0.0, 0.0), count, SD)
    result = separation(bare, fletched, pooled_spread([bare, fletched]))
    assert (result.p_value < 0.05) is real


@pytest.mark.parametrize("count", [2, 3, 8])
def test_intervals_hold_and_alarms_stay_rare_where_nothing_is_assumed(count):
    held, alarms = np.zeros(2), 0
    off = (0.04, -0.02)
    for seed in SEEDS:
        bare, fletched = pair(seed, count, off=off)
        result = separation(bare, fletched, pooled_spread([bare, fletched], None))
        held += np.abs(result.difference - off) <= result.half_width
        bare, fletched = pair(seed, count)
        result = separation(bare, fletched, pooled_spread([bare, fletched], None))
        alarms += result.p_value < 0.05
    assert np.all((held / len(SEEDS) >= 0.92) & (held / len(SEEDS) <= 0.98))
    # 3 standard errors of 5 % in 1000 are 2 %
    assert 0.03 <= alarms / len(SEEDS) <= 0.07


@pytest.mark.parametrize("count", [1, 3])
def test_intervals_hold_over_the_shooters_that_the_prior_stands_for(count):
    held, alarms = np.zeros(2), 0
    for seed in SEEDS:
        # σ² = 4·1.5²/χ²: the scaled inverse chi-square distribution of the prior
        sd = SD * math.sqrt(4.0 / np.random.default_rng((seed, 3)).chisquare(4))
        bare, fletched = pair(seed, count, sd)
        result = separation(bare, fletched, pooled_spread([bare, fletched]))
        held += np.abs(result.difference) <= result.half_width
        alarms += result.p_value < 0.05
    assert np.all((held / len(SEEDS) >= 0.92) & (held / len(SEEDS) <= 0.98))
    assert 0.03 <= alarms / len(SEEDS) <= 0.07


@pytest.mark.parametrize(("count", "share"), [(1, 0.17), (3, 0.09), (6, 0.08)])
def test_what_it_costs_when_the_shooter_is_twice_as_wide_as_taken(count, share):
    alarms = 0
    for seed in SEEDS:
        bare, fletched = pair(seed, count, 2.0 * SD)
        alarms += separation(bare, fletched, pooled_spread([bare, fletched])).p_value < 0.05
    # the documented shares; 3 standard errors in 1000
    assert alarms / len(SEEDS) == pytest.approx(share, abs=3 * math.sqrt(share / len(SEEDS)))


def test_what_it_costs_when_the_scatter_is_not_round():
    held, alarms, flagged = np.zeros(2), 0, 0
    for seed in SEEDS:
        bare, fletched = pair(seed, 6, tall=1.5)
        spread = pooled_spread([bare, fletched], None)
        result = separation(bare, fletched, spread)
        held += np.abs(result.difference) <= result.half_width
        alarms += result.p_value < 0.05
        flagged += bool(outliers(bare, spread))
    # the documented shares; 3 standard errors in 1000
    np.testing.assert_allclose(held / len(SEEDS), [0.98, 0.91], atol=0.03)
    assert alarms / len(SEEDS) == pytest.approx(0.05, abs=0.02)
    assert flagged / len(SEEDS) == pytest.approx(0.07, abs=0.025)


@given(SHOTS, SHOTS, PLACES)
def test_a_separation_ignores_where_both_lie_and_mirrors_exactly(bare, fletched, by):
    def ask(change):
        one, two = (
            group_of_shots(kind, TWENTY, tuple(change(r, u) for r, u in shots))
            for kind, shots in (("bare", bare), ("fletched", fletched))
        )
        return separation(one, two, pooled_spread([one, two]))

    here = ask(lambda r, u: (r, u))
    moved = ask(lambda r, u: (r + by[0], u + by[1]))
    mirrored = ask(lambda r, u: (-r, u))
    turned = ask(lambda r, u: (u, -r))
    np.testing.assert_allclose(moved.difference, here.difference, atol=1e-13)
    assert moved.p_value == pytest.approx(here.p_value, rel=1e-6, abs=1e-12)
    np.testing.assert_array_equal(mirrored.difference, here.difference * (-1, 1))
    np.testing.assert_array_equal(mirrored.half_width, here.half_width)
    assert mirrored.p_value == here.p_value
    assert turned.p_value == pytest.approx(here.p_value, rel=1e-9)


@given(PLACES, st.floats(1.5, 10.0))
def test_the_same_angles_farther_away_are_as_real(place, times):
    def ask(scale):
        distance = TWENTY * scale
        bare = group_of_center("bare", distance, (place[0] * scale, place[1] * scale), 3)
        fletched = group_of_center("fletched", distance, (0.0, 0.0), 4)
        return separation(bare, fletched, UNKNOWN_SHOOTER)

    assert ask(times).p_value == pytest.approx(ask(1.0).p_value, rel=1e-9)


def test_groups_from_two_distances_or_of_one_kind_are_refused():
    bare = group_of_center("bare", TWENTY, (0.0, 0.0), 3)
    fletched = group_of_center("fletched", 30 * 0.9144, (0.0, 0.0), 3)
    with pytest.raises(GroupProblem, match=r"18\.3 m \(20 yd\).*27\.4 m \(30 yd\)"):
        separation(bare, fletched, UNKNOWN_SHOOTER)
    with pytest.raises(GroupProblem, match="needs a bare group here, got a fletched one"):
        separation(fletched, bare, UNKNOWN_SHOOTER)
    with pytest.raises(GroupProblem, match="needs a fletched group here, got a bare one"):
        separation(bare, bare, UNKNOWN_SHOOTER)


# --- shots needed


def power_by_integration(size, sd, count, degrees):
    """P(noncentral F > limit) from its definition: a noncentral over a central chi-square."""
    limit = (0.05 ** (-2 / degrees) - 1) * degrees / 2  # where (1 + 2F/ν)^(−ν/2) is 5 %
    off = count * (size / sd) ** 2 / 2

    def part(scale):
        return stats.ncx2.sf(2 * limit * scale / degrees, 2, off) * stats.chi2.pdf(scale, degrees)

    return integrate.quad(part, 0.0, 10.0 * degrees + 50.0, limit=200)[0]


@pytest.mark.parametrize("size", [1.0, 2.0, 3.0, 4.0])
def test_the_number_is_the_fewest_with_the_power(size):
    spread = assumed_spread(SD, TWENTY, 4.0)
    count = shots_needed(size * INCH, spread, TWENTY)
    assert power_by_integration(size, 1.5, count, max(4, 4 * (count - 1))) >= 0.8
    assert power_by_integration(size, 1.5, count - 1, max(4, 4 * (count - 2))) < 0.8


def test_two_inches_need_a_dozen_shots_each():
    assert shots_needed(2.0 * INCH, UNKNOWN_SHOOTER, TWENTY) == 12


@pytest.mark.parametrize(("size", "angle"), [(2.0, 0.0), (3.0, 1.0)])
def test_simulated_groups_of_that_many_find_it_in_eight_of_ten(size, angle):
    count = shots_needed(size * INCH, assumed_spread(SD, TWENTY, 4.0), TWENTY)
    off = (size * INCH * math.cos(angle), size * INCH * math.sin(angle))
    expected = power_by_integration(size, 1.5, count, 4 * (count - 1))
    found = 0
    for seed in SEEDS:
        bare, fletched = pair(seed, count, off=off)
        spread = pooled_spread([bare, fletched], None)
        found += separation(bare, fletched, spread).p_value < 0.05
    # 3 standard errors of 80 % in 1000
    assert found / len(SEEDS) == pytest.approx(expected, abs=0.038)


def test_it_takes_more_than_one_axis_alone_would():
    # n = 2σ²(z of 97.5 % + z of 80 %)²/size² = 2·(1.960 + 0.842)²·(1.5/2)² = 8.8 for one axis of
    # known scatter (any text on sample size, from memory); both axes in one question take more
    one_axis = 2 * (1.960 + 0.842) ** 2 * (1.5 / 2.0) ** 2
    count = shots_needed(2.0 * INCH, assumed_spread(SD, TWENTY, 1000.0), TWENTY)
    assert one_axis < count < 1.4 * one_axis


def test_too_many_shots_give_no_number():
    assert shots_needed(0.5 * INCH, UNKNOWN_SHOOTER, TWENTY) is None
    # 50 shots find this much, and hardly less
    just = next(
        s for s in np.arange(0.9, 1.1, 0.001) if shots_needed(s * INCH, UNKNOWN_SHOOTER, TWENTY)
    )
    assert shots_needed(just * INCH, UNKNOWN_SHOOTER, TWENTY) == MOST_SHOTS


@given(st.floats(0.01, 3.0), st.floats(1.0, 60.0), st.floats(1.01, 3.0))
def test_larger_separations_and_less_certainty_need_no_more_shots(size, degrees, times):
    spread = assumed_spread(SD, TWENTY, degrees)

    def needed(**changes):
        asked = {"size": size, "share": 0.95, "power": 0.8} | changes
        asked_size = asked.pop("size")
        return shots_needed(asked_size, spread, TWENTY, **asked) or MOST_SHOTS + 1

    assert needed(size=size * times) <= needed()
    assert needed(power=0.7) <= needed() <= needed(power=0.9)
    assert needed(share=0.9) <= needed() <= needed(share=0.99)


@pytest.mark.parametrize("size", [0.0, -0.01, math.nan, math.inf, 1e9])
def test_a_size_that_is_none_is_refused(size):
    with pytest.raises(GroupProblem, match="above 0"):
        shots_needed(size, UNKNOWN_SHOOTER, TWENTY)


@pytest.mark.parametrize("name", ["share", "power"])
@pytest.mark.parametrize("value", [0.0, 1.0, 95.0, math.nan])
def test_a_share_or_power_that_is_none_is_refused(name, value):
    with pytest.raises(GroupProblem, match=f"{name} is between 0 and 1"):
        shots_needed(0.05, UNKNOWN_SHOOTER, TWENTY, **{name: value})


# --- outliers


def refit_p_values(group, rest_squares, rest_degrees):
    """Each shot's p-value from really leaving it out."""
    places, values = np.array(group.shots), []
    for i in range(len(places)):
        others = np.delete(places, i, axis=0)
        squares = np.sum((others - others.mean(axis=0)) ** 2) + rest_squares
        degrees = 2 * (len(others) - 1) + rest_degrees
        stray = np.sum((places[i] - others.mean(axis=0)) ** 2) * len(others) / len(places)
        values.append((1 + stray / squares) ** (-degrees / 2))  # closed F tail, 2 degrees above
    return np.array(values)


def test_flags_are_those_of_really_leaving_each_shot_out():
    for seed in range(8):
        for pull in [0.0, 2.0, 3.0, 4.0, 5.0, 7.0]:
            places = np.array(shot(seed, count=6).shots)
            places[2] += pull * SD
            group = group_of_shots("bare", TWENTY, tuple(map(tuple, places.tolist())))
            other = shot((seed, 9), "fletched", 5)
            for prior in (None, UNKNOWN_SHOOTER):
                rest = pooled_spread([other], prior)
                expected = refit_p_values(group, rest.degrees * rest.at(TWENTY) ** 2, rest.degrees)
                flags = tuple(int(i) for i in np.flatnonzero(expected < 0.05 / 6))
                # the group's own shots never count twice, pooled with it or not
                assert outliers(group, rest) == flags
                assert outliers(group, pooled_spread([other, group], prior)) == flags


def test_a_pulled_shot_is_flagged():
    shots = ((0.0, 0.0), (0.03, 0.01), (-0.02, 0.02), (0.5, -0.4), (0.01, -0.03))
    group = group_of_shots("bare", TWENTY, shots)
    assert outliers(group, pooled_spread([group])) == (3,)


def test_two_pulled_shots_against_a_well_known_scatter():
    shots = ((0.0, 0.0), (0.03, 0.01), (-0.02, 0.02), (0.5, -0.4), (0.01, -0.03), (-0.5, 0.4))
    group = group_of_shots("bare", TWENTY, shots)
    assert outliers(group, assumed_spread(0.03, TWENTY, 200.0)) == (3, 5)


@pytest.mark.parametrize("count", [1, 2, 3])
def test_below_four_shots_nothing_is_flagged(count):
    shots = ((0.0, 0.0), (0.001, 0.0), (9.0, 9.0))[-count:]
    assert outliers(group_of_shots("bare", TWENTY, shots), UNKNOWN_SHOOTER) == ()


def test_a_group_without_its_shots_is_not_judged():
    assert outliers(group_of_center("bare", TWENTY, (9.0, 0.0), 8, 0.03), UNKNOWN_SHOOTER) == ()


def test_shots_in_one_place_and_one_away():
    same = group_of_shots("bare", TWENTY, ((0.1, 0.1),) * 5)
    assert outliers(same, pooled_spread([same])) == ()
    away = group_of_shots("bare", TWENTY, ((0.1, 0.1),) * 5 + ((0.9, 0.1),))
    assert outliers(away, pooled_spread([away])) == (5,)


@given(PLACES, PLACES, st.integers(4, 9))
def test_without_a_prior_shots_in_one_place_and_one_away_are_not_judged(place, other, count):
    # nothing is known of the scatter but what the stray shot itself says; rounding is no scatter
    assume(math.dist(place, other) > 1e-6)
    away = group_of_shots("bare", TWENTY, (place,) * (count - 1) + (other,))
    assert outliers(away, pooled_spread([away], None)) == ()


def test_a_spread_used_as_the_prior_of_another_still_knows_its_groups():
    shots = ((0.0, 0.0), (0.03, 0.01), (-0.02, 0.02), (0.16, -0.12), (0.01, -0.03))
    group, later = group_of_shots("bare", TWENTY, shots), shot(3, "fletched", 4)
    at_once = pooled_spread([group, later])
    in_turn = pooled_spread([later], pooled_spread([group]))
    assert (in_turn.sd, in_turn.degrees) == (pytest.approx(at_once.sd), at_once.degrees)
    assert set(in_turn.groups) == {group, later}
    assert outliers(group, in_turn) == outliers(group, at_once) == (3,)


@pytest.mark.parametrize("count", [4, 6])
@pytest.mark.parametrize("alone", [True, False])
def test_one_honest_group_in_twenty_has_a_shot_flagged(count, alone):
    flagged, groups = 0, 4000
    for seed in range(groups):
        bare, fletched = pair(seed, count)
        spread = pooled_spread([bare] if alone else [bare, fletched], None)
        flagged += bool(outliers(bare, spread))
    # 3 standard errors of 5 % in 4000 are 1 %
    assert 0.04 <= flagged / groups <= 0.06


@given(st.lists(PLACES, min_size=4, max_size=8, unique=True).map(tuple))
def test_flags_mirror_exactly_and_follow_the_order_of_the_shots(shots):
    def ask(places):
        group = group_of_shots("bare", TWENTY, places)
        return outliers(group, pooled_spread([group]))

    here = ask(shots)
    assert ask(tuple((-r, u) for r, u in shots)) == here
    assert list(ask(shots[::-1])) == [len(shots) - 1 - i for i in here][::-1]


# --- numbers at the edge, and what is refused


@given(
    st.lists(st.tuples(*[st.floats(-1000, 1000)] * 2), min_size=1, max_size=6).map(tuple),
    st.floats(0.1, 1000.0),
)
def test_any_group_that_is_taken_gives_finite_numbers(shots, distance):
    bare = group_of_shots("bare", distance, shots)
    fletched = group_of_shots("fletched", distance, shots[:2])
    spread = pooled_spread([bare, fletched])
    result = separation(bare, fletched, spread)
    numbers = [spread.sd, spread.low, spread.high, result.p_value, *result.half_width]
    assert np.all(np.isfinite(numbers))
    outliers(bare, spread)
    assert shots_needed(1e-300, spread, distance) is None
    assert shots_needed(1000.0, assumed_spread(1e-9, distance, 4.0), distance) == 1


def test_no_number_of_a_vast_separation_overflows():
    bare = group_of_center("bare", 0.1, (1000.0, -1000.0), 1)
    fletched = group_of_center("fletched", 0.1, (-1000.0, 1000.0), 1)
    result = separation(bare, fletched, assumed_spread(1e-9, 0.1, 1e6))
    assert result.p_value == 0.0


BROKEN = [
    (Group("bare", 0.0, (0.0, 0.0), 1), r"target stands 0\.1 to 1000 m away, got 0\.0 m"),
    (Group("bare", math.nan, (0.0, 0.0), 1), "target stands"),
    (Group("bare", 1e6, (0.0, 0.0), 1), "target stands"),
    (Group("bare", TWENTY, (0.0, 0.0), 0), "one shot at least"),
    (Group("bare", TWENTY, (math.nan, 0.0), 1), "within 1000 m"),
    (Group("bare", TWENTY, (0.0, 0.0), 2, ((0.0, 0.0), (0.0, math.inf))), "within 1000 m"),
    (Group("bare", TWENTY, (0.0, 0.0), 3, ((0.0, 0.0), (0.0, 0.1))), "3 shots lists 2"),
    (Group("bare", TWENTY, (0.0, 0.0), 3, (), 0.0), "leave it out"),
    (Group("bare", TWENTY, (0.0, 0.0), 3, (), math.nan), "leave it out"),
    (Group("bare", TWENTY, (0.0, 0.0), 1, (), 0.04), "one shot has no spread"),
]


@pytest.mark.parametrize(("group", "words"), BROKEN)
def test_a_group_that_cannot_have_been_shot_is_refused_everywhere(group, words):
    good = group_of_center("fletched", TWENTY, (0.0, 0.0), 3)
    asked = (
        lambda: check_group(group),
        lambda: pooled_spread([good, group]),
        lambda: separation(group, good, UNKNOWN_SHOOTER),
        lambda: outliers(group, UNKNOWN_SHOOTER),
    )
    for ask in asked:
        with pytest.raises(GroupProblem, match=words):
            ask()


@pytest.mark.parametrize(
    ("sd", "distance", "degrees"),
    [(0.0, 18.0, 4.0), (-1.0, 18.0, 4.0), (math.nan, 18.0, 4.0), (0.04, 0.0, 4.0)]
    + [(0.04, 18.0, d) for d in (0.0, 0.5, math.nan, math.inf)],
)
def test_an_assumed_spread_that_is_none_is_refused(sd, distance, degrees):
    with pytest.raises(GroupProblem, match="got"):
        assumed_spread(sd, distance, degrees)


def test_a_spread_of_nothing_cannot_be_made():
    with pytest.raises(GroupProblem, match="above 0"):
        Spread(0.0, 0.0, 0.0, 4.0)


@pytest.mark.parametrize("noncentrality", [1e-3, 0.5, 3.0, 20.0, 100.0, 400.0])
def test_power_is_that_of_scipys_noncentral_f(noncentrality: float) -> None:
    degrees = np.array([4.0, 7.0, 12.0, 40.0, 200.0])
    ratio = stats.f.isf(0.05, 2, degrees)
    ours = _exceeds(ratio, degrees, np.full(5, noncentrality))
    assert ours == pytest.approx(stats.ncf.sf(ratio, 2, degrees, noncentrality), abs=1e-9)
