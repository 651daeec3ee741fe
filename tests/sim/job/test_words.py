"""What people say at the bench."""

import pytest

from vireton.job.words import (
    parse_arrow,
    parse_center,
    parse_pair,
    parse_rest,
    parse_shots,
    parse_tear,
    parse_walkback,
)
from vireton.tuning.observations import WalkbackPoint
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


def test_tail_left_is_left_to_the_last_bit() -> None:
    assert parse_tear("tail-left 3/32 in") == parse_tear("left 3/32 in")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("left 1/16", '"1/16" has no unit; write it like "1/16 in"'),
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


def test_rest_moves_leave_the_other_axis_open() -> None:
    assert parse_rest("right 1/32 in") == (1 / 32 * INCH, None)
    assert parse_rest("down 1/16 in") == (None, -1 / 16 * INCH)
    assert parse_rest("right 1/32 in, up 1/16 in") == (1 / 32 * INCH, 1 / 16 * INCH)
    assert parse_rest("+1/32 in right") == (1 / 32 * INCH, None)
    assert parse_rest("left 0 in") == (0.0, None)


def test_a_rest_has_neither_in_nor_out_nor_a_tail() -> None:
    assert "names no side: right, left, up or down as the archer sees it" in said(
        parse_rest, "out 1/32 in"
    )
    assert "names no side" in said(parse_rest, "in 1/32 in")
    assert "only a tear has a tail" in said(parse_rest, "tail-left 1/32 in")


def test_the_middle_of_a_group() -> None:
    assert parse_center("right 1 in, low 2 in") == (INCH, -2 * INCH)
    assert parse_center("1 in, -2 in") == (INCH, -2 * INCH)
    assert parse_center("1, -2", "", "in") == (INCH, -2 * INCH)
    assert 'does not say up or down; add "up 0 in"' in said(parse_center, "left 3 in")
    assert 'does not say right or left; add "right 0 in"' in said(parse_center, "low 3 in")
    assert "is not right and up" in said(parse_center, "3 in")
    assert "has no unit" in said(parse_center, "1, 2")


def test_pairs_share_a_unit() -> None:
    assert parse_pair("0.2 in, -0.1 in") == (0.2 * INCH, -0.1 * INCH)
    assert parse_pair("0.2, -0.1 in") == parse_pair("0.2 in, -0.1") == parse_pair("0.2in,-0.1in")
    assert parse_pair("1 cm, 1 in") == (0.01, INCH)
    assert parse_pair("1 1/2 in, −½ in") == (1.5 * INCH, -0.5 * INCH)
    for text in ("1 in", "1 in, 2 in, 3 in", ", 1 in", "1 in,"):
        assert "is not right and up" in said(parse_pair, text)


@pytest.mark.parametrize(
    ("text", "unit", "inches"),
    [
        ("0.2,0.1 -0.3,0.4", "in", [(0.2, 0.1), (-0.3, 0.4)]),
        ("0.2,0.1 -0.3,0.4 in", "cm", [(0.2, 0.1), (-0.3, 0.4)]),
        ("0.2, 0.1; -.3 , +.4in", "cm", [(0.2, 0.1), (-0.3, 0.4)]),
        ("0.2 in,0.1 in -0.3 in,0.4 in", "cm", [(0.2, 0.1), (-0.3, 0.4)]),
        ("  0,0  ", "in", [(0.0, 0.0)]),
        ("2.54,-5.08", "cm", [(1.0, -2.0)]),
        ("1/2,1-1/2 −2,-3/4", "in", [(0.5, 1.5), (-2.0, -0.75)]),
        ("1in,2.54cm 3in,4in", "in", [(1.0, 1.0), (3.0, 4.0)]),
        ("1,1\n2,2", "in", [(1.0, 1.0), (2.0, 2.0)]),
    ],
)
def test_shots(text: str, unit: str, inches: list[tuple[float, float]]) -> None:
    shots = parse_shots(text, "", unit)
    assert len(shots) == len(inches)
    for shot, (right, up) in zip(shots, inches, strict=True):
        assert shot == pytest.approx((right * INCH, up * INCH), rel=1e-14)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "0 shots; a group has 1 to 200"),
        ("1,1 " * 201, "201 shots; a group has 1 to 200"),
        ("0.2,0.1 0.3", 'shot 2, "0.3", is not right,up'),
        ("1 1/2,3 4,5", 'shot 1, "1", is not right,up'),
        ("1,2,3", "is not right,up"),
        ("1,x", "does not start with a plain number"),
        ("1in,2 3cm,4", "mixes cm and in; give every number its unit"),
        ("1,2 gr", "is a mass, not a length"),
        ("1,nan", "plain number"),
    ],
)
def test_shots_that_are_refused(text: str, words: str) -> None:
    assert words in said(parse_shots, text, "--group")


def test_walkback_points() -> None:
    expected = (
        WalkbackPoint(20 * 0.9144, 0.1 * INCH),
        WalkbackPoint(40 * 0.9144, -0.4 * INCH),
    )
    assert parse_walkback("20yd 0.1in, 40yd -0.4in") == expected
    assert parse_walkback("20 yd: 0.1, 40 yd: −0.4") == expected
    assert parse_walkback("20yd right 0.1in, 40yd 0.4 in left") == expected
    assert parse_walkback("20m 1", "", "cm") == (WalkbackPoint(20.0, 0.01),)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("20 0.1in", "is not a distance and a size"),
        ("20yd", "is not a distance and a size"),
        ("", "is not a distance and a size"),
        ("20yd 0.1in,", "is not a distance and a size"),
        ("20yd high 0.1in", "a walk-back point is right or left only"),
        ("20lbf 0.1in", "is a force, not a length"),
        ("20yd -0.1in right", "a side and a minus sign"),
    ],
)
def test_walkback_points_that_are_refused(text: str, words: str) -> None:
    assert words in said(parse_walkback, text, "--walkback")


def test_arrows() -> None:
    assert parse_arrow("bare") == parse_arrow(" Bare ") == "bare"
    assert parse_arrow("FLETCHED") == "fletched"
    assert 'write "bare" or "fletched"' in said(parse_arrow, "broadhead", "--tear")
