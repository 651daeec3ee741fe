"""The direct linear transform."""

import numpy as np
import pytest

from vireton.photo.perspective import demand_spread, direct_map, rough_misfit, square_map
from vireton.units.problems import InputProblem

MAP = np.array([[0.9, 0.2, 0.1], [-0.3, 1.1, -0.2], [0.15, -0.1, 1.0]])


def seen(points, matrix=MAP):
    turned = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    return turned[:, :2] / turned[:, 2:]


def test_four_points_give_the_map_exactly():
    points = np.array([(0.0, 0.0), (1.0, 0.1), (0.9, 1.2), (-0.2, 0.8)])
    found = direct_map(points, seen(points))
    assert found / found[2, 2] == pytest.approx(MAP, abs=1e-12)


def test_the_unit_square_goes_to_its_corners():
    corners = np.array([(1210.0, 890.0), (1290.0, 870.0), (1301.0, 800.0), (1220.0, 812.0)])
    unit = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
    assert seen(unit, square_map(corners)) == pytest.approx(corners, abs=1e-6)


def test_misfit_is_nothing_for_a_plane_and_grows_with_what_is_bent():
    points = np.random.default_rng(1).uniform(-1.0, 1.0, (16, 2))
    picture = 1000.0 * seen(points) + 500.0
    assert rough_misfit(points, picture) < 1e-6
    bent = picture + 3.0 * np.sign(points)
    assert 0.1 < rough_misfit(points, bent) < 3.0 * np.sqrt(2.0)


def test_points_on_a_line_fix_no_plane():
    line = np.column_stack([np.arange(5.0), 2.0 * np.arange(5.0)])
    with pytest.raises(InputProblem, match="tap the middles of the marks again"):
        demand_spread(line)
