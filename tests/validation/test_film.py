"""The camera and the marker that films are proved with."""

import math
import sys
from pathlib import Path

import numpy as np
import pytest

ROOT = Path(__file__).parents[2]
sys.path.append(str(ROOT / "validation"))

from film_pixels import NOISE, marked, rendered  # noqa: E402

from filmed import bending, phone, straight, turned  # noqa: E402

ARMS = np.array([-0.445, 0.3])
SPEED = 85.0


def test_looking_down_right_is_down_in_the_picture() -> None:
    camera = phone("above", np.zeros(3), 2.0)
    ahead, right = camera.project(np.array([[0.5, 0.0, 0.0], [0.0, 0.0, 0.5]]))
    assert ahead == pytest.approx((960.0 + 350.0, 540.0))
    assert right == pytest.approx((960.0, 540.0 + 350.0))


def test_from_the_archers_right_up_is_up_in_the_picture() -> None:
    camera = phone("beside", np.zeros(3), 2.0)
    assert camera.place == pytest.approx((0.0, 0.0, 2.0))
    ahead, up = camera.project(np.array([[0.5, 0.0, 0.0], [0.0, 0.5, 0.0]]))
    assert ahead == pytest.approx((1310.0, 540.0))
    assert up == pytest.approx((960.0, 190.0))


def test_a_turn_is_a_rotation() -> None:
    found = turned(np.array([0.0, 0.0, math.pi / 2.0]))
    assert found @ np.array([1.0, 0.0, 0.0]) == pytest.approx((0.0, 1.0, 0.0), abs=1e-12)
    assert found @ found.T == pytest.approx(np.eye(3), abs=1e-12)


def test_rows_that_come_later_show_the_arrow_farther_on() -> None:
    motion = straight(SPEED, (0.0, 0.0), (0.0, 0.0), fall=0.0)
    still = phone("above", np.array([0.0, 0.0, 0.2]), 2.0)
    rolling = phone("above", np.array([0.0, 0.0, 0.2]), 2.0, readout=0.003)
    before, after = (one.snap(motion, ARMS, 0.0) for one in (still, rolling))
    # the path is above the picture's middle, so its rows come before the frame's moment
    share = (before[0, 1] - 540.0) / 1080.0
    assert share < 0.0
    assert after[:, 0] - before[:, 0] == pytest.approx(700.0 * SPEED * 0.003 * share, rel=0.01)


def test_the_marker_finds_nock_and_point_within_half_a_pixel_across() -> None:
    swing = bending(84.0, 0.51, (ARMS[0], ARMS[1]), (0.0, 0.0))
    motion = straight(SPEED, (0.01, 0.0), (0.5, 0.0), swing)
    camera = phone("above", np.array([0.0, 0.0, 0.05]), 2.0, off=(0.01, 0.02, 0.03), readout=0.003)
    exposure = 1.0 / 2000.0
    dark, first = rendered(camera, motion, ARMS, 0.0, exposure, 2.0)
    chance = np.random.default_rng(3)
    found = marked(dark + NOISE * chance.normal(size=dark.shape), first)
    true = camera.snap(motion, ARMS, 0.0)
    blur = 700.0 * SPEED * exposure
    assert found[:, 1] == pytest.approx(true[:, 1], abs=0.5)
    assert found[:, 0] == pytest.approx(true[:, 0], abs=0.3 * blur)
    # a blurred end is half as dark in its middle
    assert dark.max() == pytest.approx(1.0, abs=0.05)
