"""What is said of numbers that moved since 0.1.0 is what moved."""

import json
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "validation"))

import moved  # noqa: E402


def test_numbers_are_found_by_distance_and_name_with_their_bands() -> None:
    answer = {
        "seed": 1,
        "rows": [{"distance_yd": 20.0, "bare_up_in": 1.5, "bare_up_in_range": [1.0, 2.0]}],
        "centre_right_in": 0.25,
    }
    assert dict(moved.values(answer)) == {
        "rows 20 yd.bare_up_in": moved.Value(1.5, (1.0, 2.0)),
        "center_right_in": moved.Value(0.25, None),
    }


def test_what_moved_is_listed_and_what_stayed_is_counted() -> None:
    then = {
        "a": moved.Value(1.0, None),
        "b": moved.Value(2.0, (1.0, 3.0)),
        "c": moved.Value(9, None),
    }
    now = {"a": moved.Value(1.004, None), "b": moved.Value(2.5, (2.0, 3.0))}
    assert moved.moved(then, now) == ([["b", "2 (1 to 3)", "2.5 (2 to 3)", "+0.5"]], 1)


def test_the_page_asks_what_the_tour_asks() -> None:
    kept = json.loads(moved.KEPT.read_text(encoding="utf-8"))
    tour = (ROOT / "examples" / "tour.md").read_text(encoding="utf-8")
    page = moved.PAGE.read_text(encoding="utf-8")
    for command in kept:
        assert f"$ vireton {command}\n" in tour, command
        assert f"## `vireton {command}`" in page, command
