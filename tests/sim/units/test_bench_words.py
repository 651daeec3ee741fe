"""Pairs and sides as people say them."""

import pytest

from vireton.units.bench_words import names_side, parse_pair, parse_sides
from vireton.units.problems import InputProblem

INCH = 0.0254


def said(call: object, *arguments: object) -> str:
    assert callable(call)
    with pytest.raises(InputProblem) as caught:
        call(*arguments)
    return str(caught.value)


def test_pairs_share_a_unit() -> None:
    assert parse_pair("0.2 in, -0.1 in") == (0.2 * INCH, -0.1 * INCH)
    assert parse_pair("0.2, -0.1 in") == parse_pair("0.2 in, -0.1") == parse_pair("0.2in,-0.1in")
    assert parse_pair("1 cm, 1 in") == (0.01, INCH)
    assert parse_pair("1 1/2 in, −½ in") == (1.5 * INCH, -0.5 * INCH)
    for text in ("1 in", "1 in, 2 in, 3 in", ", 1 in", "1 in,"):
        assert "is not right and up" in said(parse_pair, text)


def test_sides_by_axis_and_whether_any_is_named() -> None:
    assert parse_sides("left 1 in", "", "") == (-INCH, None)
    assert parse_sides("low 1 in and right 2 in", "", "") == (2 * INCH, -INCH)
    assert names_side("0.4 in LEFT")
    assert not names_side("leftish 0.4 in")


def test_two_sides_may_follow_each_other_and_a_fraction_is_of_an_inch():
    for said in ("left 1/16 high 1/8", "left 1/16, high ⅛", "tail left 1/16 tail high 1/8 in"):
        assert parse_sides(said, "", "", tail=True) == pytest.approx((-INCH / 16, INCH / 8))
    assert parse_sides("right 2.4 mm and up 1 1/8", "", "") == pytest.approx((0.0024, 1.125 * INCH))
    with pytest.raises(InputProblem, match="has no unit"):
        parse_sides("left 0.2", "", "")
    with pytest.raises(InputProblem, match="says right or left twice"):
        parse_sides("left 1/8 left 1/4", "", "")
