"""What each number of a measurement shows by the launch model, and how far it may be off.

All errors and doubts are our choice, no source, unless a reading says its own error.

**The push test.** A weight W pushes the nock to the side at brace. By the launch model's own
stiffnesses the cams go W/K, and the nock W/K + W/k: K is the limbs' hold on the cams, k the
string's pull across, 2T/s, which is also the slope with which the draw force begins. So the cams'
way tells K, and what the nock goes beyond it the tension of the string at brace, as drawn slowly.
It does not tell the tension *in the shot*, where the string stops the cams.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import NamedTuple

from vireton.bow.arrow import POUND_FORCE, SPINE_LOAD, SPINE_SPAN, assemble
from vireton.uncertain.of_readings import PLACE_OF_READINGS
from vireton.uncertain.row import Pieces
from vireton.units.numbers import FOOT, INCH
from vireton.units.reading import Reading

#: What was read, by the names of the row's keys; several readings of one thing as a tuple.
Taken = Mapping[str, Reading | tuple[float, ...]]

_GRAM = 1e-3

# what stands between the bench and the shot: standard deviations, shares (our choice, no source)
_SPRING_DOUBT = 0.10  # friction of the axles, limbs that are no straight spring
#: A draw force that begins straight and not as a quarter sine has 0.64 of its slope.
_SHAPE_DOUBT = 0.20
_NOTE_DOUBT = 0.03  # peep, loop and serving on the string; ends that are no knife edges
_SPINE_DOUBT = 0.012  # a shaft that is bent in 5 ms, at another place of its round
_CHRONOGRAPH = FOOT  # m/s, of the instrument itself
_SPEED_OF_ONE = 2.0 * FOOT  # m/s, standard deviation of one shot where only one is there


class Reads(NamedTuple):
    """One number that a measurement reads: which uncertain input it tells, and how.

    ``of`` what was taken; ``predicted`` by pieces of the bow, to be set against it; ``error``: its
    standard deviation by what is predicted and what was taken. ``is_direct``: it reads the input
    itself, and not what follows from it by a model of the draw force.
    """

    input: str
    of: Callable[[Taken], float]
    predicted: Callable[[Pieces, Taken], float]
    error: Callable[[float, Taken], float]
    is_direct: bool = True


def _value(taken: Taken, name: str) -> float:
    found = taken[name]
    assert isinstance(found, Reading)
    return found.value


def _sd(taken: Taken, name: str, usual: float) -> float:
    found = taken.get(name)
    return found.deviation(usual) if isinstance(found, Reading) else 0.5 * usual


# -- the push test --------------------------------------------------------------------------------

_CALIPER, _DIAL = 0.02 * INCH, 0.004 * INCH


def _cams_go(one: Pieces, taken: Taken) -> float:
    return _value(taken, "weight") / one.bow.cam_stiffness


def _string_goes(one: Pieces, taken: Taken) -> float:
    from vireton.launch.draw_force import brace_stiffness  # noqa: PLC0415 (brings numpy)

    return _value(taken, "weight") / brace_stiffness(one.bow)


def _cams_error(predicted: float, taken: Taken) -> float:
    return math.hypot(_sd(taken, "cams", _DIAL), _SPRING_DOUBT * predicted)


def _string_error(predicted: float, taken: Taken) -> float:
    read = math.hypot(_sd(taken, "nock", _CALIPER), _sd(taken, "cams", _DIAL))
    return math.hypot(read, _SHAPE_DOUBT * predicted)


# -- the plucked note -----------------------------------------------------------------------------

#: m between the cams, for a plan (our choice).
_FREE_LENGTH = 0.8


def _note(one: Pieces, taken: Taken) -> float:
    from vireton.launch.draw_force import plucked_note  # noqa: PLC0415

    return plucked_note(one.bow, _value(taken, "free_length"), _value(taken, "mass_per_length"))


def _note_error(predicted: float, taken: Taken) -> float:
    length, mass = _value(taken, "free_length"), _value(taken, "mass_per_length")
    parts = (
        _sd(taken, "frequency", 0.02 * predicted) / predicted,
        0.5 * _sd(taken, "mass_per_length", 0.04 * mass) / mass,
        _sd(taken, "free_length", 0.25 * INCH) / length,
        _NOTE_DOUBT,
        0.5 * _SHAPE_DOUBT,
    )
    return predicted * math.hypot(*parts)


def planned_note(one: Pieces) -> Taken:
    """With the string that is there."""
    return {
        "free_length": Reading(_FREE_LENGTH),
        "mass_per_length": Reading(one.bow.string_mass / _FREE_LENGTH),
    }


# -- the shaft, and speeds ------------------------------------------------------------------------


def _bends(one: Pieces, taken: Taken) -> float:
    """Deflection on the bench that was used: with the weight, and with the span's third power."""
    spine = one.parts.shaft.spine_deflection or math.nan
    weight, span = (_value(taken, name) for name in ("weight", "span"))
    return spine * weight / SPINE_LOAD * (span / SPINE_SPAN) ** 3


def _bends_error(predicted: float, taken: Taken) -> float:
    # a twentieth of an inch of span, thrice
    span = 3.0 * _sd(taken, "span", 0.05 * INCH) / _value(taken, "span")
    weight = _sd(taken, "weight", 0.01 * SPINE_LOAD) / _value(taken, "weight")
    read = _sd(taken, "deflection", 0.003 * INCH)
    return math.hypot(read, predicted * math.hypot(span, weight, _SPINE_DOUBT))


def _speeds(taken: Taken) -> tuple[float, ...]:
    found = taken.get("speeds", ())
    assert not isinstance(found, Reading)
    return found


def _mean_speed(taken: Taken) -> float:
    return math.fsum(_speeds(taken)) / len(_speeds(taken))


def spread_of(speeds: tuple[float, ...]) -> float | None:
    """Standard deviation from shot to shot, m/s; None for fewer than three."""
    if len(speeds) < 3:
        return None
    mean = math.fsum(speeds) / len(speeds)
    return math.sqrt(math.fsum((one - mean) ** 2 for one in speeds) / (len(speeds) - 1))


def _speed_error(_predicted: float, taken: Taken) -> float:
    speeds = _speeds(taken)
    one = max(spread_of(speeds) or 0.0, 0.25 * _SPEED_OF_ONE) if len(speeds) > 2 else _SPEED_OF_ONE
    return math.hypot(_CHRONOGRAPH, one / math.sqrt(max(1, len(speeds))))


def _direct(
    name: str, of: Callable[[Pieces], float], usual: float
) -> tuple[Callable[[Taken], float], Callable[[Pieces, Taken], float], Callable[..., float]]:
    """An input that is read as it is, ``usual`` its error."""
    return (
        lambda taken: _value(taken, name),
        lambda one, taken: of(one),
        lambda predicted, taken: _sd(taken, name, usual),
    )


# -- what each measurement tells ------------------------------------------------------------------

PUSH = (
    Reads("cam_stiffness", lambda taken: _value(taken, "cams"), _cams_go, _cams_error),
    Reads(
        "draw_force_rise",
        lambda taken: _value(taken, "nock") - _value(taken, "cams"),
        _string_goes,
        _string_error,
        is_direct=False,
    ),
)
STRING_MASS = (
    Reads("string_mass", *_direct("string_mass", lambda one: one.bow.string_mass, 0.5 * _GRAM)),
)
LETS_GO = (Reads("rest_lets_go", *_direct("lets_go", lambda one: one.bow.rest.lets_go, 0.05)),)
SPINE = (Reads("shaft_stiffness", lambda taken: _value(taken, "deflection"), _bends, _bends_error),)
#: For a plan: once they are there the curve runs through them, and nothing is left of the rise.
DRAW_CURVE = (
    Reads(
        "draw_force_rise",
        *_direct(
            "rise", lambda one: one.bow.draw_curve.rise * one.bow.power_stroke, PLACE_OF_READINGS
        ),
    ),
)
NOTE = (
    Reads(
        "draw_force_rise",
        lambda taken: _value(taken, "frequency"),
        _note,
        _note_error,
        is_direct=False,
    ),
)
SPEEDS = (Reads("arrow_speed", _mean_speed, lambda one, taken: one.bow.arrow_speed, _speed_error),)


def planned_push(_one: Pieces) -> Taken:
    """A weight that a scale holds steady."""
    return {"weight": Reading(5.0 * POUND_FORCE)}


def planned_spine(one: Pieces) -> Taken:
    """The standard bench, or what the shaft is long enough for."""
    return {
        "span": Reading(min(SPINE_SPAN, 0.95 * one.parts.shaft.length)),
        "weight": Reading(SPINE_LOAD),
    }


def planned_speeds(one: Pieces) -> Taken:
    """Five."""
    return {"speeds": (one.bow.arrow_speed,) * 5}


def balanced_as(own: Pieces, other: Pieces) -> Pieces:
    """The own arrow balanced where the other one does."""
    parts = replace(own.parts, measured_balance=assemble(other.parts).balance)
    return replace(own, parts=parts)
