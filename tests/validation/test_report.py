"""The committed report is what a fresh run says."""

import re
from pathlib import Path

import pytest

from vireton.published.checks import figures_of, find_cases, load_case, run_case
from vireton.published.report import report

FOLDER = Path(__file__).parents[2] / "validation"
REFRESH = "refresh it: vireton validate validation --write"


@pytest.fixture(scope="module")
def fresh():
    """(report, figure names) of a run of now."""
    ran = [(case, run_case(case)) for case in map(load_case, find_cases(FOLDER))]
    names = {case.folder.name: [f"{name}.png" for name in figures_of(case)] for case, _ in ran}
    return report(ran, names), [name for some in names.values() for name in some]


def test_the_committed_report_is_the_fresh_one(fresh):
    committed = (FOLDER / "REPORT.md").read_text(encoding="utf-8")
    assert committed.splitlines() == fresh[0].splitlines(), REFRESH


def test_every_figure_lies_beside_the_report_and_no_other(fresh):
    lying = sorted(path.name for path in FOLDER.glob("*.png"))
    assert lying == sorted(fresh[1]), REFRESH


def test_the_report_begins_with_what_does_not_agree(fresh):
    headings = re.findall(r"^## (.+)$", fresh[0], flags=re.MULTILINE)
    assert headings[0] == "Where we do not agree"
    gaps = fresh[0].split("## Where we do not agree\n")[1].split("\n## ")[0]
    assert len(re.findall(r"^- \*\*", gaps, flags=re.MULTILINE)) == fresh[0].count(
        "| **fails as known** |"
    )
    assert "UNEXPECTED" not in fresh[0]
    assert "NEW" not in gaps


def test_nothing_of_this_machine_is_in_the_report(fresh):
    assert str(FOLDER.parent) not in fresh[0]
    assert "nan" not in fresh[0]
