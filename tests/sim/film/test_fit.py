"""The fit beside a second way to the same numbers."""

import numpy as np
import pytest
from clips import SHAFT, SPEED, clip

from filmed import straight
from vireton.film.camera import AT, UNKNOWNS, Camera
from vireton.film.fit import fit, one_of

CLIP = clip(straight(SPEED, (0.004, 0.0), (0.6, 0.0)), error=0.7, away=3.0)


def test_marks_of_the_fit_lie_where_they_were_set() -> None:
    camera = Camera(CLIP, SHAFT)
    best = one_of(fit(camera, SPEED))
    off = camera.seen(best.at) - camera.marks
    assert np.abs(off).max() < 3.0
    assert np.sqrt(np.mean(off**2)) < 1.2


def test_one_batch_of_unknowns_is_many_single_ones() -> None:
    camera = Camera(CLIP, SHAFT)
    guess = camera.first_guess()
    many = np.array([guess, guess + 1e-3])
    assert camera.seen(many)[1] == pytest.approx(camera.seen(many[1]), rel=1e-14)


def test_scatter_of_repeated_readings_is_what_the_covariance_says() -> None:
    at, told = [], []
    for seed in range(80):
        camera = Camera(
            clip(straight(SPEED, (0.004, 0.0), (0.6, 0.0)), error=1.5, away=3.0, seed=seed), SHAFT
        )
        best = one_of(fit(camera, SPEED))
        at.append(best.at[AT["rate"]])
        told.append(best.covariance[AT["rate"], AT["rate"]])
    # the fit also allows for a lens, a swing and a tilt that are not there
    assert 0.5 < np.std(at) / np.sqrt(np.mean(told)) < 1.1


def test_every_unknown_has_a_finite_error() -> None:
    best = one_of(fit(Camera(CLIP, SHAFT)))
    assert best.covariance.shape == (len(UNKNOWNS), len(UNKNOWNS))
    assert np.all(np.linalg.eigvalsh(best.covariance) > 0.0)


def test_marks_set_worse_than_told_widen_the_errors() -> None:
    motion = straight(SPEED, (0.0, 0.0), (0.6, 0.0))
    fine = one_of(fit(Camera(clip(motion, error=1.5, away=4.0), SHAFT), SPEED))
    rough = one_of(fit(Camera(clip(motion, error=6.0, away=4.0), SHAFT), SPEED))
    assert rough.times_told > 1.8 > fine.times_told
    assert rough.mark_error == pytest.approx(1.5 * rough.times_told)
