"""What measuring would buy."""

import numpy as np
import pytest

from demo import RANGES, mill_rig
from vireton.studies import measuring
from vireton.studies.measuring import MOVE, worth_of_measuring
from vireton.studies.rest_moves import TALKING_DISTANCE, answer_rest_moves
from vireton.uncertain.measurements import MEASUREMENTS

RIG = mill_rig()


@pytest.fixture(scope="module")
def worth():
    return worth_of_measuring(RIG, RANGES, draws=32)


def test_what_is_known_now_is_what_rest_says(worth):
    right, up = answer_rest_moves(
        RIG, [(MOVE, 0.0), (0.0, MOVE)], [TALKING_DISTANCE], RANGES, paper=2.0, draws=32
    )
    assert worth.now.low[0] == right.separation_change.low[0, 0]
    assert worth.now.high[1] == up.separation_change.high[0, 1]
    assert worth.width() == pytest.approx(worth.now.high - worth.now.low)


def test_the_most_telling_comes_first_and_nothing_widens(worth):
    widths = [worth.width(one) for one in worth.alone]
    assert all(np.diff([one.sum() for one in widths]) >= 0.0)
    assert all((one <= worth.width()).all() for one in widths)


def test_the_string_tells_most_on_the_mill_bow_and_more_leave_less(worth):
    assert worth.alone[0].keys == ("string_mass",)
    assert worth.alone[0].left[0] < 0.85
    two, *_, every = worth.together
    assert two.keys == tuple(one.keys[0] for one in worth.alone[:2])
    assert every.left[0] < worth.alone[0].left[0]
    assert every.minutes == sum(one.minutes for one in worth.alone)


def test_what_is_measured_is_not_asked_for_again():
    others = [one.key for one in MEASUREMENTS if one.key != "balance"]
    found = worth_of_measuring(RIG, RANGES, others, draws=8)
    assert [one.keys for one in found.alone] == [("balance",)]
    assert found.together == ()
    # all parts are listed: nothing is left for the knife edge
    assert found.alone[0].left == pytest.approx(1.0)


def test_where_nothing_is_open_nothing_is_told():
    found = worth_of_measuring(RIG, {"friction": (0.9, 1.1)}, ("balance",), draws=8)
    assert found.alone == found.together == ()


def test_each_reading_is_made_up_on_bows_spread_over_what_it_reads(worth):
    bench = measuring._Bench.of(RIG, RANGES, 32, 1)
    row = next(one for one in MEASUREMENTS if one.key == "string_mass")
    masses = [one.bow.string_mass for one in bench._benches((row,))]
    assert masses == sorted(masses)
    assert len(set(masses)) == measuring.READINGS
    assert masses[-1] - masses[0] > 0.5 * (0.016 - 0.006)
