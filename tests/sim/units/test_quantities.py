"""Lists, sweeps and wind as typed."""

import pytest

from vireton.units.problems import InputProblem
from vireton.units.quantities import lengths, quantities, quantity, wind
from vireton.units.quantity import Spine

YARD, INCH = 0.9144, 0.0254


def read(text):
    return lengths(text, "--distances", "-10 m", "2000 m")


def test_one_and_several():
    assert read("20 yd") == pytest.approx([20 * YARD])
    assert read("20,40,60 yd") == pytest.approx([20 * YARD, 40 * YARD, 60 * YARD])
    assert read("20 yd, 50 m") == pytest.approx([20 * YARD, 50.0])


def test_sweeps_hold_both_ends():
    assert read("10:30:10 yd") == pytest.approx([10 * YARD, 20 * YARD, 30 * YARD])
    assert read("10:35:10 yd") == pytest.approx([10 * YARD, 20 * YARD, 30 * YARD])
    assert read("-1/16:1/16:1/32 in") == pytest.approx(
        [k * INCH / 32 for k in (-2, -1, 0, 1, 2)], abs=1e-15
    )
    assert read("1:0:-1/2 in") == pytest.approx([INCH, INCH / 2, 0.0], abs=1e-15)


def test_mixed_fractions_in_lists():
    assert read("1 3/8, 2 in") == pytest.approx([1.375 * INCH, 2 * INCH])


def test_marks_of_the_trade_in_lists():
    assert read('1 3/8,2"') == pytest.approx([1.375 * INCH, 2 * INCH])
    assert read('-1/16:1/16:1/32"') == read("-1/16:1/16:1/32 in")
    moves = lengths("-1/16:1/16:1/32", "--up", "-1/2 in", "1/2 in", like="1/32 in")
    assert moves == read("-1/16:1/16:1/32 in")
    assert quantities("70,72#", "force", "", "1 lbf", "200 lbf") == quantities(
        "70,72 lbf", "force", "", "1 lbf", "200 lbf"
    )


def test_spines_go_by_their_numbers():
    def spines(text):
        return quantities(
            text, "length", "", "0.1 in", "3 in", like="0.340 in", completed=Spine().completed
        )

    assert spines("300,340,400") == spines("0.3,0.34,0.4 in") == spines("0.3,0.34,0.4")
    assert spines("300:400:50") == pytest.approx(spines("0.30:0.40:0.05 in"), rel=1e-12)
    with pytest.raises(InputProblem, match=r'"34" has no unit; write it like "0\.340 in"'):
        spines("34")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("20", "no unit"),
        ("", "empty"),
        ("10:20 yd", "first:last:step"),
        ("1:2:3:4 yd", "first:last:step"),
        ("10:20:0 yd", "never gets"),
        ("10:20:-1 yd", "never gets"),
        ("0:2000:0.001 m", "more than 200"),
        ("3000 m", "outside"),
        ("nan yd", "plain number"),
        ("20 kg", "a mass, not a length"),
        (",".join(["1"] * 300) + " m", "more than 200"),
    ],
)
def test_what_is_not_understood_is_refused_in_words(text, says):
    with pytest.raises(InputProblem, match=says):
        read(text)


def test_quantity_names_option_value_and_range():
    with pytest.raises(InputProblem, match=r'--slope: "95 deg" is outside -80 deg to 80 deg'):
        quantity("95 deg", "angle", "--slope", "-80 deg", "80 deg")


DISTANCES = ("length", "--distances", "1 m", "2000 m")
MOVES = ("length", "--up", "-1/2 in", "1/2 in")


@pytest.mark.parametrize(
    ("text", "asked", "like", "says"),
    [
        ("20 ", DISTANCES, "20 yd", 'distances: "20" has no unit; write it like "20 yd" or "20 m"'),
        ("6", ("length", "--paper", "1 m", "20 m"), "6 ft", 'like "6 ft", "6 yd" or "6 m"'),
        ("3000", DISTANCES, "20 yd", '--distances: "3000" has no unit; write it like "20 yd"'),
        ("340", ("length", "--spine", "0.1 in", "3 in"), "0.340 in", 'like "0.340 in"'),
        ("0.4", ("length", "--spine", "0.1 in", "3 in"), "0.340 in", 'like "0.4 in"'),
        ("32", MOVES, "1/32 in", '--up: "32" has no unit; write it like "1/32 in"'),
        ("5", MOVES, "1/32 in", 'like "5/32 in", "5 mm" or "5 clicks"'),
        ("0.05", MOVES, "1/32 in", 'like "0.05 in"'),
        ("1/23", MOVES, "1/32 in", 'like "1/23 in"'),
        ("95", ("angle", "--slope", "-80 deg", "80 deg"), "", 'like "2 deg"'),
        ("10", ("angle", "--slope", "-80 deg", "80 deg"), "", 'like "10 deg"'),
        # the usual example of a length, 28 1/2 in, is no rest move: the end of the range is one
        ("32", MOVES, "", 'like "1/2 in"'),
        ("left", MOVES, "1/32 in", 'write it like "1/32 in"'),
        (" 3 in ", MOVES, "1/32 in", '--up: "3 in" is outside'),
    ],
)
def test_a_hint_lies_in_the_range(text, asked, like, says):
    with pytest.raises(InputProblem) as caught:
        quantity(text, *asked, like=like)
    assert says in str(caught.value)


def test_what_a_hint_says_is_then_taken():
    for number in ("20", "0.5", "5000", "1e9", "-3", "0"):
        with pytest.raises(InputProblem) as caught:
            quantity(number, *DISTANCES, like="20 yd")
        hint = str(caught.value).rsplit('"', 2)[1]
        assert 1.0 <= quantity(hint, *DISTANCES) <= 2000.0


def test_a_list_without_any_unit_is_told_one():
    with pytest.raises(InputProblem, match='"20" has no unit; write it like "20 yd"'):
        lengths("20 , 40", "--distances", "1 m", "2000 m", like="20 yd")


def test_wind():
    assert wind("10 mph from 3") == pytest.approx((4.4704, 3.0))
    assert wind("5 m/s from 10.5 o'clock") == pytest.approx((5.0, 10.5))
    assert wind("5 m/s FROM 12 O'CLOCK") == pytest.approx((5.0, 12.0))


@pytest.mark.parametrize("text", ["10 mph", "10 from 3", "10 mph from 13", "99 m/s from 3", "gale"])
def test_wind_that_is_not_understood(text):
    with pytest.raises(InputProblem, match="--wind"):
        wind(text)
