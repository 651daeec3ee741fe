"""Corners to a fraction of a pixel."""

import numpy as np
import pytest
from scipy import ndimage

from vireton.photo.edges import sharpen


def square(center, side, angle, *, blur=1.0, finer=20, frame=0.25):
    """A picture of a black frame, light averaged over pixels, and its true corners (4, 2)."""
    rows, columns = 120, 140
    fine = (np.arange(max(rows, columns) * finer) + 0.5) / finer - 0.5
    y, x = fine[: rows * finer, None] - center[1], fine[None, : columns * finer] - center[0]
    u = x * np.cos(angle) + y * np.sin(angle)
    v = -x * np.sin(angle) + y * np.cos(angle)
    far = np.maximum(np.abs(u), np.abs(v))
    light = np.where((far < side / 2.0) & (far > side * (0.5 - frame)), 0.05, 0.8)
    light = light.reshape(rows, finer, columns, finer).mean(axis=(1, 3))
    light = ndimage.gaussian_filter(light, blur)
    half = side / 2.0
    corners = np.array([(-half, half), (half, half), (half, -half), (-half, -half)])
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    return 255.0 * light ** (1.0 / 2.2), corners @ turn.T + center


@pytest.mark.parametrize("angle", [0.0, 0.2, 0.7, 2.0])
@pytest.mark.parametrize("blur", [0.7, 2.0])
def test_corners_are_found_to_a_tenth_of_a_pixel(angle, blur):
    gray, truth = square((70.3, 60.7), 50.0, angle, blur=blur)
    found = sharpen(gray, truth + np.random.default_rng(5).uniform(-1.5, 1.5, (4, 2)))
    assert found is not None
    assert np.abs(found.corners - truth).max() < 0.12
    assert found.corners.mean(axis=0) == pytest.approx((70.3, 60.7), abs=0.02)


def test_noise_widens_the_stated_error_and_it_holds():
    rng, off, stated = np.random.default_rng(6), [], []
    gray, truth = square((70.3, 60.7), 50.0, 0.3)
    for _picture in range(30):
        found = sharpen(gray + rng.normal(0.0, 12.0, gray.shape), truth)
        off.append(found.corners - truth)
        stated.append(found.error)
    assert np.mean(stated) > 1.2 * sharpen(gray, truth).error.mean()
    assert np.std(off) < 1.5 * np.mean(stated)


def test_a_bite_out_of_one_edge_does_not_move_the_corners():
    gray, truth = square((70.3, 60.7), 50.0, 0.3)
    way = truth[1] - truth[0]
    at = truth[0] + 0.5 * way
    y, x = np.mgrid[: gray.shape[0], : gray.shape[1]]
    gray[np.hypot(x - at[0], y - at[1]) < 6.0] = 20.0
    found = sharpen(gray, truth)
    assert np.abs(found.corners - truth).max() < 0.3


def test_an_edge_that_is_not_there_gives_nothing():
    gray, truth = square((70.3, 60.7), 50.0, 0.0)
    gray[:, 70:] = 230.0
    assert sharpen(gray, truth) is None
    assert sharpen(np.full((120, 140), 128.0), truth) is None
    assert sharpen(gray, truth * 0.01) is None
