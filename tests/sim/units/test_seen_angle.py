"""Angles as archers say them."""

import math

import pytest

from vireton.units.seen_angle import parse_seen_angle
from vireton.units.text import UnitError


@pytest.mark.parametrize(
    "text, angle",
    [
        ("1 in at 20 yd", 1.0 / 720.0),
        ("1 1/2in AT 20yd", 1.5 / 720.0),
        ("5 cm at 50 m", 1e-3),
        ("2 mrad", 2e-3),
        ("60 moa", math.radians(1.0)),
    ],
)
def test_both_spellings(text, angle):
    assert parse_seen_angle(text) == pytest.approx(angle, rel=1e-14)


@pytest.mark.parametrize("bad", ["1 in", "1 at 20 yd", "1 in at 20", "1 in at 0 yd", "at", ""])
def test_what_is_neither_is_refused_with_a_right_spelling(bad):
    with pytest.raises(UnitError, match=r"--aim.*\d "):
        parse_seen_angle(bad, where="--aim")
