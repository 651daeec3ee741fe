"""Groups: words, the table's own rules, JSON and likelihood."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from vireton.tuning.observations import (
    group_of_center,
    group_of_shots,
    parse_center,
    parse_shots,
)
from vireton.tuning.observations.group import GroupTable, Shots
from vireton.units.problems import InputProblem

INCH = 0.0254
PLACES = st.tuples(st.floats(-1.0, 1.0), st.floats(-1.0, 1.0))
SHOTS = Shots()
BARE = {"arrow": "bare", "at": "20 yd"}


def said(call: object, *arguments: object) -> str:
    assert callable(call)
    with pytest.raises(InputProblem) as caught:
        call(*arguments)
    return str(caught.value)


def refusal(value):
    with pytest.raises(ValueError) as caught:
        SHOTS.read(value)
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
def test_shots_in_a_file_that_are_refused(value: object, words: str) -> None:
    assert words in refusal(value)


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


def test_the_center_is_the_mean_of_the_shots():
    group = group_of_shots("bare", 18.288, ((0.01, 0.02), (0.03, -0.04), (-0.01, 0.05)))
    assert group.center == pytest.approx((0.01, 0.01), abs=1e-15)
    assert group.count == 3
    assert group.spread is None


def test_one_shot_is_its_own_center():
    group = group_of_shots("fletched", 18.288, ((0.1, -0.2),))
    assert (group.center, group.count) == ((0.1, -0.2), 1)


def test_a_group_of_a_center_keeps_what_was_noted_and_has_no_shots():
    group = group_of_center("bare", 27.432, (0.02, -0.03), 3, 0.04)
    assert (group.center, group.count, group.spread) == ((0.02, -0.03), 3, 0.04)
    assert group.shots == ()


def test_a_group_without_a_shot_is_refused():
    with pytest.raises(ValueError, match="one shot at least"):
        group_of_shots("bare", 18.288, ())


@pytest.mark.parametrize("count", [0, -1])
def test_a_count_below_one_is_refused(count):
    with pytest.raises(ValueError, match=f"not {count}"):
        group_of_center("bare", 18.288, (0.0, 0.0), count)


@given(st.lists(PLACES, min_size=1, max_size=20))
def test_the_center_mirrors_exactly_and_lies_among_the_shots(shots):
    group = group_of_shots("bare", 18.288, tuple(shots))
    mirrored = group_of_shots("bare", 18.288, tuple((-right, up) for right, up in shots))
    assert mirrored.center == (-group.center[0], group.center[1])
    low, high = np.min(shots, axis=0), np.max(shots, axis=0)
    assert np.all(low - 1e-15 <= group.center)
    assert np.all(group.center <= high + 1e-15)


def test_the_middle_of_a_group() -> None:
    assert parse_center("right 1 in, low 2 in") == (INCH, -2 * INCH)
    assert parse_center("1 in, -2 in") == (INCH, -2 * INCH)
    assert parse_center("1, -2", "", "in") == (INCH, -2 * INCH)
    assert 'does not say up or down; add "up 0 in"' in said(parse_center, "left 3 in")
    assert 'does not say right or left; add "right 0 in"' in said(parse_center, "low 3 in")
    assert "is not right and up" in said(parse_center, "3 in")
    assert "has no unit" in said(parse_center, "1, 2")


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


def test_groups_say_their_middle():
    assert group_of_shots("bare", 18.288, ((0.0, -INCH),)).words("us") == (
        "bare group at 20 yd: 1 shot, centered, 1.00 in low"
    )
    spread = group_of_center("fletched", 18.0, (0.01, 0.02), 5, 0.03)
    assert spread.words("metric") == (
        "fletched group at 18 m: 5 shots, 1.00 cm right, 2.00 cm high, one arrow's spread 3.00 cm"
    )


def test_a_center_is_known_by_its_shots_and_the_ruler():
    far = 18.288
    told = group_of_center("bare", far, (0.01, -0.02), 4).measurement(0.002)
    assert (told.plane, told.distance, told.value) == ("target", far, (0.01, -0.02))
    # the model may be off by 0.15 in at 20 yd
    parts = ((0.002 * far) ** 2 / 4, (0.1 * INCH) ** 2, (0.15 * INCH) ** 2)
    assert told.variance == pytest.approx(sum(parts))
