"""Kinds of values that only logs have, and what a round may hold."""

from datetime import date, datetime

import pytest
from pydantic import ValidationError

from vireton.job.format import Day, Note, RoundTable

BARE = {"arrow": "bare", "at": "20 yd"}


def refusal(kind: Day | Note, value: object) -> str:
    with pytest.raises(ValueError) as caught:
        kind.read(value)
    return str(caught.value)


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
