"""Where the target stands, and what a case says when an arrow does not get there."""

import math
from dataclasses import replace

import numpy as np
import pytest

from demo import CONDITIONS, INCH, MAPLE, MILL, SIGHT, YARD, mill_rig
from vireton.flight.flight import Wind
from vireton.rig import assemble_rig
from vireton.scatter.case import make_case
from vireton.scatter.sources import Scatter
from vireton.units.problems import InputProblem

WHERE = [20 * YARD, 60 * YARD]


def case(rig, where=WHERE):
    return make_case(rig, Scatter(), where, 8 * INCH, seed=1)


def test_without_wind_the_fletched_arrow_lands_in_the_middle_of_each_target():
    calm = case(mill_rig())
    assert np.array_equal(calm.landing[0], calm.middle)
    assert calm.middle[1, 1] < -1.0  # 60 yd with the pin of 20 yd: the target hangs there
    assert calm.landing[1, 0, 1] > calm.middle[0, 1]  # the bare shaft is lighter and lands higher


def test_wind_and_cant_move_the_group_and_not_the_target():
    windy = replace(CONDITIONS, wind=Wind.from_clock(5.0, 9.0))
    blown = case(assemble_rig(MILL, MAPLE, windy, SIGHT, cant=math.radians(5.0)))
    calm = case(mill_rig())
    assert np.allclose(blown.middle, calm.middle, atol=1e-9)
    assert (blown.landing[0, :, 0] > calm.landing[0, :, 0] + 0.01).all()


def test_a_distance_that_is_never_reached_is_named():
    with pytest.raises(InputProblem, match="arrow never reaches"):
        case(mill_rig(), [1500.0])
