"""Frames among other things."""

import numpy as np
import pytest
from PIL import Image, ImageDraw

from vireton.photo.frames import find_frames


def board(*frames, size=(1200, 900), shade=200):
    """A gray picture of marks: (center, side, degrees clockwise, half filled), drawn fine."""
    finer = 2
    picture = Image.new("L", (size[0] * finer, size[1] * finer), shade)
    draw = ImageDraw.Draw(picture)
    for center, side, degrees, half in frames:
        angle = np.radians(degrees)
        turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])

        def box(left, top, right, bottom, turn=turn, center=center, side=side):
            points = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
            return [tuple(p) for p in ((points * side) @ turn.T + center) * finer]

        draw.polygon(box(-0.5, -0.5, 0.5, 0.5), fill=30)
        draw.polygon(box(-0.25, 0.0 if half else -0.25, 0.25, 0.25), fill=shade)
    return np.asarray(picture.reduce(finer), float)


@pytest.mark.parametrize("degrees", [0, 17, 45, 90, 133, 180, 270, 301])
def test_the_filled_half_is_between_the_last_two_corners(degrees):
    (found,) = find_frames(board(((600.0, 400.0), 60.0, degrees, True)))
    assert found.half_filled
    assert found.center == pytest.approx((600.0, 400.0), abs=2.0)
    assert found.side == pytest.approx(60.0, abs=4.0)
    filled = found.corners[2:].mean(axis=0) - found.center
    up = np.array([np.sin(np.radians(degrees)), -np.cos(np.radians(degrees))])
    assert filled @ up / np.hypot(*filled) > 0.95
    # counterclockwise as seen, rows downwards
    x, y = found.corners.T
    assert (x * np.roll(y, -1) - np.roll(x, -1) * y).sum() < 0.0


@pytest.mark.parametrize("side", [26.0, 60.0, 150.0])
def test_a_plain_frame_is_plain_in_any_size(side):
    (found,) = find_frames(board(((600.0, 400.0), side, 30, False)))
    assert not found.half_filled
    assert found.side == pytest.approx(side, rel=0.08)


def test_other_shapes_are_no_marks():
    picture = Image.fromarray(board().astype(np.uint8))
    draw = ImageDraw.Draw(picture)
    draw.rectangle((100, 100, 160, 160), fill=20)  # solid
    draw.rectangle((300, 100, 360, 160), outline=20, width=3)  # thin
    draw.ellipse((500, 100, 560, 160), outline=20, width=15)  # round
    draw.rectangle((700, 100, 900, 160), outline=20, width=15)  # long
    draw.polygon([(100, 400), (170, 400), (135, 340)], outline=20, width=15)  # three corners
    draw.rectangle((300, 300, 360, 360), outline=20, width=10)  # with a middle
    draw.rectangle((320, 320, 340, 340), fill=20)
    assert find_frames(np.asarray(picture, float)) == []


def test_a_blank_picture_has_none():
    assert find_frames(np.full((900, 1200), 128.0)) == []
