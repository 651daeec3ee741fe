"""Walk-back points: words, table and likelihood."""

import pytest
from pydantic import ValidationError

from vireton.tuning.observations import WalkbackPoint, parse_walkback
from vireton.tuning.observations.walkback import WalkbackTable
from vireton.units.problems import InputProblem

INCH, YARD = 0.0254, 0.9144


def said(call: object, *arguments: object) -> str:
    assert callable(call)
    with pytest.raises(InputProblem) as caught:
        call(*arguments)
    return str(caught.value)


def test_walkback_points() -> None:
    expected = (
        WalkbackPoint(20 * YARD, 0.1 * INCH),
        WalkbackPoint(40 * YARD, -0.4 * INCH),
    )
    assert parse_walkback("20yd 0.1in, 40yd -0.4in") == expected
    assert parse_walkback("20 yd: 0.1, 40 yd: −0.4") == expected
    assert parse_walkback("20yd right 0.1in, 40yd 0.4 in left") == expected
    assert parse_walkback("20m 1", "", "cm") == (WalkbackPoint(20.0, 0.01),)


def test_a_point_of_several_arrows_says_how_many_and_how_they_scatter() -> None:
    typed = "20yd 0.1in, 40yd -0.4in x3, 60yd left 1 in x4 spread 1.2in"
    assert parse_walkback(typed) == (
        WalkbackPoint(20 * YARD, 0.1 * INCH),
        WalkbackPoint(40 * YARD, -0.4 * INCH, 3),
        WalkbackPoint(60 * YARD, -1.0 * INCH, 4, 1.2 * INCH),
    )
    assert parse_walkback("20m 1cm left × 2 spread 3", "", "cm") == (
        WalkbackPoint(20.0, -0.01, 2, 0.03),
    )
    assert parse_walkback("20yd 1/2 in X3")[0] == WalkbackPoint(20 * YARD, 0.5 * INCH, 3)


def test_a_point_says_what_was_ruled_out() -> None:
    level, calm, both = parse_walkback(
        "20yd 0.1in level, 30yd 0.1in x2 Calm, 40yd 0.1in x2 spread 1in level calm"
    )
    assert (level.level, level.calm) == (True, False)
    assert (calm.level, calm.calm, calm.count) == (False, True, 2)
    assert (both.level, both.calm, both.spread) == (True, True, INCH)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("20 0.1in", "is not a distance and a size"),
        ("20yd", "is not a distance and a size"),
        ("", "is not a distance and a size"),
        ("20yd 0.1in,", "is not a distance and a size"),
        ("20yd 0.1in x3 spread 1in" + " spread 1in" * 9_999, "is not a distance and a size"),
        ("20yd high 0.1in", "a walk-back point is right or left only"),
        ("20lbf 0.1in", "is a force, not a length"),
        ("20yd -0.1in right", "a side and a minus sign"),
        ("20yd 0.1in x0", "a point is of 1 to 200 arrows"),
        ("20yd 0.1in x201", "a point is of 1 to 200 arrows"),
        ("20yd 0.1in spread 1in", "one arrow has no spread; say how many it is of, like x3"),
        ("20yd 0.1in x1 spread 1in", "one arrow has no spread"),
        ("20yd 0.1in x3 spread 1lbf", "is a force, not a length"),
    ],
)
def test_walkback_points_that_are_refused(text: str, words: str) -> None:
    assert words in said(parse_walkback, text, "--walkback")


def test_a_point_says_its_side() -> None:
    point = WalkbackPoint(40 * YARD, -0.4 * INCH)
    assert point.words("us") == "walk-back at 40 yd: 0.40 in left of the plumb line"
    several = WalkbackPoint(40 * YARD, -0.4 * INCH, 3, 1.2 * INCH, level=True, calm=True)
    assert several.words("us") == (
        "walk-back at 40 yd: 3 arrows, middle 0.40 in left of the plumb line, one arrow's spread "
        "1.20 in, bow level, no wind"
    )


def test_the_table_holds_what_is_not_usual() -> None:
    one = WalkbackPoint(40 * YARD, -0.4 * INCH)
    assert one.to_table("us") == {"at": "40 yd", "right": "-0.4 in"}
    several = WalkbackPoint(40 * YARD, -0.4 * INCH, 3, 1.25 * INCH, level=True)
    table = several.to_table("us")
    assert table == {
        "at": "40 yd",
        "right": "-0.4 in",
        "count": 3,
        "spread": "1.25 in",
        "level": "yes",
    }
    assert WalkbackPoint.from_table(WalkbackTable(**table)) == several
    assert WalkbackPoint.from_table(WalkbackTable(**table | {"level": "no"})).level is False
    told = several.to_dict()
    assert (told["count"], told["spread_in"], told["level"]) == (3, pytest.approx(1.25), True)
    assert one.to_dict()["spread_in"] is None


def test_one_arrow_has_no_spread() -> None:
    with pytest.raises(ValidationError, match="one arrow has no spread"):
        WalkbackTable(at="40 yd", right="1 in", spread="1 in")


def test_a_point_is_for_its_own_question_and_knows_its_error() -> None:
    point = WalkbackPoint(40.0, 0.01)
    assert point.measurement(0.001) is None
    assert point.variance(0.001) == pytest.approx(0.04**2 + (0.1 * INCH) ** 2)
    assert WalkbackPoint(40.0, 0.01, 4).variance(0.001) == pytest.approx(
        0.02**2 + (0.1 * INCH) ** 2
    )
