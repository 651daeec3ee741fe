"""What films of the last round say, how sure, and how to film: in words."""

from typing import TYPE_CHECKING

from vireton.units.numbers import DEGREE
from vireton.units.problems import InputProblem

if TYPE_CHECKING:
    from vireton.answers.tune import Tuned
    from vireton.film.reading import FilmReading
    from vireton.rig import Rig
    from vireton.tuning.observations import Film

#: How to take a film that tells something, and what is marked in it (common practice with phones,
#: no source).
FILMING = (
    "Phone on a stand clear of the path, nobody and nothing ahead of the string",
    "240 frames a second, shutter 1/2000 s or shorter, bright light",
    "The long side of the picture along the path, square to it, and the path through the "
    "picture's middle",
    "Far enough off that the picture shows 7 to 12 ft of the path, from the string on",
)
MARKING = "Mark the nock's throat and the tip of the point in every frame that shows both"
HOW_TO_FILM = f"How to film: {'. '.join((*FILMING, MARKING))}"
_NINETEEN_OF_TWENTY = 1.96
#: rad and rad/s below which nothing is named.
_LEVEL, _STILL = 0.05 * DEGREE, 0.005
_WORDS = {
    "above": (("right", "left"), ("right of", "left of"), "in line with"),
    "beside": (("up", "down"), ("above", "below"), "level with"),
}


def reading_words(film: "Film", reading: "FilmReading") -> list[str]:
    """``Bare film from above: the nose turns right at 0.35 rad/s, give or take 0.30 …``."""
    ways, sides, level = _WORDS[reading.view]
    turns = (
        "does not turn"
        if abs(reading.rate) < _STILL
        else f"turns {ways[reading.rate < 0.0]} at {abs(reading.rate):.2f} rad/s"
    )
    points = (
        f"is {level} the flight"
        if abs(reading.angle) < _LEVEL
        else f"points {abs(reading.angle) / DEGREE:.1f}° {sides[reading.angle < 0.0]} the flight"
    )
    wide = _NINETEEN_OF_TWENTY
    said = (
        f"{film.arrow.capitalize()} arrow filmed from {reading.view}: the nose {turns}, give or "
        f"take {wide * reading.rate_error:.2f}, and {points}, give or take "
        f"{wide * reading.angle_error / DEGREE:.1f}° (19 of 20)"
    )
    return [said, *(f"That film: {one}" for one in reading.warnings)]


def film_words(tuned: "Tuned") -> list[str]:
    """What the films of the last round say, and why one that says nothing does not."""
    from vireton.tuning.observations import Film

    counting = tuned.question.log.rounds.counting
    lines = []
    for film in counting[-1].seen(Film) if counting else ():
        try:
            reading = film.reading(tuned.question.rig)
        except InputProblem as problem:
            lines.append(f"That film says nothing yet: {problem}")
        else:
            lines += reading_words(film, reading)
    return lines


def unread_words(tuned: "Tuned") -> list[str]:
    """Films of a job that count for nothing, each with the reason."""
    from vireton.tuning.observations import Film

    lines = []
    for one in tuned.question.log.rounds.counting:
        for film in one.seen(Film):
            try:
                film.reading(tuned.question.rig_of(one.version))
            except InputProblem as problem:
                lines.append(f"The film of round {one.number} counts for nothing: {problem}")
    return lines


def check_films(films: "tuple[Film, ...]", rig: "Rig") -> None:
    """Raise InputProblem for a film that cannot be of this bow's arrow."""
    for film in films:
        film.reading(rig)
