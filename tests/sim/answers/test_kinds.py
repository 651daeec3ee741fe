"""Text with a unit or numbers in SI at the door."""

import numpy as np
import pytest

from vireton.answers.kinds import (
    DISTANCES,
    DRAWS,
    MOVE,
    SEED,
    SIGHT_IN,
    One,
    Several,
    WindFrom,
    allowed,
)
from vireton.units.quantity import Quantity

YARD, INCH = 0.9144, 0.0254
MASSES = Several(One(Quantity("mass", "1 gr", "1000 gr", "100 gr")))


def test_text_and_si_numbers_mean_the_same():
    assert MOVE.read("1/32 in") == pytest.approx(INCH / 32)
    assert MOVE.read(-INCH / 32) == pytest.approx(-INCH / 32)
    assert MASSES.read("100,125 gr") == pytest.approx(MASSES.read([0.006479891, 0.00809986375]))
    assert MASSES.read(np.array([0.02, 0.01])) == (0.02, 0.01)
    assert Several(MOVE).read("-1/32:1/32:1/32 in") == pytest.approx([-INCH / 32, 0, INCH / 32])


def test_distances_rise_and_come_once_each():
    assert DISTANCES.read("60,20,60 yd") == pytest.approx((20 * YARD, 60 * YARD))
    assert DISTANCES.read(["40 m", "20 m"]) == (20.0, 40.0)


@pytest.mark.parametrize("given", [20, 20.0, [20], np.array([20.0, 40.0])])
def test_a_bare_number_is_no_distance(given):
    """Yards or meters? Asked, never guessed."""
    with pytest.raises(ValueError, match="20 has no unit; write '20 yd' or '20 m'"):
        DISTANCES.read(given)


def test_none_as_a_word_is_the_bore_line():
    assert SIGHT_IN.read(" None ") == float("inf")
    assert SIGHT_IN.read("30 m") == 30.0


def test_wind_as_text_and_as_numbers():
    assert WindFrom().read("10 mph from 3") == pytest.approx((4.4704, 3.0))
    assert WindFrom().read((4.4704, 3)) == (4.4704, 3.0)


@pytest.mark.parametrize(
    ("kind", "given", "says"),
    [
        (DISTANCES, "20", "no unit"),
        (DISTANCES, [], "the list is empty"),
        (DISTANCES, "3000 m", "outside 1 m to 2000 m"),
        (DISTANCES, ["20 kg"], "a mass, not a length"),
        (MASSES, [None], "None is no quantity"),
        (MASSES, [float("nan")], "outside"),
        # the trap: an inch count taken for meters
        (MOVE, 1.0, "1 m is outside .* unit is in m"),
        (WindFrom(), "strong", '"strong" is not understood'),
        (WindFrom(), 5.0, "5.0 is not understood"),
        (WindFrom(), (5.0, 13.0), "13 is no clock direction"),
        (WindFrom(), (500.0, 3.0), "500 m/s is outside"),
        (DRAWS, 2, "2 is outside 8 to 10000"),
        (DRAWS, 64.5, "64.5"),
        (SEED, -1, "-1 is below 0"),
    ],
)
def test_what_cannot_be_is_refused(kind, given, says):
    with pytest.raises(ValueError, match=says):
        kind.read(given)


def test_the_range_stands_behind_the_words():
    assert allowed(DISTANCES) == ", 1 m to 2000 m"
    assert allowed(DRAWS) == ", 8 to 10,000"
    assert allowed(SEED) == ""
