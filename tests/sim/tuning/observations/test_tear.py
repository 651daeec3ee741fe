"""Tears: words, JSON and likelihood."""

import pytest

from vireton.tuning.observations import Tear, parse_tear
from vireton.units.problems import InputProblem

INCH = 0.0254


def said(call: object, *arguments: object) -> str:
    assert callable(call)
    with pytest.raises(InputProblem) as caught:
        call(*arguments)
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "right", "up"),
    [
        ("left 1/16 in, high 1/8 in", -1 / 16, 1 / 8),
        ("tail-left 1/16 in, tail-high 1/8 in", -1 / 16, 1 / 8),
        ("Tail left 1/16in and Nock High 1/8in", -1 / 16, 1 / 8),
        ("1/8 in tail-high, 1/16 in tail-left", -1 / 16, 1 / 8),
        ("right 1 3/8 in", 1.375, 0.0),
        ("right: 1-3/8 in, low ½ in", 1.375, -0.5),
        ("down .094 in", 0.0, -0.094),
        ("+1/32 in right", 1 / 32, 0.0),
        ("left 25.4 mm, above 2.54cm", -1.0, 1.0),
        ("below 0 in", 0.0, 0.0),
        ("clean", 0.0, 0.0),
        (" Bullet hole ", 0.0, 0.0),
    ],
)
def test_tears(text: str, right: float, up: float) -> None:
    assert parse_tear(text) == pytest.approx((right * INCH, up * INCH), rel=1e-15, abs=0.0)


def test_json_is_in_inches_right_and_up_positive() -> None:
    told = Tear("bare", 72 * INCH, -INCH / 16, INCH / 8).to_dict()
    assert (told["right_in"], told["up_in"]) == pytest.approx((-1 / 16, 1 / 8))


def test_tail_left_is_left_to_the_last_bit() -> None:
    assert parse_tear("tail-left 3/32 in") == parse_tear("left 3/32 in")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("left 0.1", '"left 0.1" has no unit; write "0.1 in"'),
        ("left 1", '"left 1" has no unit; write "1 in", "1/32 in" or "1 mm"'),
        ("left 4", '"left 4" has no unit; write "1/8 in" or "4 mm"'),
        ("left 1/23", '"left 1/23" has no unit; write "1/23 in"'),
        ("left -1/16 in", '"left -1/16 in" has a side and a minus sign; name the side only'),
        ("−1/16 in right", "has a side and a minus sign"),
        ("-1/16 in", '"-1/16 in" names no side: right, left, up or down'),
        ("nose-left 1/16 in", '"nose-left 1/16 in" names no side'),
        ("1/16 in nose-left", "is not one plain number with one unit"),
        ("left 1/16 in, right 1/8 in", "says right or left twice"),
        ("high 1/16 in, up 1/8 in", "says up or down twice"),
        ("left", '"left" says no size'),
        ("left 1/16 in,", '"" is empty'),
        ("", '"" is empty'),
        ("left 3 gr", '"3 gr" is a mass, not a length'),
        ("left 1/0 in", "divides by zero"),
        ("left 3/2/1 in", "is not one plain number with one unit"),
        ("leftish 1/16 in", "names no side"),
        ("weak 1/16 in", "names no side"),
    ],
)
def test_tears_that_are_refused(text: str, words: str) -> None:
    message = said(parse_tear, text, "--tear")
    assert message.startswith("--tear: ")
    assert words in message


@pytest.mark.parametrize(
    ("right", "up", "hole"),
    [
        (0.0, 0.0, "clean"),
        (-1 / 16, 0.0, "tail left 1/16 in, level"),
        (0.0, -1 / 8, "tail low 1/8 in, not sideways"),
        (1.375, 1 / 32, "tail right 1 3/8 in, high 1/32 in"),
    ],
)
def test_both_axes_are_said(right: float, up: float, hole: str) -> None:
    tear = Tear("bare", 6 * 0.3048, right * INCH, up * INCH)
    assert tear.words("us") == f"bare tear at 6 ft: {hole}"


def test_a_tear_measures_a_paper_with_the_error_of_reading_it() -> None:
    told = Tear("bare", 1.8, 0.001, -0.002).measurement(0.1)
    assert (told.arrow, told.plane, told.distance) == ("bare", "paper", 1.8)
    assert told.value == (0.001, -0.002)
    assert told.variance == pytest.approx(3.0 * (INCH / 32) ** 2)
