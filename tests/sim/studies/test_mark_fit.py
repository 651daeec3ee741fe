"""The fit of sight marks: exact linear algebra, recovery, coverage over many invented sights."""

import math
from dataclasses import replace

import numpy as np
import pytest

from demo import FPS, INCH, RANGES, YARD, mill_rig
from vireton.rig import vary
from vireton.studies.mark_fit import MarkPrior, ShotMark, fit_marks, mark_prior, marks_at
from vireton.studies.marks import Marksman, Trial
from vireton.uncertain import latin_hypercube
from vireton.units.problems import InputProblem

RADIUS = 33 * INCH
READING, AIMING = 0.01 * INCH, 0.25 * INCH / (20 * YARD)
FAR = np.array([20.0, 30.0, 40.0, 50.0, 60.0, 80.0]) * YARD


@pytest.fixture(scope="module")
def marksman():
    return Marksman(mill_rig(), RADIUS, 20 * YARD)


@pytest.fixture(scope="module")
def prior(marksman):
    return mark_prior(
        mill_rig(),
        marksman,
        RANGES,
        radius=RADIUS,
        radius_error=0.25 * INCH,
        reading=READING,
        aiming=AIMING,
        reach=80 * YARD,
        draws=32,
    )


def shot(marksman, truth, distances, offset=0.02, noise=None):
    marks = offset + truth.radius * np.tan(marksman.elevations(np.asarray(distances), truth))
    if noise is not None:
        marks = marks + noise.normal(0.0, math.hypot(READING, RADIUS * AIMING), marks.size)
    return [ShotMark(float(d), float(m)) for d, m in zip(distances, marks, strict=True)]


# exact


def test_a_linear_problem_is_solved_as_linear_algebra_solves_it():
    # mark = offset + R·(1e-3·d·drag + height): linear in drag and height, radius and speed known
    def elevations(distances, trial):
        return np.arctan(1e-3 * distances * trial.drag + trial.height)

    nominal = Trial(0.8, 80.0)
    prior = MarkPrior(nominal, Trial(1e-9, 1e-9, 0.1, 0.01), 2e-4, 0.0)
    distances = np.array([18.0, 40.0, 55.0])
    seen = np.array([0.020, 0.038, 0.050])
    fit = fit_marks(
        elevations, [ShotMark(*one) for one in zip(distances, seen, strict=True)], prior
    )
    design = np.column_stack([np.ones(3), 0.8e-3 * distances, np.full(3, 0.8)])
    weight = np.diag([0.0, 1 / 0.1**2, 1 / 0.01**2])
    normal = design.T @ design / 2e-4**2 + weight
    answer = np.linalg.solve(normal, design.T @ seen / 2e-4**2 + weight @ [0.0, 1.0, 0.0])
    assert fit.offset == pytest.approx(answer[0], rel=1e-6)
    assert fit.drag.value == pytest.approx(answer[1], rel=1e-6)
    sd = np.sqrt(np.diag(np.linalg.inv(normal)))
    assert fit.drag.sd == pytest.approx(sd[1] * fit.error_inflation, rel=1e-5)
    found = marks_at(elevations, np.array([30.0, 80.0]), fit, prior)
    ahead = np.column_stack([np.ones(2), 0.8e-3 * np.array([30.0, 80.0]), np.full(2, 0.8)])
    assert found.mark == pytest.approx(ahead @ answer, rel=1e-6)
    wide = 1.95996 * np.sqrt(np.diag(ahead @ np.linalg.inv(normal) @ ahead.T)) * fit.error_inflation
    assert found.high - found.mark == pytest.approx(wide, rel=1e-4)
    step = ahead[1] - ahead[0]
    assert found.gap[0] == pytest.approx(step @ answer, rel=1e-6)
    gap_wide = 1.95996 * math.sqrt(step @ np.linalg.inv(normal) @ step) * fit.error_inflation
    assert found.gap_high[0] - found.gap[0] == pytest.approx(gap_wide, rel=1e-4)


def test_the_nominal_arrow_gives_itself_back(marksman, prior):
    fit = fit_marks(marksman.elevations, shot(marksman, prior.nominal, FAR[[0, 4]]), prior)
    assert fit.speed.value == pytest.approx(280 * FPS, rel=1e-7)
    assert fit.drag.value == pytest.approx(1.0, rel=1e-6)
    assert fit.offset == pytest.approx(0.02, abs=1e-8)
    assert fit.misfit == pytest.approx(1.0)
    assert fit.error_inflation == 1.0


def test_many_sharp_marks_find_another_arrow(marksman, prior):
    truth = Trial(RADIUS + 0.1 * INCH, 281.5 * FPS, 1.08, 0.001)
    sharp = replace(prior, reading=1e-7, aiming=0.0)
    known = replace(sharp, spread=replace(prior.spread, radius=1e-7, height=1e-7))
    truth_known = replace(truth, radius=RADIUS, height=0.0)
    fit = fit_marks(marksman.elevations, shot(marksman, truth_known, FAR), known)
    assert fit.speed.value == pytest.approx(281.5 * FPS, abs=0.05 * FPS)
    assert fit.drag.value == pytest.approx(1.08, abs=0.005)
    # with radius and height open too the marks are right, whatever made them
    fit = fit_marks(marksman.elevations, shot(marksman, truth, FAR), sharp)
    asked = np.array([25.0, 45.0, 70.0]) * YARD
    expected = [one.mark for one in shot(marksman, truth, asked)]
    assert marks_at(marksman.elevations, asked, fit, sharp).mark == pytest.approx(
        expected, abs=0.001 * INCH
    )


# what cannot be known


def test_one_distance_says_nothing_of_speed_and_drag(marksman, prior):
    fit = fit_marks(marksman.elevations, shot(marksman, prior.nominal, FAR[[0]]), prior)
    assert fit.speed.sd == pytest.approx(prior.spread.speed, rel=1e-6)
    assert fit.drag.sd == pytest.approx(prior.spread.drag, rel=1e-6)
    assert math.isnan(fit.misfit)


def test_more_marks_narrow_and_far_ones_are_open_until_shot(marksman, prior):
    def width(yards):
        fit = fit_marks(
            marksman.elevations, shot(marksman, prior.nominal, np.array(yards) * YARD), prior
        )
        found = marks_at(marksman.elevations, np.array([80 * YARD]), fit, prior)
        return float(found.high[0] - found.low[0])

    assert width([20.0]) > width([20.0, 60.0]) > width([20.0, 40.0, 60.0, 80.0])


def test_a_vague_speed_is_narrowed_by_marks(marksman, prior):
    vague = replace(prior, spread=replace(prior.spread, speed=20 * FPS))
    truth = Trial(RADIUS, 262 * FPS)
    fit = fit_marks(marksman.elevations, shot(marksman, truth, FAR), vague)
    low, high = fit.speed.interval
    assert low < 262 * FPS < high
    assert fit.speed.sd < 0.5 * fit.speed.sd_before
    # a faster arrow with more drag gives nearly the same marks
    assert fit.correlation > 0.0


# wrong marks


def test_a_wrong_mark_is_told_and_widens_all(marksman, prior):
    shots = shot(marksman, prior.nominal, FAR)
    shots[3] = replace(shots[3], mark=shots[3].mark + 0.15 * INCH)
    fit = fit_marks(marksman.elevations, shots, prior)
    assert fit.misfit < 0.01
    assert fit.error_inflation > 2.0
    assert int(np.argmax(np.abs(fit.residuals))) == 3


def test_a_bar_whose_number_falls_is_told(marksman, prior):
    shots = [replace(s, mark=-s.mark) for s in shot(marksman, prior.nominal, FAR)]
    with pytest.raises(InputProblem, match="--falling"):
        fit_marks(marksman.elevations, shots, prior)
    with pytest.raises(InputProblem, match="no shot-in mark"):
        fit_marks(marksman.elevations, [], prior)


def test_the_prior_follows_the_setups_ranges(marksman, prior):
    # flat over 278 to 282 fps
    assert prior.spread.speed == pytest.approx(4 * FPS / math.sqrt(12.0))
    assert 0.04 < prior.spread.drag < 0.2
    sure = mark_prior(
        mill_rig(), marksman, {"arrow_speed": (279 * FPS, 281 * FPS)}, radius=RADIUS,
        radius_error=1e-3, reading=READING, aiming=AIMING, reach=50.0,
    )  # fmt: skip
    assert sure.spread.speed == pytest.approx(2 * FPS / math.sqrt(12.0))
    assert sure.spread.drag == 0.03


# statistics


def test_kept_out_marks_lie_in_their_intervals(marksman, prior):
    """150 invented sights and arrows drawn from the prior, shot in at 20 and 60 yd.

    95 % of 150 with a binomial SD of 1.8 %: three of them either way.
    """
    random = np.random.default_rng(20)
    asked = np.array([30.0, 45.0, 80.0]) * YARD
    count, inside, speeds, off = 150, np.zeros(3), 0, []
    for _ in range(count):
        z = random.normal(size=4)
        truth = Trial(
            *(
                getattr(prior.nominal, name) + float(one) * getattr(prior.spread, name)
                for name, one in zip(("radius", "speed", "drag", "height"), z, strict=True)
            )
        )
        fit = fit_marks(
            marksman.elevations, shot(marksman, truth, FAR[[0, 4]], noise=random), prior
        )
        found = marks_at(marksman.elevations, asked, fit, prior)
        expected = np.array([one.mark for one in shot(marksman, truth, asked)])
        inside += (found.low <= expected) & (expected <= found.high)
        speeds += fit.speed.interval[0] <= truth.speed <= fit.speed.interval[1]
        off.append((found.mark - expected) / (found.high - found.mark))
    assert (np.abs(inside / count - 0.95) < 3 * 0.018).all(), inside
    assert abs(speeds / count - 0.95) < 3 * 0.018
    # no bias: the mean error is within three standard errors of nothing, in half-widths of 1.96 SD
    assert np.abs(np.mean(off, axis=0)).max() < 3.0 / 1.96 / math.sqrt(count)


def test_marks_of_arrows_that_differ_in_everything_lie_in_their_intervals(marksman, prior):
    """100 plausible bows and arrows, every uncertain number drawn flat over its range.

    The fit knows one drag factor and normal errors; the truth differs in launch, lift, transition.
    """
    random = np.random.default_rng(8)
    asked = np.array([30.0, 45.0, 80.0]) * YARD
    count, inside = 100, np.zeros(3)
    for values in latin_hypercube(RANGES, count, 9):
        other = vary(mill_rig(), values)
        true_sight = Marksman(other, RADIUS, 20 * YARD)
        truth = Trial(
            RADIUS + random.normal() * prior.spread.radius,
            other.bow.arrow_speed,
            1.0,
            random.normal() * prior.spread.height,
        )
        fit = fit_marks(
            marksman.elevations, shot(true_sight, truth, FAR[[0, 4]], noise=random), prior
        )
        found = marks_at(marksman.elevations, asked, fit, prior)
        expected = np.array([one.mark for one in shot(true_sight, truth, asked)])
        inside += (found.low <= expected) & (expected <= found.high)
    # three binomial standard deviations of 2.2 %
    assert (np.abs(inside / count - 0.95) < 3 * 0.022).all(), inside
