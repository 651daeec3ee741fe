"""How messages repeat a value, and what every kind promises pydantic."""

import datetime
from typing import Annotated, Any

import pytest
from pydantic import TypeAdapter, ValidationError

from vireton.units.kind import Kind, shown


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("28.5", '"28.5"'),
        ("x" * 500, '"' + "x" * 37 + '..."'),
        ("a\x1b[31mb\n", '"a?[31mb?"'),
        (True, "true"),
        (False, "false"),
        (3, "3"),
        (-(10**400), "a huge integer"),
        (0.1, "0.1"),
        (2.0, "2"),
        (float("inf"), "inf"),
        ([], "a list of 0"),
        (["50 %", 2], '["50 %", 2]'),
        ([[1]], "a list of 1"),
        ([1] * 4, "a list of 4"),
        ({"a": 1}, "a table"),
        (datetime.time(1, 2), "a time"),
    ],
)
def test_shown(value: object, expected: str) -> None:
    assert shown(value) == expected


class Even(Kind):
    def read(self, value: object) -> Any:
        if not isinstance(value, int) or value % 2:
            raise ValueError("odd")
        return value // 2

    def describe(self) -> dict[str, Any]:
        return {"type": "integer", "multipleOf": 2}


def test_a_kind_reads_and_describes_for_pydantic() -> None:
    adapter = TypeAdapter(Annotated[int, Even()])
    assert adapter.validate_python(4) == 2
    with pytest.raises(ValidationError, match="odd"):
        adapter.validate_python(3)
    assert adapter.json_schema() == {"type": "integer", "multipleOf": 2}


@pytest.mark.parametrize("what", [lambda k: k.read(1), lambda k: k.describe(), lambda k: k.example])
def test_the_base_itself_is_of_no_use(what: Any) -> None:
    with pytest.raises(NotImplementedError):
        what(Kind())
