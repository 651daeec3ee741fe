"""What is said of a walk-back."""

import numpy as np
import pytest

from vireton.answers.walkback_words import advice_words, next_words, said, verdict_line
from vireton.tuning.observations import WalkbackPoint
from vireton.tuning.spread import UNKNOWN_SHOOTER
from vireton.tuning.walkback import OUTCOMES, WalkbackCauses
from vireton.tuning.walkback_next import NextShot, Shot
from vireton.units.display import METRIC, US

INCH, YARD = 0.0254, 0.9144
POINTS = tuple(WalkbackPoint(far * YARD, 0.0) for far in (20.0, 40.0, 60.0))


def found(verdict, shares=(0.0, 0.86, 0.04, 0.0, 0.06, 0.04), there=2.1, next_=None, half=0.9):
    line = np.array([there / 3, there / 1.5, there]) * INCH
    cant = (-0.028, 0.01) if there < 0.0 else (0.028, 0.01)
    return WalkbackCauses(
        POINTS,
        np.array([0.0, -0.4, -1.3]),
        UNKNOWN_SHOOTER,
        dict(zip(OUTCOMES, shares, strict=True)),
        {"windage": (0.001, 0.0002), "cant": cant, "wind": (1.0, 0.5), "yaw_rate": (0.4, 0.1)},
        {},
        verdict,
        line,
        np.full(3, half * INCH),
        60.0 * YARD,
        there * INCH,
        half * INCH,
        half * INCH,
        there / 3 * INCH,
        next_,
    )


def test_straight():
    one = found("nothing", (0.9, 0.02, 0.02, 0.02, 0.02, 0.02), 0.0)
    expected = "Walk-back 20 to 60 yd: straight, nothing to correct beyond 0.9 in at 60 yd"
    assert verdict_line(one, US) == expected
    assert verdict_line(one, METRIC) == (
        "Walk-back 18.3 to 54.9 m: straight, nothing to correct beyond 2.3 cm at 54.9 m"
    )
    assert advice_words(one, US) == ["Leave the sight as it is"]


@pytest.mark.parametrize(("there", "side"), [(2.1, "right"), (-2.1, "left")])
def test_the_sight_follows_the_arrows(there, side):
    one = found("windage", there=there)
    assert said(one, US) == (
        f"sight or center shot (86 %), the arrows land 2.1 in {side} at 60 yd, give or take 0.9 in"
    )
    assert advice_words(one, US) == [
        f"Check the level, then move the sight {side}, after the arrows, by 0.70 in at 20 yd",
        "No other shot tells more",
    ]


def test_a_cant_says_how_far_the_top_leans():
    assert "its top leans 1.6° ± 0.6° left" in advice_words(found("cant", there=-2.0), US)[0]


@pytest.mark.parametrize(
    ("verdict", "words"),
    [
        ("wind", "shoot again without wind"),
        ("yaw_rate", "tune the rest with bare shafts"),
        ("two", "Level the bow, wait for still air"),
        ("none_fits", "Check what was typed"),
    ],
)
def test_every_verdict_says_what_to_do(verdict, words):
    assert words in advice_words(found(verdict), US)[0]


def test_causes_of_one_line_are_said_to_be_that_and_what_to_do_anyway():
    shot = NextShot(Shot("level", POINTS), 0.21)
    one = found("cannot_tell", (0.02, 0.5, 0.3, 0.02, 0.12, 0.04), next_=shot)
    assert said(one, US).startswith(
        "cannot tell sight or center shot (50 %), cant (30 %) and launch (12 %) apart; "
        "the arrows land 2.1 in right"
    )
    assert advice_words(one, US) == [
        "With one pin a sight that is off, a cant and a poor launch draw the same line",
        "If you won't shoot more: check the level, then move the sight right, after the arrows, by "
        "0.70 in at 20 yd",
        'To find out: the same points with the bow held by a checked level (add "level" to '
        "each); the right cause gets about 21 % likelier",
    ]


@pytest.mark.parametrize(
    "shares", [(0.45, 0.3, 0.1, 0.05, 0.05, 0.05), (0.1, 0.1, 0.1, 0.5, 0.1, 0.1)]
)
def test_where_it_may_be_straight_or_wind_the_sight_stays(shares):
    assert advice_words(found("cannot_tell", shares), US)[0] == (
        "Leave the sight until more is shot"
    )


def test_the_next_shot_in_words():
    far = (WalkbackPoint(80 * YARD, 0.0, 3),)
    words = {
        "again": "3 more arrows at 80 yd",
        "farther": "3 arrows at 80 yd",
        "nearer": "3 arrows at 80 yd",
        "calm": 'the same points without wind (add "calm" to each)',
        "bare": "3 bare and 3 fletched at 20 yd",
    }
    for kind, expected in words.items():
        shot = Shot(kind, () if kind == "bare" else far)
        told = next_words(found("windage", next_=NextShot(shot, 0.2)), US)
        assert told == f"{expected}; the right cause gets about 20 % likelier"
    assert next_words(found("windage"), US) == ""
