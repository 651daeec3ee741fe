"""Moves that may be advised."""

import numpy as np
import pytest
from bench import STEP

from demo import INCH
from vireton.bow.setting import BowSetting
from vireton.tuning.costs import Costs
from vireton.tuning.moves import TRAVEL, moves_within


def test_a_rest_stays_within_its_travel():
    at_end = moves_within(STEP, 0.125 * INCH, 0.25 * INCH + 0j, TRAVEL)
    assert at_end.by[0] == 0.0
    assert (0.25 * INCH + at_end.by.real).max() <= TRAVEL + 1e-9
    assert len(np.unique(at_end.by)) == len(at_end.by) == 5 * 9
    assert not at_end.by_nock.any()
    beyond = moves_within(STEP, 0.125 * INCH, 0.5 * INCH + 0j, TRAVEL)
    assert beyond.by.real.max() == 0.0


def test_at_the_end_of_the_rest_the_nock_goes_the_other_way():
    moves = moves_within(STEP, 0.125 * INCH, 0.25j * INCH, TRAVEL)
    up = int(np.flatnonzero(np.isclose(moves.by, 2j * STEP))[0])
    assert moves.by_nock[up]
    assert moves.setting(up) == BowSetting(0.0, 0.0, -2 * STEP)
    down = int(np.flatnonzero(np.isclose(moves.by, -2j * STEP))[0])
    assert moves.setting(down) == BowSetting(0.0, -2 * STEP)
    costs = moves.costs(Costs(move=1.5, nock=4.0))
    assert (costs[0], costs[down], costs[up]) == (0.0, 1.5, 4.0)


def test_steps_are_whole_even_where_they_are_coarse():
    moves = moves_within(0.2 * INCH, 0.125 * INCH, 0j, TRAVEL)
    assert np.unique(moves.by.real) == pytest.approx([-0.2 * INCH, 0.0, 0.2 * INCH])
