"""Lengths as people write them, that read back exactly."""

import math

import pytest

from vireton.units.spelling import Style, spelled, tidy
from vireton.units.text import UnitSystem, parse

INCH = 0.0254


@pytest.mark.parametrize(
    ("typed", "style", "units", "said"),
    [
        ("1/32 in", "bench", "us", "1/32 in"),
        ("-1 3/8 in", "bench", "us", "-1 3/8 in"),
        (".25 in", "bench", "us", "1/4 in"),
        ("0.1 in", "bench", "us", "0.1 in"),
        ("2.4 mm", "bench", "us", "2.4 mm"),
        ("2.4 mm", "bench", "metric", "2.4 mm"),
        ("1/32 in", "bench", "metric", "1/32 in"),
        ("0 in", "bench", "us", "0 in"),
        ("-0 in", "bench", "metric", "0 mm"),
        ("0.25 in", "impact", "us", "0.25 in"),
        ("-3 in", "impact", "us", "-3 in"),
        ("100 in", "impact", "us", "100 in"),
        ("1/64 in", "impact", "us", "1/64 in"),
        ("1.5 cm", "impact", "us", "1.5 cm"),
        ("1.5 cm", "impact", "metric", "1.5 cm"),
        ("6 ft", "distance", "us", "6 ft"),
        ("9 ft", "distance", "us", "9 ft"),
        ("6.125 ft", "distance", "us", "73.5 in"),
        ("20 yd", "distance", "us", "20 yd"),
        ("60 ft", "distance", "us", "20 yd"),
        ("18 m", "distance", "us", "18 m"),
        ("2 m", "distance", "us", "2 m"),
        ("18 m", "distance", "metric", "18 m"),
        ("100 in", "distance", "us", "100 in"),
    ],
)
def test_usual_lengths(typed: str, style: Style, units: UnitSystem, said: str) -> None:
    value = parse(typed, "length")
    assert spelled(value, style, units) == said
    assert parse(said, "length") == value


def test_an_odd_length_keeps_all_its_digits() -> None:
    assert spelled(0.0012345678901234567, "bench") == "0.0012345678901234567 m"
    assert parse(spelled(5e-324, "impact"), "length") == 5e-324


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_length_is_a_bug(value: float) -> None:
    with pytest.raises(ValueError, match="is no length"):
        spelled(value, "bench")


def test_sums_of_bench_lengths_are_bench_lengths() -> None:
    assert sum([0.1 * INCH] * 3) != parse("0.3 in", "length")
    assert tidy(sum([0.1 * INCH] * 3)) == parse("0.3 in", "length")
    assert tidy(sum([0.1 * INCH] * 3) - parse("0.3 in", "length")) == 0.0
    assert tidy(sum([0.0007] * 3)) == parse("2.1 mm", "length")


def test_other_sums_stay_as_they_are() -> None:
    assert tidy(0.0012345678901) == 0.0012345678901
    assert tidy(2e-12) == 2e-12
