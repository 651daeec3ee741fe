"""Limits that the user entered, as an answer."""

from dataclasses import replace

import pytest

import vireton
from vireton.setup import parse_setup, template_text
from vireton.units.display import METRIC, US

RULE = """
[[rules]]
name = "Large game"
place = "Maple County (invented)"
date = "1 September 2026"
least_energy = "40 ft·lbf"
most_speed = "281 fps"
most_draw_weight = "50 lbf"
"""


@pytest.fixture(scope="module")
def checks():
    return vireton.check_rules(parse_setup(template_text() + RULE))


def test_every_limit_has_its_own_unit_and_measuring_error(checks):
    found = checks.to_dict()
    energy, draw, speed = found["comparisons"]
    assert (energy["rule"], energy["limit"]) == ("Large game", "least_energy")
    assert energy["limit_ft_lbf"] == pytest.approx(40.0)
    assert energy["value_ft_lbf"] == pytest.approx(72.2, abs=0.05)
    assert draw["value_lbf_range"] == pytest.approx([59.0, 61.0])
    assert speed["value_fps_range"] == pytest.approx([278.0, 282.0])
    outcomes = ["meets", "fails", "too close to tell"]
    assert [one["outcome"] for one in checks.rows()] == outcomes
    assert repr(checks).endswith("most_speed too close to tell>")


def test_place_and_date_are_shown_and_nothing_is_called_lawful(checks):
    (table,), words = checks.tables(US), " ".join(checks.words(US))
    assert table.title == "Large game; Maple County (invented); as of 1 September 2026"
    assert [row[1] for row in table.cells] == ["at least 40.0 ft·lbf", "at most 50.0 lb",
                                               "at most 281 fps"]  # fmt: skip
    assert [row[3] for row in table.cells] == ["meets it", "FAILS", "too close"]
    assert "1 met, 1 NOT met, 1 too close to tell" in words
    assert "too close: it may be either side of the limit; measure it better" in words
    assert "authority" in words
    for claim in ("legal", "allowed", "safe"):
        assert claim not in words.lower()
    (metric,) = checks.tables(METRIC)
    assert metric.cells[0][1:3] == ("at least 54.2 J", "97.9 (95.5 to 100.3)")


def test_without_rules_it_says_how_to_write_one():
    with pytest.raises(vireton.InputProblem, match=r"no \[\[rules\]\] to compare with\. Write"):
        vireton.check_rules(replace(vireton.load(), rules=()))


def test_it_has_no_picture(checks):
    with pytest.raises(vireton.InputProblem, match="a RuleChecks has no picture"):
        vireton.plot(checks)
