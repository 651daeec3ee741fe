"""Kinds of values that only logs have, and the tables' own rules."""

from datetime import date, datetime

import pytest
from pydantic import ValidationError

from vireton.job.format import Day, GroupTable, Note, RoundTable, Shots
from vireton.units.quantity import Quantity

INCH = 0.0254
SHOTS = Shots(Quantity("length", "-10 ft", "10 ft", "0.5 in"))
BARE = {"arrow": "bare", "at": "20 yd"}


def refusal(kind: Day | Note | Shots, value: object) -> str:
    with pytest.raises(ValueError) as caught:
        kind.read(value)
    return str(caught.value)


def test_shots_are_strings_or_pairs() -> None:
    expected = ((0.2 * INCH, 0.1 * INCH), (-0.3 * INCH, 0.4 * INCH))
    assert SHOTS.read(["0.2 in, 0.1 in", "-0.3, 0.4 in"]) == expected
    assert SHOTS.read([["0.2 in", "0.1 in"], ["-0.3 in", "0.4 in"]]) == expected


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ([], "a list of 0 is no list of 1 to 200 shots"),
        ("0.2 in, 0.1 in", "is no list of 1 to 200 shots"),
        (["0 in, 0 in"] * 201, "a list of 201 is no list of 1 to 200 shots"),
        (["0.2 in, 0.1 in", "0.2, 0.1"], 'shot 2: "0.2" has no unit'),
        (["0.2 in"], 'shot 1: "0.2 in" is not right and up'),
        ([["0.2 in", 0.1]], 'shot 1: 0.1 has no unit; write it like "0.1 in"'),
        ([["0.2 in"]], "shot 1: "),
        ([0.2], 'shot 1: 0.2 is not right and up; write "0.2 in, 0.1 in"'),
        (["11 ft, 0 in"], 'shot 1: "11 ft, 0 in" is outside -10 ft to 10 ft'),
        ([["0 in", "-11 ft"]], 'shot 1: "-11 ft" is outside -10 ft to 10 ft'),
    ],
)
def test_shots_that_are_refused(value: object, words: str) -> None:
    assert words in refusal(SHOTS, value)


def test_dates_are_tomls_own_or_text() -> None:
    assert Day().read(date(2026, 4, 11)) == "2026-04-11"
    assert Day().read(datetime(2026, 4, 11, 9, 30)) == "2026-04-11T09:30:00"
    assert Day().read("Easter Monday") == "Easter Monday"
    assert "is no text" in refusal(Day(), 2026)
    assert "is no name" in refusal(Day(), "a\nb")


def test_notes_are_text_of_a_few_lines() -> None:
    assert Note().read(" two\n\tlines ") == " two\n\tlines "
    assert "is no text" in refusal(Note(), 3)
    assert "2001 characters; keep it to 2000" in refusal(Note(), "x" * 2001)
    for bad in ("\x1b[31m", "\ud800", "\r"):
        assert "cannot be shown" in refusal(Note(), bad)


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({}, "has no shots; write shots = "),
        ({"center_up": "0 in"}, "center_right and count are missing"),
        ({"center_right": "0 in", "center_up": "0 in"}, "count is missing"),
        ({"spread": "1 in"}, "has no shots"),
        ({"shots": ["0 in, 0 in"], "count": 1}, "every shot, or its middle; delete count"),
        (
            {"shots": ["0 in, 0 in"], "center_up": "0 in", "spread": "0 in"},
            "delete center_up and spread",
        ),
    ],
)
def test_a_group_is_its_shots_or_its_middle(keys: dict[str, object], words: str) -> None:
    with pytest.raises(ValidationError) as caught:
        GroupTable.model_validate(BARE | keys)
    assert words in str(caught.value)


@pytest.mark.parametrize(
    "table",
    [
        {"rest_right": "1 1/32 in"},
        {"rest_up": "-1 1/32 in"},
        {"number": 0},
        {"undoes": 1.0},
        {"tear": [{"arrow": "bare", "at": "2 ft", "right": "0 in", "up": "0 in"}]},
        {"tear": [{"arrow": "bare", "at": "6 ft", "right": "13 in", "up": "0 in"}]},
        {"group": [BARE | {"at": "301 yd", "shots": ["0 in, 0 in"]}]},
        {"group": [BARE | {"center_right": "0 in", "center_up": "0 in", "count": 0}]},
        {"group": [BARE | {"arrow": "both", "shots": ["0 in, 0 in"]}]},
        {"walkback": [{"at": "20 yd", "right": "11 ft"}]},
        {"walkback": {"at": "20 yd", "right": "1 ft"}},
    ],
)
def test_what_no_bench_sees_is_refused(table: dict[str, object]) -> None:
    with pytest.raises(ValidationError):
        RoundTable.model_validate(table)
