"""Tables of places: what was flown, what is read between, and how far off that is."""

from dataclasses import replace

import numpy as np
import pytest
from formula import CASES, FAR, GRAIN, MPH, REACH, FormulaCase

from demo import INCH
from vireton.report.tables import (
    Reach,
    line_weights,
    look_up,
    measured_errors,
    spread_winds,
    tabulate,
    wind_weights,
)
from vireton.units.problems import InputProblem


def test_what_was_flown_is_read_back_but_for_the_grain(tables):
    for number, case in enumerate(CASES):
        for kind in case.kinds:
            setting = np.array([[REACH.right[7], REACH.up[1], REACH.wind[3]]])
            read = look_up(tables, number, kind, 7, 1, float(REACH.wind[3]))
            assert read == pytest.approx(case.places(kind, setting)[0], abs=0.0051 * INCH)


def test_a_cubic_in_the_wind_is_met_between_the_winds(tables):
    wind = -6.3 * MPH
    setting = np.array([[REACH.right[2], REACH.up[8], wind]])
    read = look_up(tables, 0, "bare", 2, 8, wind)
    assert read == pytest.approx(CASES[0].places("bare", setting)[0], abs=GRAIN)


@pytest.mark.parametrize("wind", [-15.0, -14.9, -0.1, 0.0, 3.7, 14.9, 15.0])
def test_weights_add_up_and_reproduce_cubics(wind):
    nodes = REACH.wind / MPH
    first, weights = wind_weights(nodes, wind)
    near = nodes[first : first + 4]
    for power in range(4):
        assert weights @ near**power == pytest.approx(wind**power, abs=1e-8)
    lines = line_weights(nodes, wind)
    assert lines.min() >= 0.0
    assert lines @ nodes == pytest.approx(wind)


class Kinked(FormulaCase):
    """A place that no cubic follows."""

    def places(self, kind, settings):
        bent = 0.01 * np.abs(settings[:, 2] - 0.77)
        return np.repeat(bent[:, None], 2 * len(FAR), axis=1).reshape(-1, len(FAR), 2)


def test_the_stated_error_holds_at_other_places():
    tables = tabulate([Kinked()], REACH, FAR, GRAIN)
    assert tables.errors.min() > 0.05 * INCH  # there is something to be stated
    for seed in range(2, 6):
        assert (measured_errors(tables, 0, Kinked(), "bare", 400, seed) <= tables.errors).all()


def test_spreads_are_standard_deviations_and_correlation(tables):
    counts = tables.cases[0].spreads["bare"][3, 4, 2]
    assert counts[0] == pytest.approx([80, 120, 333], abs=0.51)
    assert counts[1] == pytest.approx([160, 240, 333], abs=0.51)
    assert tables.cases[0].spreads["apart"].shape == (9, 9, 5, 2, 3)


def test_five_winds_for_the_spreads():
    assert spread_winds(REACH.wind) / MPH == pytest.approx([-15.0, -7.5, 0.0, 7.5, 15.0])


def test_where_the_rest_stands():
    uneven = Reach(np.array([-3.0, -1.0, 0.0, 2.0]), np.array([-1.0, 0.0]), REACH.wind)
    assert uneven.stands == (2, 1)


class Short(FormulaCase):
    """A bare shaft that falls short of the farther target in a strong wind."""

    def places(self, kind, settings):
        landed = super().places(kind, settings)
        if kind == "bare":
            landed[settings[:, 2] > 6.0, 1] = np.nan
        return landed


def test_an_arrow_that_falls_short_is_told_with_its_distance():
    with pytest.raises(InputProblem, match=r"bare arrow never reaches 40 yd .*--distances"):
        tabulate([Short()], REACH, FAR, GRAIN)


class Weak(FormulaCase):
    """Some plausible bow does not reach the farther target."""

    def covariances(self, seen, settings):
        found = np.array(super().covariances(seen, settings))
        found[-1, 1] = np.nan
        return found


def test_a_plausible_bow_that_falls_short_is_told_too():
    with pytest.raises(InputProblem, match="40 yd"):
        tabulate([Weak()], REACH, FAR, GRAIN)


def test_how_far_the_work_is_can_be_shown():
    shown = []

    def progress(parts, doing):
        for part in parts:
            shown.append((doing, part[1]))
            yield part

    tabulate([FormulaCase()], REACH, FAR, GRAIN, progress=progress)
    doing = "flying to every place of the sliders"
    assert shown == [(doing, one) for one in ("fletched", "bare", "apart")]


def test_an_arrow_without_vanes_has_one_table():
    tables = tabulate([replace(FormulaCase(), kinds=("bare",))], REACH, FAR, GRAIN)
    assert set(tables.cases[0].places) == set(tables.cases[0].spreads) == {"bare"}
