"""``vireton rules``."""

import json

import pytest

RULE = """
[[rules]]
name = "Large game"
place = "Maple County (invented)"
date = "1 September 2026"
least_energy = "40 ft·lbf"
most_speed = "281 fps"
most_draw_weight = "50 lbf"
"""


@pytest.fixture
def ruled(setup_file):
    setup_file.write_text(setup_file.read_text(encoding="utf-8") + RULE, encoding="utf-8")
    return setup_file


def test_numbers_place_and_date_and_who_to_ask(vireton, ruled):
    done = vireton("rules", ruled)
    assert done.code == 0, done.err
    for words in (
        "Large game; Maple County (invented); as of 1 September 2026",
        "at least 40.0 ft·lbf",
        "meets it",
        "does not meet it",
        "too close: measure",
        "authority",
    ):
        assert words in done.out
    for claim in ("legal", "allowed", "safe"):
        assert claim not in done.out.lower()


def test_metric(vireton, ruled):
    assert "at least 54.2 J" in vireton("rules", ruled, "--units", "metric").out


def test_json(vireton, ruled):
    found = json.loads(vireton("rules", ruled, "--json").out)
    assert found["schema"] == 1
    energy, draw, speed = found["comparisons"]
    assert energy["limit"] == "least_energy"
    assert energy["limit_ft_lbf"] == pytest.approx(40.0)
    assert energy["value_ft_lbf"] == pytest.approx(72.2, abs=0.05)
    assert [one["outcome"] for one in (energy, draw, speed)] == [
        "meets",
        "fails",
        "too close to tell",
    ]
    low, high = speed["value_fps_range"]
    assert (low, high) == pytest.approx((278.0, 282.0))


def test_without_rules_it_says_how_to_write_one(vireton, setup_file):
    done = vireton("rules", setup_file)
    assert done.code == 2
    assert "[[rules]]" in done.err
    assert done.out == ""
