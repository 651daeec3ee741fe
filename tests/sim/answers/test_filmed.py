"""A film's reading in words."""

from dataclasses import replace

import pytest

from vireton.answers.filmed import HOW_TO_FILM, reading_words
from vireton.film.clip import Clip, Frame
from vireton.film.reading import FilmReading
from vireton.tuning.observations import Film
from vireton.units.numbers import DEGREE

FRAMES = (Frame(1, (10.0, 500.0), (700.0, 500.0)), Frame(2, (300.0, 500.0), (990.0, 500.0)))
ABOVE = Film("bare", Clip("above", FRAMES))
READING = FilmReading(
    "above", 0.4 * DEGREE, -0.35, 1.2, ((DEGREE**2, 0.0), (0.0, 0.01)), 85.0, 0.001, 1.5
)


def test_both_with_their_bars() -> None:
    (said,) = reading_words(ABOVE, READING)
    assert said == (
        "Bare arrow filmed from above: the nose turns left at 0.35 rad/s, give or take 0.20, and "
        "points 0.4° right of the flight, give or take 2.0° (19 of 20)"
    )


def test_from_beside_it_is_up_and_down() -> None:
    reading = replace(READING, view="beside")
    said = reading_words(Film("fletched", Clip("beside", FRAMES)), reading)[0]
    assert "Fletched arrow filmed from beside: the nose turns down at 0.35" in said
    assert "points 0.4° up of the flight" not in said
    assert "points 0.4° above the flight" in said


@pytest.mark.parametrize(("view", "level"), [("above", "in line with"), ("beside", "level with")])
def test_nothing_has_no_side(view: str, level: str) -> None:
    said = reading_words(ABOVE, replace(READING, view=view, angle=0.0, rate=0.0))[0]  # type: ignore[arg-type]
    assert f"does not turn, give or take 0.20, and is {level} the flight" in said


def test_warnings_follow() -> None:
    said = reading_words(ABOVE, replace(READING, warnings=("one", "two")))
    assert said[1:] == ["That film: one", "That film: two"]


def test_the_settings_that_matter_are_told() -> None:
    for word in (
        "stand",
        "240 frames",
        "shutter",
        "long side",
        "7 to 12 ft",
        "ahead of the string",
    ):
        assert word in HOW_TO_FILM


def test_a_film_as_the_next_test() -> None:
    from vireton.answers.tune_words import test_words as words_of
    from vireton.tuning.advice import NextShots

    assert words_of(NextShots("film above", 2, 1.2)) == "2 bare arrows, filmed from above"
    assert words_of(NextShots("film beside", 2, 1.2)) == "2 bare arrows, filmed from beside"
