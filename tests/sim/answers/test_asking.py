"""Text with a unit or numbers in SI at the door."""

import numpy as np
import pytest

from vireton.answers import asking
from vireton.units.problems import InputProblem

YARD, INCH = 0.9144, 0.0254


def test_text_and_si_numbers_mean_the_same():
    assert asking.distances("20,40 yd") == pytest.approx([20 * YARD, 40 * YARD])
    assert asking.distances([20 * YARD, "40 yd"]) == pytest.approx([20 * YARD, 40 * YARD])
    assert asking.distances(np.array([40.0, 20.0, 40.0])) == [20.0, 40.0]
    assert asking.distances(18) == [18.0]
    assert asking.move("1/32 in", "up") == pytest.approx(INCH / 32)
    assert asking.move(-INCH / 32, "up") == pytest.approx(-INCH / 32)
    assert asking.moves(None, "up") == [0.0]
    assert asking.moves("-1/32:1/32:1/32 in", "up") == pytest.approx([-INCH / 32, 0, INCH / 32])


def test_places_keep_their_order():
    assert asking.places("40,20 m") == [40.0, 20.0]


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: asking.distances("20"), r"distances: .*no unit"),
        (lambda: asking.distances([]), "distances: the list is empty"),
        (lambda: asking.distances(3000.0), "distances: 3000 m is outside 1 m to 2000 m"),
        (lambda: asking.distances([float("nan")]), "outside"),
        (lambda: asking.distances([None]), "distances: None is no quantity"),
        (lambda: asking.distances(["20 kg"]), "a mass, not a length"),
        # the trap: an inch count taken for meters
        (lambda: asking.move(1 / 32 * 32, "up"), "up: 1 m is outside .* unit is in m"),
        (lambda: asking.blowing("strong"), 'wind: "strong" is not understood'),
        (lambda: asking.blowing(5.0), "wind: 5.0 is not understood"),
        (lambda: asking.blowing((5.0, 13.0)), "wind: 13 is no clock direction"),
        (lambda: asking.blowing((500.0, 3.0)), "wind: 500 m/s is outside"),
        (lambda: asking.draws(2), "draws: 2 is outside 8 to 10000"),
        (lambda: asking.draws(64.5), "draws: 64.5"),
    ],
)
def test_what_cannot_be_is_refused_by_the_argument_s_name(call, says):
    with pytest.raises(InputProblem, match=says):
        call()


def test_wind_as_text_and_as_numbers():
    assert asking.blowing("10 mph from 3") == pytest.approx((4.4704, 3.0))
    assert asking.blowing((4.4704, 3)) == (4.4704, 3.0)
