"""Distances that are never reached are refused in words."""

import numpy as np
import pytest

from vireton.flight.reaching import demand_reached
from vireton.units.problems import InputProblem

AWAY = [18.288, 36.576, 54.864]  # 20, 40 and 60 yd


def test_what_is_reached_is_let_through():
    demand_reached("the arrow", AWAY, np.zeros(3))
    demand_reached("the arrow", AWAY, np.zeros((3, 2, 4)))
    demand_reached("the arrow", [], np.zeros((0, 2)))


def test_the_first_distance_that_is_missing_is_named_with_the_next_step():
    with pytest.raises(InputProblem) as caught:
        demand_reached("the bare arrow", AWAY, [0.1, np.nan, np.nan])
    assert str(caught.value) == (
        "the bare arrow never reaches 40 yd (36.58 m). Ask for shorter distances, or sight in "
        "farther out"
    )


def test_one_missing_number_of_many_is_enough():
    found = np.zeros((3, 2, 2))
    found[2, 1, 0] = np.nan
    with pytest.raises(InputProblem, match=r"60 yd \(54.86 m\): too slow. Wait$"):
        demand_reached("it", AWAY, found, why="too slow", instead="Wait")
