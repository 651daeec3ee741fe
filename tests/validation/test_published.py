"""Every published value again: inside its limit, or a strict known gap with its reason."""

import tomllib
from functools import cache
from pathlib import Path

import pytest

from vireton.published.checks import CaseData, Result, load_case, run_case
from vireton.published.report import GROUPS

FOLDER = Path(__file__).parents[2] / "validation"
CASES = {
    path.parent.name: CaseData.model_validate(tomllib.loads(path.read_text(encoding="utf-8")))
    for path in sorted(FOLDER.glob("*/case.toml"))
}
CHECKS = [
    pytest.param(
        case,
        check.id,
        id=f"{case}-{check.id}",
        marks=[]
        if check.fails_because is None
        else [pytest.mark.xfail(strict=True, raises=AssertionError, reason=check.fails_because)],
    )
    for case, data in CASES.items()
    for check in data.check
]


@cache
def results(case: str) -> dict[str, Result]:
    """One run of a case, by check id."""
    return {result.check.id: result for result in run_case(load_case(FOLDER / case))}


@pytest.mark.parametrize(("case", "check"), CHECKS)
def test_published_value(case, check):
    result = results(case)[check]
    assert abs(result.difference) <= result.check.limit, (
        f"{result.check.quantity}: published {result.check.published} ± {result.check.limit} "
        f"{result.check.unit} ({result.source}, {result.check.place}), ours {result.ours}"
    )


def test_every_group_has_its_cases():
    # an empty folder would make the test above pass on nothing
    assert {data.group for data in CASES.values()} == set(GROUPS)


def test_a_case_says_where_its_values_stand_and_why_its_limits():
    for case in CASES.values():
        for check in case.check:
            assert check.place.strip(), check.id
            assert len(check.why_limit) > 10, check.id
            assert check.fails_because is None or len(check.fails_because) > 40, check.id


def test_a_folder_holds_data_and_script_and_nothing_else():
    for case in CASES:
        names = {path.name for path in (FOLDER / case).iterdir() if path.name != "__pycache__"}
        assert names == {"case.toml", "reproduce.py"}
