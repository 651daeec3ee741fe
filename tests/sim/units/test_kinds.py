"""Numbers, choices, names, counts, versions, lists and bands of a setup file."""

import re

import pytest

from vireton.units.kind import Kind
from vireton.units.kinds import Band, Choice, Count, ListOf, Number, OrNone, Text, Version
from vireton.units.quantity import Quantity

SOFTNESS = Number(0.0, 10.0, 1.0)
CLOCK = Number(0.0, 12.0, 3.0, above=True)
SHAPE = Choice(("streamlined", "bullet", "field", "blunt"))
NAME = Text("Mill bow", longest=20)
VANES = Count(3, 6, 3)
TRAVEL = ListOf(Quantity("length", "-1 in", "1 in", "0.01 in"), 2, 50)
MASS = Band(Quantity("mass", "1 g", "100 g", "24 g"), like='["18 g", "30 g"]')
SOFT_BAND = Band(Number(0.0, 10.0, 1.0), like="[0.3, 2.0]")


@pytest.mark.parametrize(
    ("kind", "value", "expected"),
    [
        (SOFTNESS, 0, 0.0),
        (SOFTNESS, 10, 10.0),
        (SOFTNESS, 1.5, 1.5),
        (CLOCK, 12, 12.0),
        (CLOCK, 0.5, 0.5),
        (SHAPE, "field", "field"),
        (NAME, "  Mill bow ", "Mill bow"),
        (NAME, "Übungsbogen ½", "Übungsbogen ½"),
        (VANES, 4, 4),
        (Version(1), 1, 1),
        (TRAVEL, ["0 in", "1/2 in"], (0.0, 0.0127)),
        (MASS, ["18 g", "30 g"], (0.018, 0.03)),
        (MASS, ["18 g", "18 g"], (0.018, 0.018)),
        (SOFT_BAND, [0, 2], (0.0, 2.0)),
    ],
)
def test_reads(kind: Kind, value: object, expected: object) -> None:
    read = kind.read(value)
    assert read == expected
    assert type(read) is type(expected)


@pytest.mark.parametrize(
    ("kind", "value", "message"),
    [
        (SOFTNESS, -0.1, "-0.1 is outside the range of 0 to 10"),
        (SOFTNESS, float("nan"), "nan is outside the range of 0 to 10"),
        (SOFTNESS, float("inf"), "inf is outside the range of 0 to 10"),
        (SOFTNESS, 10**400, "a huge integer is outside the range of 0 to 10"),
        (SOFTNESS, "1", '"1" is no plain number; write it like 1, without quotes'),
        (SOFTNESS, True, "true is no plain number; write it like 1, without quotes"),
        (CLOCK, 0, "0 is outside the range of above 0 to 12"),
        (SHAPE, "feild", '"feild" is not "streamlined" or "bullet" or "field" or "blunt"; did you'),
        (SHAPE, "Field", 'did you mean "field"?'),
        (SHAPE, 3, '3 is not "streamlined" or "bullet" or "field" or "blunt"'),
        (NAME, "", "is no name: one line of 1 to 20 characters"),
        (NAME, "x" * 21, "is no name: one line of 1 to 20 characters"),
        (NAME, "two\nlines", "is no name: one line of 1 to 20 characters"),
        (NAME, 5, '5 is no text; write it like "Mill bow"'),
        (VANES, 7, "7 is outside 3 to 6"),
        (VANES, 3.0, "3 is no whole number; write it like 3"),
        (VANES, True, "true is no whole number; write it like 3"),
        (Version(1), 2, "2 is no layout that this version of Vireton reads; it reads 1"),
        (Version(1), True, "true is no layout"),
        (Version(1), 1.0, "1 is no layout"),
        (TRAVEL, ["0 in"], '["0 in"] is no list of 2 to 50; write ["0.01 in", "0.01 in"]'),
        (TRAVEL, ["0 in"] * 51, "a list of 51 is no list of 2 to 50"),
        (TRAVEL, "0 in", '"0 in" is no list of 2 to 50'),
        (TRAVEL, ["0 in", "2 in"], 'entry 2: "2 in" is outside -1 in to 1 in'),
        (MASS, ["18 g"], '["18 g"] is no list of 2; write ["18 g", "30 g"]'),
        (MASS, ["30 g", "18 g"], "its low end is above its high end"),
        (MASS, [18, 30], 'entry 1: 18 has no unit; write it like "18 g"'),
    ],
)
def test_refuses_in_words(kind: Kind, value: object, message: str) -> None:
    with pytest.raises(ValueError) as caught:
        kind.read(value)
    assert message in str(caught.value)


def test_nothing_is_suggested_where_nothing_is_near() -> None:
    with pytest.raises(ValueError, match=r'"blunt"$'):
        SHAPE.read("zzz")


def test_descriptions() -> None:
    assert SOFTNESS.describe()["minimum"] == 0.0
    assert CLOCK.describe()["exclusiveMinimum"] == 0.0
    assert CLOCK.describe()["maximum"] == 12.0
    assert SHAPE.describe()["enum"] == ["streamlined", "bullet", "field", "blunt"]
    assert NAME.describe()["maxLength"] == 20
    assert (VANES.describe()["minimum"], VANES.describe()["maximum"]) == (3, 6)
    assert Version(1).describe()["const"] == 1
    assert (TRAVEL.describe()["minItems"], TRAVEL.describe()["maxItems"]) == (2, 50)
    assert MASS.describe()["examples"] == [["18 g", "30 g"]]
    assert SOFT_BAND.describe()["items"]["type"] == "number"


def test_a_value_or_none() -> None:
    share = OrNone(Quantity("fraction", "1 %", "99 %", "75 %"))
    assert share.read("60 %") == pytest.approx(0.6)
    assert share.read(" None ") is None
    assert share.example == '"75 %"'
    with pytest.raises(ValueError, match='"0 %" is outside 1 % to 99 %; or write "none"'):
        share.read("0 %")
    pattern = share.describe()["pattern"]
    assert all(re.search(pattern, one) for one in ("75 %", "none", "None"))
    assert not re.search(pattern, "nonesuch")


def test_a_name_has_eighty_characters_at_most():
    assert Text("Mill bow").read("x" * 80) == "x" * 80
    with pytest.raises(ValueError, match="1 to 80 characters"):
        Text("Mill bow").read("x" * 81)
