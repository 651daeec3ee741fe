"""Walk-back points: words and likelihood."""

import pytest

from vireton.tuning.observations import WalkbackPoint, parse_walkback
from vireton.units.problems import InputProblem

INCH = 0.0254


def said(call: object, *arguments: object) -> str:
    assert callable(call)
    with pytest.raises(InputProblem) as caught:
        call(*arguments)
    return str(caught.value)


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


def test_a_point_says_its_side() -> None:
    point = WalkbackPoint(40 * 0.9144, -0.4 * INCH)
    assert point.words("us") == "walk-back at 40 yd: 0.40 in left of the plumb line"


def test_a_point_is_for_its_own_question_and_knows_its_error() -> None:
    point = WalkbackPoint(40.0, 0.01)
    assert point.measurement(0.001) is None
    assert point.variance(0.001) == pytest.approx(0.04**2 + (0.1 * INCH) ** 2)
