"""A whole study against what is known exactly, and what it costs."""

import math
import tracemalloc

import numpy as np
import pytest

from demo import FPS, GRAIN, INCH, YARD, mill_rig
from vireton.scatter.blocks import run_here, shots
from vireton.scatter.case import make_case
from vireton.scatter.sources import SOURCES, Scatter
from vireton.scatter.study import BLOCK_SHOTS, REPLICATES, plan, run_study

WHERE = np.array([20 * YARD, 60 * YARD])
AIM = 1.0 / 720.0  # 1 in at 20 yd


def case(where=WHERE, seed=1, target=8 * INCH, **spread):
    return make_case(mill_rig(), Scatter(**spread), where, target, seed=seed)


def study(*cases, arrows=2048, **options):
    return run_study(list(cases), precision=None, fewest=arrows, **options)


def within(estimate, truth, sigmas=4.0):
    assert (abs(estimate.value - truth) <= sigmas * estimate.error).all(), (
        estimate.value,
        truth,
        estimate.error,
    )


def test_aim_alone_scatters_by_its_angle_times_the_distance():
    # the windage turns the flight about the upright through the grip: the point's place is the
    # distance times the tangent of it, whatever the air does
    (answer,) = study(case(aim_right=AIM))
    for group in answer.groups.values():
        within(_side(group.sd, 0), AIM * WHERE)
        # under half of what so many plain random numbers would leave, σ/√(2N)
        assert (_side(group.sd, 0).error < 0.5 * AIM * WHERE / math.sqrt(2.0 * 2048)).all()
        assert group.shares["right"].value[:, 0] == pytest.approx(1.0, abs=0.01)


def _side(estimate, axis):
    return type(estimate)(estimate.value[:, axis], estimate.error[:, axis])


def test_a_round_group_hits_as_rayleigh_says():
    # 1 − exp(−R²/2σ²), a closed form; up and down the aim turns about the grip as well, and what
    # gravity and drag change of that is under a thousandth at 20 yd
    (answer,) = study(case(where=[20 * YARD], target=3 * INCH, aim_right=AIM, aim_up=AIM))
    sigma = AIM * 20 * YARD
    truth = 1.0 - math.exp(-0.5 * (1.5 * INCH / sigma) ** 2)
    group = answer.groups["fletched"]
    within(group.hits, truth)
    assert group.hits.error[0] < 0.01
    within(group.radius, sigma * math.sqrt(math.pi / 2.0))


def test_variances_of_several_sources_add_and_their_shares_are_the_parts():
    spread = {"aim_up": AIM, "pitch_rate": 0.2, "speed": 2 * FPS, "mass": 2 * GRAIN}
    together, *alone = study(case(**spread), *(case(**{n: sd}) for n, sd in spread.items()))
    group = together.groups["fletched"]
    parts = [one.groups["fletched"].sd.value[:, 1] ** 2 for one in alone]
    total = group.sd.value[:, 1] ** 2
    assert total == pytest.approx(sum(parts), rel=0.01)
    order = [list(spread).index(name) for name in group.sources]
    shares = group.shares["up"]
    truth = np.array([parts[i] / sum(parts) for i in order]).T
    assert abs(shares.value[:, :4] - truth).max() < 0.01
    assert shares.value.sum(axis=1) == pytest.approx([1.0, 1.0], abs=1e-14)


def test_shares_of_real_flights_are_those_of_pick_freeze_sampling():
    # another way to the same numbers, with plain random shots of its own: Saltelli et al. 2010,
    # "Variance based sensitivity analysis of model output", Computer Physics Communications
    # 181:259–270, table 2, row (b) (from memory); bare shafts in strong gusts are far from linear
    spread = {"yaw_rate": 0.4, "gust_across": 3.0, "aim_right": AIM}
    some = case(where=[60 * YARD], **spread)
    (answer,) = study(some)
    group = answer.groups["bare"]
    random = np.random.default_rng(1)
    columns = [SOURCES.index(name) for name in group.sources]
    one, other = np.zeros((2, 4096, len(SOURCES)))
    one[:, columns], other[:, columns] = random.standard_normal((2, 4096, len(columns)))
    first, second = (shots(some, draws)[1, :, 0, 0] for draws in (one, other))
    variance = np.var(np.concatenate([first, second]))
    middle = np.concatenate([first, second]).mean()
    for i, column in enumerate(columns):
        mixed = one.copy()
        mixed[:, column] = other[:, column]
        terms = (second - middle) * (shots(some, mixed)[1, :, 0, 0] - first) / variance
        error = math.hypot(terms.std() / 64.0, group.shares["right"].error[0, i])
        assert abs(terms.mean() - group.shares["right"].value[0, i]) < 3.5 * error, column
    assert group.shares["right"].value[0, -1] > 5.0 * group.shares["right"].error[0, -1] > 0.0


def test_the_standard_error_holds_the_truth_over_seeds():
    # 12 seeds × 2 distances of Student's t with 15 degrees of freedom
    scores = []
    for seed in range(12):
        (answer,) = study(case(seed=seed, aim_right=AIM, yaw=1e-9), arrows=256)
        sd = _side(answer.groups["fletched"].sd, 0)
        scores.append((sd.value - AIM * WHERE) / sd.error)
    assert 0.4 < np.mean(np.square(scores)) < 2.5


def test_it_shoots_until_it_is_sure_and_not_more():
    seen = []

    def counted(cases, blocks):
        seen.extend(one.count for one in blocks)
        return run_here(cases, blocks)

    (answer,) = run_study([case(aim_right=AIM, aim_up=AIM)], runner=counted)
    assert answer.reached_precision
    for group in answer.groups.values():
        assert (group.sd.error <= 0.01 * group.sd.value).all()
        assert (group.hits.error <= 0.005).all()
    assert sum(seen) == answer.arrows < 50_000


def test_a_spread_of_nothing_does_not_keep_it_shooting():
    # spin turns a hair of up and down into sideways: 0.2 µm, whose share nobody needs to know
    (answer,) = run_study([case(aim_up=AIM)])
    assert answer.reached_precision
    for group in answer.groups.values():
        assert np.isnan(group.shares["right"].value).all()
        assert group.shares["up"].value[:, 0] == pytest.approx(1.0, abs=0.01)


def test_where_it_may_not_shoot_more_it_says_how_many_it_would_take():
    (answer,) = run_study([case(aim_right=AIM)], precision=1e-5, fewest=512, most=1024)
    assert answer.arrows == 1024
    assert not answer.reached_precision
    assert answer.arrows_needed > 10 * answer.arrows


@pytest.mark.parametrize("asked, shot", [(1, 32), (32, 32), (100, 64), (2048, 2048), (4000, 2048)])
def test_numbers_of_arrows_are_balanced(asked, shot):
    (answer,) = study(case(), arrows=asked)
    assert answer.arrows == shot


def test_the_plan_shoots_every_point_once():
    blocks = plan(2, 128, 3 * BLOCK_SHOTS)
    points = [
        (one.case, one.replicate, point)
        for one in blocks
        for point in range(one.first, one.first + one.count)
    ]
    assert len(points) == len(set(points)) == 2 * REPLICATES * (3 * BLOCK_SHOTS - 128)
    assert max(one.count for one in blocks) == BLOCK_SHOTS


def test_growing_step_by_step_is_shooting_at_once():
    some = case(aim_right=AIM, yaw_rate=0.1)
    (at_once,) = study(some, arrows=1024)
    (grown,) = run_study([some], precision=1e-9, fewest=512, most=1024)
    assert grown.groups["bare"].sd.value == pytest.approx(
        at_once.groups["bare"].sd.value, rel=1e-12
    )
    assert grown.groups["bare"].hits.value.tolist() == at_once.groups["bare"].hits.value.tolist()


def test_the_same_seed_gives_the_same_bits_and_another_one_others():
    some = [case(aim_up=AIM, gust_across=0.4) for _ in range(2)]
    one, other = (study(each, arrows=512)[0].groups["bare"] for each in some)
    assert np.array_equal(one.covariance, other.covariance)
    (third,) = study(case(seed=2, aim_up=AIM, gust_across=0.4), arrows=512)
    assert not np.array_equal(one.covariance, third.groups["bare"].covariance)


def test_memory_does_not_grow_with_the_arrows():
    some = case(where=[20 * YARD], aim_right=AIM, mass=1 * GRAIN)

    def peak(arrows):
        tracemalloc.start()
        study(some, arrows=arrows)
        size = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return size

    few = REPLICATES * BLOCK_SHOTS
    peak(few)  # what is made once and kept
    assert peak(4 * few) < 1.3 * peak(few)
