"""The words of what a shot changes."""

import math

import pytest

from vireton.answers.shot_words import shot_words
from vireton.units.display import METRIC, US

INCH = 0.0254


@pytest.mark.parametrize(
    ("move", "changed", "words"),
    [
        ((0.0, INCH / 32.0), {}, "rest up 1/32 in"),
        ((0.0, 3.0 * (INCH / 32.0) - INCH / 16.0), {}, "rest up 1/32 in"),  # a sum's last digits
        ((-INCH / 16.0, 0.0), {"yaw": None}, "rest left 1/16 in"),
        (
            (0.0, 0.0),
            {"yaw": 0.0, "yaw_rate": 0.5},
            "nose straight, turning right at 0.5 rad/s",
        ),
        ((0.0, 0.0), {"pitch": math.radians(-2.0)}, "nose 2° down"),
        ((0.0, 0.0), {"pitch_rate": -0.25}, "nose turning down at 0.25 rad/s"),
        ((0.0, 0.0), {"wind": (4.4704, 9.0)}, "wind 10 mph from 9 o'clock"),
        ((0.0, 0.0), {"slope": math.radians(30.0), "cant": 0.0}, "30° uphill"),
        ((0.0, 0.0), {}, "rest where it is"),
    ],
)
def test_each_change_is_said_and_to_which_side(move, changed, words):
    assert shot_words(*move, changed, US, "rest where it is") == words


def test_metric():
    said = shot_words(1e-3, 0.0, {"wind": (4.0, 3.0)}, METRIC)
    assert said == "rest right 1 mm; wind 4 m/s from 3 o'clock"
