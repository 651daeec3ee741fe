"""What may be a film, and what is usual."""

from dataclasses import replace

import pytest

from vireton.film.clip import Clip, Frame
from vireton.units.problems import InputProblem

FRAMES = tuple(
    Frame(10 + k, (100.0 + 300.0 * k, 500.0), (740.0 + 300.0 * k, 504.0)) for k in range(4)
)
GOOD = Clip("above", FRAMES)


def test_what_is_usual() -> None:
    assert GOOD.mark_error == pytest.approx(1.5)
    assert replace(GOOD, picture=(3840.0, 2160.0)).mark_error == pytest.approx(3.0)
    assert replace(GOOD, reading_error=1.0).mark_error == 1.0
    assert GOOD.readout_time < 1.0 / 240.0
    assert replace(GOOD, readout=0.002).readout_time == 0.002


def test_times_count_from_the_first_frame_and_skip_with_the_numbers() -> None:
    skipped = replace(GOOD, frames=(FRAMES[0], FRAMES[1], FRAMES[3]))
    assert skipped.times == pytest.approx((0.0, 1.0 / 240.0, 3.0 / 240.0))


def test_the_way_of_the_flight() -> None:
    assert GOOD.way == pytest.approx((1.0, 0.0))


def swapped(one: Frame) -> Frame:
    return Frame(one.number, one.point, one.nock)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"frames": FRAMES[:1]}, "1 marked frame: a film needs 2 to 60"),
        ({"frames": FRAMES[:2] + FRAMES[1:]}, "frame 11 comes after frame 11"),
        ({"frames": tuple(map(swapped, FRAMES))}, "frame 10: the point is behind the nock"),
        ({"picture": (1280.0, 720.0)}, "the point at 1340, 504 is outside of a picture of 1280"),
        (
            {"frames": tuple(Frame(k, FRAMES[0].nock, FRAMES[0].point) for k in range(3))},
            "the arrow hardly moves",
        ),
        ({"frames": (Frame(1, (5.0, 5.0), (9.0, 5.0)), FRAMES[1])}, "nearly one place"),
    ],
)
def test_what_is_no_film(change: dict[str, object], words: str) -> None:
    with pytest.raises(InputProblem) as caught:
        replace(GOOD, **change)  # type: ignore[arg-type]
    assert words in str(caught.value)


def test_from_beside_up_must_be_up_in_the_picture() -> None:
    upright = tuple(
        Frame(k, (500.0, 100.0 + 200.0 * k), (500.0, 400.0 + 200.0 * k)) for k in range(3)
    )
    assert Clip("above", upright, picture=(1080.0, 1920.0)).way == pytest.approx((0.0, 1.0))
    with pytest.raises(InputProblem, match="nobody can tell what is up"):
        Clip("beside", upright, picture=(1080.0, 1920.0))
