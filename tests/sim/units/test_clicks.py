"""Clicks of a rest become lengths before anything else reads them."""

import pytest

from vireton.units.clicks import says_clicks, without_clicks
from vireton.units.problems import InputProblem

CLICK = 0.0254 / 32.0


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("right 2 clicks", "right 1/16 in"),
        ("up two clicks, left 1 click", "up 1/16 in, left 1/32 in"),
        ("3clicks right", "3/32 in right"),
        ("down a click", "down 1/32 in"),
        ("-2:2:1 clicks", "-1/16 in:1/16 in:1/32 in"),
        ("1,2 clicks", "1/32 in,1/16 in"),
        ("right 1/32 in, up 2 clicks", "right 1/32 in, up 1/16 in"),
        ("1/16 in, 2 clicks", "1/16 in, 1/16 in"),
        ("right 1/16 in", "right 1/16 in"),
    ],
)
def test_they_are_lengths(text: str, meant: str) -> None:
    assert without_clicks(text, CLICK) == meant


@pytest.mark.parametrize("text", ["right 1.5 clicks", "up 1/2 click", "some clicks", "clicks"])
def test_only_whole_ones_are_counted(text: str) -> None:
    with pytest.raises(InputProblem, match=r"^--rest: .*whole ones"):
        without_clicks(text, CLICK, "--rest")


def test_without_a_size_they_say_nothing() -> None:
    with pytest.raises(InputProblem, match=r"how far one click moves the rest.*step under") as told:
        without_clicks("right 2 clicks", None, "--rest")
    assert str(told.value).startswith('--rest: "right 2 clicks"')


def test_numbers_and_none_say_no_clicks() -> None:
    assert not says_clicks(None)
    assert not says_clicks((0.1,))
    assert says_clicks("2 CLICKS")
