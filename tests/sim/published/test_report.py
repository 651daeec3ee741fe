"""The report as text, from made-up results."""

import math
import re
from decimal import Decimal
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vireton.published.checks import Case, CaseData, CheckData, Result
from vireton.published.report import difference_shown, report, shown, shown_pair, summary


def check(name, published=2.0, limit=0.1, because=None, unit="m", how="read"):
    return CheckData(
        id=name,
        quantity=f"quantity {name}",
        published=published,
        limit=limit,
        unit=unit,
        how=how,
        place="table 1",
        why_limit="made up",
        fails_because=because,
    )


def ran(title, group, *pairs, assumed=""):
    """A case and its results from (check, ours) pairs."""
    data = CaseData(
        title=title,
        source="Nobody 1900",
        group=group,
        assumed=assumed,
        check=[one for one, _ in pairs],
    )
    case = Case(Path("somewhere") / title.lower(), data, ModuleType("none"))
    return case, [Result(title, data.source, group, one, ours) for one, ours in pairs]


@pytest.mark.parametrize(
    ("value", "limit", "text"),
    [
        (3.14159, 0.1, "3.14"),
        (3.14159, 0.05, "3.14"),
        (5.092, 5e-4, "5.0920"),
        (-61_234.6, 250.0, "-61235"),
        (1.3280e-3, 5e-7, "0.0013280"),
        (1.1116589850558272, 5e-6, "1.111659"),
        (1.7894e-5, 5e-10, "1.78940e-5"),
        (9.99999e-5, 5e-9, "1.00000e-4"),  # rounded up to the next power of ten
        (2e-7, 1e-6, "0.0000002"),
        (1e20, 1e-3, "100000000000000000000.0000"),
        (math.nan, 0.1, "nan"),
        (-math.inf, 0.1, "-inf"),
    ],
)
def test_digits_follow_the_limit(value, limit, text):
    assert shown(value, limit) == text


@given(st.floats(-1e9, 1e9), st.floats(1e-12, 1e3))
def test_what_is_shown_is_off_by_less_than_a_fifth_of_the_limit(value, limit):
    # half of the last digit, of which a limit has three at least; whole numbers for large ones
    least = 0.5 if limit >= 3.0 else limit / 6.0
    assert abs(Decimal(shown(value, limit)) - Decimal(value)) <= Decimal(least * (1.0 + 1e-9))


def test_the_published_value_keeps_its_digits():
    _, (result,) = ran("One", "Air", (check("a", published=2.16, limit=0.43), 2.5286))
    assert shown_pair(result) == ("2.16", "2.53")
    _, (result,) = ran("One", "Air", (check("a", published=450_437.0, limit=0.5), 450_436.96))
    assert shown_pair(result) == ("450437.0", "450437.0")


@pytest.mark.parametrize(
    ("ours", "text"),
    [(2.05, "+0.5"), (1.95, "-0.5"), (2.2, "+2.0"), (2.0, "0.0"), (2.004, "0.0"), (1.996, "0.0")],
)
def test_the_difference_is_that_of_the_numbers_as_shown(ours, text):
    _, (result,) = ran("One", "Air", (check("a"), ours))
    assert difference_shown(result) == text


@pytest.mark.parametrize(("ours", "text"), [(math.nan, "nan"), (math.inf, "inf")])
def test_a_result_that_is_no_number_is_shown_as_it_is(ours, text):
    _, (result,) = ran("One", "Air", (check("a"), ours))
    assert difference_shown(result) == shown_pair(result)[1] == text


@pytest.mark.parametrize("published", [2.0, 0.0, 3e-9])
def test_the_last_bit_of_a_platform_does_not_show(published):
    limit = 0.1 if published != 3e-9 else 5e-12
    low, high = (
        report([ran("One", "Air", (check("a", published=published, limit=limit), ours))], {})
        for ours in (math.nextafter(published, -1.0), math.nextafter(published, 9.0))
    )
    assert low == high


@pytest.mark.parametrize("limit", [0.1, 5e-10])
def test_nothing_has_no_sign(limit):
    assert shown(-1e-17, limit) == shown(1e-17, limit)
    assert "-" not in shown(-1e-17, limit)


def test_a_pure_number_has_no_unit():
    text = report([ran("One", "Air", (check("a", unit="1"), 2.0), (check("b"), 2.0))], {})
    assert "| 2.00 ± 0.1 |" in text
    assert "| 2.00 ± 0.1 m |" in text


def test_a_power_of_ten_stands_after_number_and_limit():
    text = report(
        [
            ran("One", "Air", (check("a", unit="1e4"), 2.0)),
            ran("Two", "Air", (check("b", unit="1e-15 Pa·s", because="a reason"), 3.0)),
        ],
        {},
    )
    assert "| (2.00 ± 0.1) × 10⁴ | 2.00 |" in text
    assert "| (2.00 ± 0.1) × 10⁻¹⁵ Pa·s | 3.00 |" in text
    assert "published (2.00 ± 0.1) × 10⁻¹⁵ Pa·s, ours 3.00. a reason" in text


@pytest.mark.parametrize(
    ("limit", "text"), [(5e-5, "± 5e-5 "), (5e-10, "± 5e-10 "), (0.0575, "± 0.0575 ")]
)
def test_a_limit_is_shown_as_it_was_set(limit, text):
    assert text in report([ran("One", "Air", (check("a", limit=limit), 2.0))], {})


def test_summary_counts():
    _, results = ran(
        "One",
        "Air",
        (check("a"), 2.0),
        (check("b", because="known"), 3.0),
        (check("c"), 3.0),
        (check("d", because="known"), 2.0),
    )
    assert summary(results) == "4 checks: 1 agree, 1 fail as known, 2 UNEXPECTED"
    assert summary(results[:2]) == "2 checks: 1 agree, 1 fail as known"


def test_gaps_come_first_with_their_reason():
    text = report(
        [
            ran("One", "Air", (check("a"), 2.0)),
            ran("Two", "Fins", (check("b", because="a reason"), 3.0), (check("c"), 4.0)),
        ],
        {},
    )
    gaps, rest = text.split("## Air", 1)
    assert "quantity a" not in gaps
    assert re.search(
        r"- \*\*quantity b\*\* \(Nobody 1900\): published .* ours 3.00. a reason", gaps
    )
    assert re.search(r"quantity c.*NEW: no reason known yet", gaps)
    assert "| **fails as known** |" in rest
    assert "| **FAILS** |" in rest
    assert "| agrees |" in rest


def test_without_gaps_it_says_so():
    text = report([ran("One", "Air", (check("a"), 2.0))], {})
    assert "Nowhere among these checks." in text
    assert "1 checks: 1 agree, 0 fail as known" in text


def test_cases_of_a_group_stand_together():
    text = report(
        [
            ran("One", "Air", (check("a"), 2.0)),
            ran("Two", "Fins", (check("b"), 2.0)),
            ran("Three", "Air", (check("c"), 2.0), assumed="an invented shape"),
        ],
        {},
    )
    headings = re.findall(r"^##+ (.+)$", text, flags=re.MULTILINE)
    assert headings == ["Where we do not agree", "Air", "One", "Three", "Fins", "Two"]
    assert "an invented shape" in text


def test_groups_stand_in_our_order_whatever_that_of_the_folders():
    groups = ("A new one", "Air", "Arrow drag")
    text = report([ran(one, one, (check("a"), 2.0)) for one in groups], {})
    assert re.findall(r"^## (.+)$", text, flags=re.MULTILINE)[1:] == [
        "Arrow drag",
        "Air",
        "A new one",
    ]


def test_gaps_follow_the_order_of_the_groups():
    gap = (check("a", because="a reason"), 3.0)
    text = report([ran(one, one, gap) for one in ("Air", "Arrow drag")], {})
    assert re.findall(r"^### (.+)$", text, flags=re.MULTILINE) == ["Arrow drag", "Air"]
    two = [
        ran("One", "Air", (check("late", because="a reason"), 3.0)),
        ran("Two", "Arrow drag", (check("early", because="a reason"), 3.0)),
    ]
    assert re.findall(r"^- \*\*quantity (\w+)", report(two, {}), flags=re.MULTILINE) == [
        "early",
        "late",
    ]


def test_a_case_links_its_files_and_shows_its_figures():
    text = report(
        [ran("One", "Air", (check("a"), 2.0)), ran("Two", "Air", (check("b"), 2.0))],
        {"one": ["drag.png", "flat_lift.png"]},
    )
    one, two = text.split("### One")[1].split("### Two")
    assert "(one/case.toml)" in one
    assert "(one/reproduce.py)" in one
    assert "![drag](drag.png)" in one
    assert "![flat lift](flat_lift.png)" in one
    assert one.index("quantity a") < one.index("(drag.png)")
    assert ".png" not in two


def test_the_counts_stand_by_group():
    text = report(
        [
            ran("One", "Air", (check("a"), 2.0), (check("b", how="memory"), 2.0)),
            ran("Two", "Fins", (check("c", because="a reason"), 3.0)),
        ],
        {},
    )
    assert "| Air | 2 | 2 | 0 | 1 |" in text
    assert "| Fins | 1 | 0 | 1 | 0 |" in text
    assert "| all | 3 | 2 | 1 | 1 |" in text


def test_every_row_has_as_many_cells_as_the_head():
    text = report([ran("One", "Air", (check("a"), 2.0), (check("b", limit=3e-5), -7.0))], {})
    tables = re.findall(r"(?:^\|.*\n)+", text, flags=re.MULTILINE)
    assert [len(table.splitlines()) for table in tables] == [4, 4]
    for table in tables:
        assert len({line.count("|") for line in table.splitlines()}) == 1


def test_a_table_stands_apart_from_the_text_before_it():
    # without an empty line before it, Markdown makes a table part of the paragraph
    lines = report([ran("One", "Air", (check("a"), 2.0), assumed="much")], {}).splitlines()
    heads = [i for i, line in enumerate(lines) if line.startswith("|---")]
    assert heads
    assert all(lines[i - 2] == "" for i in heads)
