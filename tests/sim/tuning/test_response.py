"""What the arrows do for given launch errors, and its derivatives."""

import numpy as np
import pytest
from bench import AT, PAPER, tuner

from vireton.tuning.response import ERRORS, Planes

SHOOTER = tuner().flown.shooter
ERROR = np.array([0.4, -0.2, 0.004, 0.002, 0.003, -0.001])


def test_each_kind_is_its_own_arrow():
    assert SHOOTER.arrow("bare") is SHOOTER.rig.bare
    assert SHOOTER.arrow("fletched") is SHOOTER.rig.fletched


@pytest.mark.parametrize("kind", ["bare", "fletched"])
def test_derivatives_are_those_of_the_flights(kind):
    planes = Planes(kind, (AT, 1.5 * AT), (PAPER,))
    response = SHOOTER.shoot(planes, ERROR)
    for i, step in enumerate((0.02, 0.02, 5e-4, 5e-4, 1e-3, 1e-3)):
        ends = []
        for sign in (1.0, -1.0):
            moved = ERROR.copy()
            moved[i] += sign * step
            ends.append(SHOOTER.shoot(planes, moved))
        points = (ends[0].points - ends[1].points) / (2 * step)
        tears = (ends[0].tears - ends[1].tears) / (2 * step)
        size = np.abs(points).max()
        assert response.points_by_error[:, :, i] == pytest.approx(points, abs=5e-3 * size)
        size = np.abs(tears).max()
        assert response.tears_by_error[:, :, i] == pytest.approx(tears, abs=5e-3 * size)


def test_no_error_is_the_rigs_own_shot():
    response = SHOOTER.shoot(Planes("fletched", (AT,)), np.zeros(len(ERRORS)))
    assert np.abs(response.points).max() < 1e-6  # sighted in here


def test_nose_right_goes_right_and_tears_left():
    errors = np.zeros(6)
    errors[0] = 0.5
    response = SHOOTER.shoot(Planes("bare", (AT,), (PAPER,)), errors)
    assert response.points[0, 0] > 0.0
    assert response.tears[0, 0] < 0.0
