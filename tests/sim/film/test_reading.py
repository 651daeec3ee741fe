"""Films of known flights: what is read, and how sure."""

import math

import numpy as np
import pytest
from clips import ARMS, SHAFT, SPEED, clip, middle_time

from filmed import bending, straight
from vireton.film.clip import Clip
from vireton.film.reading import FilmReading, read_film
from vireton.units.problems import InputProblem

#: A camera without a fault and marks without an error leave the prior's pull, and little of it.
EXACT = {"reading_error": 0.02, "exposure": 1e-6}
SWINGS = bending(84.0, 0.51, (ARMS[0], ARMS[1]), (0.0012, -0.0007))


def read(found: Clip) -> FilmReading:
    return read_film(found, SHAFT, SPEED)


@pytest.mark.parametrize("view", ["above", "beside"])
def test_angle_and_rate_of_a_shaft_that_bends(view: str) -> None:
    motion = straight(SPEED, (0.012, -0.009), (0.8, -0.5), SWINGS if view == "above" else None)
    found = clip(motion, view, told=EXACT)
    reading = read(found)
    axis = 0 if view == "above" else 1
    rate = (0.8, -0.5)[axis]
    later = middle_time(found)
    angle = (0.012, -0.009)[axis] + rate * later
    if view == "beside":  # the path itself bends down
        angle += 9.80665 * later / SPEED
    assert reading.rate == pytest.approx(rate, abs=0.02)
    assert reading.angle == pytest.approx(angle, abs=0.0005)


def test_nose_right_is_right_whichever_way_the_phone_is_turned() -> None:
    motion = straight(SPEED, (0.01, 0.0), (0.8, 0.0))
    for roll in (0.0, 0.3, math.pi, -math.pi / 2.0):
        picture = (1920.0, 1080.0) if roll != -math.pi / 2.0 else (1080.0, 1920.0)
        found = clip(motion, off=(0.0, 0.0, roll), picture=picture, told=EXACT)
        assert read(found).rate == pytest.approx(0.8, abs=0.03)
        assert read(found).angle == pytest.approx(0.01 + 0.8 * middle_time(found), abs=0.0005)


def test_nose_up_is_up_from_the_left_and_from_the_right() -> None:
    motion = straight(SPEED, (0.0, 0.01), (0.0, 0.8))
    right = read(clip(motion, "beside", told=EXACT))
    # from the other side the picture is mirrored, and the arrow flies to the left
    found = clip(motion, "beside", told=EXACT)
    mirrored = [
        type(one)(
            one.number, (1920.0 - one.nock[0], one.nock[1]), (1920.0 - one.point[0], one.point[1])
        )
        for one in found.frames
    ]
    left = read(Clip("beside", tuple(mirrored), **EXACT))  # type: ignore[arg-type]
    assert left.rate == pytest.approx(right.rate, abs=1e-6)
    assert right.rate == pytest.approx(0.8, abs=0.03)


def test_the_camera_may_stand_askew() -> None:
    motion = straight(SPEED, (0.01, 0.0), (0.8, 0.0), SWINGS)
    # 4° along the path, 3° of roll, a lens that draws the edges out by half a percent
    found = clip(motion, off=(0.0, math.radians(4.0), 0.05), lens=0.005, told=EXACT)
    reading = read(found)
    assert reading.rate == pytest.approx(0.8, abs=3.0 * reading.rate_error)
    assert reading.rate_error < 0.12


@pytest.mark.parametrize("readout", [0.003, -0.003])
def test_rows_that_are_read_one_after_another(readout: float) -> None:
    motion = straight(SPEED, (0.015, 0.0), (1.2, 0.0))
    across = clip(
        motion,
        away=3.6,
        off=(0.0, 0.0, -math.pi / 2.0),
        picture=(1920.0, 1080.0),
        focal=1100.0,
        readout=readout,
        fps=480.0,
        told=EXACT,
    )
    reading = read(across)
    assert any("rows" in one for one in reading.warnings)
    assert reading.rate == pytest.approx(1.2, abs=2.0 * reading.rate_error)
    along = read(clip(motion, readout=readout, told=EXACT))
    assert along.rate == pytest.approx(1.2, abs=0.03)
    assert not along.warnings


def test_the_rate_needs_no_scale_and_no_speed() -> None:
    found = clip(straight(SPEED, (0.01, 0.0), (0.8, 0.0)), told=EXACT)
    alone = read_film(found, SHAFT)
    assert alone.rate == pytest.approx(0.8, abs=0.03)
    assert alone.speed == pytest.approx(SPEED, rel=0.01)


def test_where_it_is_read() -> None:
    found = clip(straight(SPEED, (0.0, 0.0), (0.5, 0.0)), told=EXACT | {"off_string": 0.2})
    gone = 0.5 * SPEED * found.times[-1]
    assert read(found).ahead == pytest.approx(0.2 + SHAFT.rear + gone, rel=0.01)


def test_a_combination_that_is_independent_of_the_rate() -> None:
    reading = read(clip(straight(SPEED, (0.0, 0.0), (0.5, 0.0)), error=1.0))
    angle, both, rate = (
        reading.covariance[0][0],
        reading.covariance[0][1],
        reading.covariance[1][1],
    )
    assert both + reading.later * rate == pytest.approx(0.0, abs=1e-12)
    assert angle + 2.0 * reading.later * both + reading.later**2 * rate > 0.0


def drawn(count: int, **how: object) -> tuple[np.ndarray, np.ndarray]:
    """Standardized errors (count, 2) of angle and rate, and the errors as told."""
    chance = np.random.default_rng(4)
    off, told = [], []
    for seed in range(count):
        angle, rate = chance.normal(0.0, 0.006), chance.normal(0.0, 0.7)
        swing = bending(
            84.0 * float(np.exp(chance.normal(0.0, 0.04))),
            0.51,
            (ARMS[0], ARMS[1]),
            (float(chance.normal(0.0, 0.001)), float(chance.normal(0.0, 0.001))),
        )
        found = clip(
            straight(SPEED, (angle, 0.0), (rate, 0.0), swing),
            off=tuple(chance.normal(0.0, 0.03, 3)),
            lens=float(chance.normal(0.0, 0.004)),
            seed=seed,
            **how,  # type: ignore[arg-type]
        )
        reading = read(found)
        true = angle + rate * middle_time(found)
        off.append(
            (
                (reading.angle - true) / reading.angle_error,
                (reading.rate - rate) / reading.rate_error,
            )
        )
        told.append((reading.angle_error, reading.rate_error))
    return np.array(off), np.array(told)


@pytest.mark.parametrize("error", [1.0, 2.0])
def test_nineteen_of_twenty_intervals_hold(error: float) -> None:
    # a pixel and a half is usual: what is left over must widen the errors of two
    off, _ = drawn(60, error=error)
    held = np.mean(np.abs(off) < 1.96, axis=0)
    assert np.all(held >= 0.88)


def test_more_frames_tell_more() -> None:
    _, few = drawn(6, error=1.0)
    _, many = drawn(6, error=1.0, away=3.2)
    assert many[:, 1].mean() < 0.85 * few[:, 1].mean()


def test_a_wrong_mark_counts_little_and_is_named() -> None:
    motion = straight(SPEED, (0.0, 0.0), (0.5, 0.0))
    good = clip(motion, away=4.0, error=0.5, told={"reading_error": 0.5})
    frames = list(good.frames)
    wrong = frames[3]
    frames[3] = type(wrong)(wrong.number, (wrong.nock[0], wrong.nock[1] + 40.0), wrong.point)
    bad = Clip("above", tuple(frames), reading_error=0.5)
    reading = read(bad)
    assert abs(reading.rate - read(good).rate) < 2.0 * reading.rate_error
    assert reading.rate_error > read(good).rate_error
    assert any(f"frame {wrong.number}" in one for one in reading.warnings)


def test_three_frames_are_said_to_be_few() -> None:
    reading = read(clip(straight(SPEED, (0.0, 0.0), (0.5, 0.0)), away=1.25, error=1.0))
    assert any("frames tell turning from bending badly" in one for one in reading.warnings)


def test_a_long_exposure_is_named_with_its_blur() -> None:
    motion = straight(SPEED, (0.0, 0.0), (0.5, 0.0))
    reading = read(clip(motion, told={"exposure": 1.0 / 500.0}))
    assert any("blurred over 7 in" in one for one in reading.warnings)
    assert not read(clip(motion, told={"exposure": 1.0 / 2000.0})).warnings


def test_another_frame_rate_than_told_is_refused() -> None:
    found = clip(straight(SPEED, (0.0, 0.0), (0.5, 0.0)), told={"frames_a_second": 30.0})
    with pytest.raises(InputProblem, match=r"about 24\d a second would fit"):
        read(found)
