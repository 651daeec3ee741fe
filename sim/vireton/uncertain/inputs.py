"""The one table of uncertain inputs: what hardly anyone measures, and what it does to a shot.

To add one is to add a row to :data:`INPUTS`. The ``[uncertainty]`` table of a setup file with its
checks and its lines in the template, the draws behind every band, and the words for what decides a
band are all read from here. New rows go to the end: the draws of those above then stay as they are.
"""

import math
from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from typing import Any, cast

from vireton.bow.bow import Rest
from vireton.uncertain.left_open import LEFT_OPEN
from vireton.uncertain.of_readings import OF_READINGS
from vireton.uncertain.row import FACTOR, Input, Pieces, Range, has_no_readings, of_bow
from vireton.units.kinds import Band
from vireton.units.quantity import Quantity
from vireton.units.text import parse

_SPEED_SPREAD = parse("2 fps", "speed")


def _band(low: str, high: str, item: Quantity = FACTOR) -> Band:
    return Band(item, like=f'["{low}", "{high}"]')


def _rest(name: str) -> Callable[[Pieces, float], Pieces]:
    def change(one: Pieces, value: float) -> Pieces:
        rest: Rest = replace(one.bow.rest, **cast(Any, {name: value}))
        return replace(one, bow=replace(one.bow, rest=rest))

    return change


def _stiffness(one: Pieces, factor: float) -> Pieces:
    shaft = one.parts.shaft
    if shaft.spine_deflection is None:
        return one
    stiffened = replace(shaft, spine_deflection=shaft.spine_deflection / factor)
    return replace(one, parts=replace(one.parts, shaft=stiffened))


def _vane_angle(one: Pieces, angle: float) -> Pieces:
    vanes = one.parts.vanes
    if vanes is None:
        return one
    return replace(one, parts=replace(one.parts, vanes=replace(vanes, angle=angle)))


def _blade_angle(one: Pieces, angle: float) -> Pieces:
    head = one.parts.broadhead
    if head is None or head.blades is None:
        return one
    turned = replace(head, blades=replace(head.blades, angle=angle))
    return replace(one, parts=replace(one.parts, broadhead=turned))


def _coefficient(key: str, words: str, kind: Band, says: str, **more: Any) -> Input:
    """A factor of :class:`~vireton.flight.coefficients.Coefficients`, by its name there."""

    def change(one: Pieces, factor: float) -> Pieces:
        return replace(one, factors=replace(one.factors, **{key: factor}))

    return Input(key, words, change, kind, says=says, **more)


def _has_broadhead(one: Pieces) -> bool:
    return one.parts.broadhead is not None


def _has_two_blades(one: Pieces) -> bool:
    head = one.parts.broadhead
    return head is not None and head.blades is not None and head.blades.count == 2


def _has_two_vanes(one: Pieces) -> bool:
    return one.parts.vanes is not None and one.parts.vanes.count == 2


def _any_angle(_: Pieces) -> Range:
    return -0.5 * math.pi, 0.5 * math.pi  # of two vanes or blades: half a turn is all


def _rise(one: Pieces, value: float) -> Pieces:
    curve = replace(one.bow.draw_curve, rise=value)
    return replace(one, bow=replace(one.bow, draw_curve=curve))


#: The ranges are our judgment of what is plausible.
INPUTS: tuple[Input, ...] = (
    Input(
        "rest_lets_go",
        "where the rest lets go",
        _rest("lets_go"),
        _band("30 %", "60 %", Quantity("fraction", "5 %", "100 %", "45 %")),
        own="bow.rest.lets_go",
        usual=lambda one: (
            max(0.05, one.bow.rest.lets_go - 0.15),
            min(1.0, one.bow.rest.lets_go + 0.15),
        ),
        # where nothing is known of the rest it may hold to the end, if it is not the usual one
        when_open=lambda one: (0.2, 0.9) if one.bow.rest.type == "drop-away" else (0.8, 1.0),
        says="15 points either way, within 5 % to 100 %",
        known_of="bow",
    ),
    Input(
        "string_mass",
        "the string's mass",
        of_bow("string_mass"),
        _band("6 g", "16 g", Quantity("mass", "0.1 g", "300 g", "10 g")),
        own="bow.string.mass",
        usual=lambda one: (0.6 * one.bow.string_mass, 1.6 * one.bow.string_mass),
        says="60 % to 160 % of that",
        known_of="bow",
    ),
    Input(
        "cam_stiffness",
        "how hard the limbs hold the cams",
        of_bow("cam_stiffness"),
        _band("1 N/mm", "100 N/mm", Quantity("stiffness", "0.05 N/mm", "2000 N/mm", "10 N/mm")),
        own="bow.string.cam_stiffness",
        usual=lambda one: (0.1 * one.bow.cam_stiffness, 10.0 * one.bow.cam_stiffness),
        says="a tenth to ten times that",
        known_of="bow",
    ),
    Input(
        "arrow_speed",
        "the arrow's speed",
        of_bow("arrow_speed"),
        _band("278 fps", "282 fps", Quantity("speed", "1 fps", "700 fps", "280 fps")),
        own="bow.arrow_speed",
        usual=lambda one: (
            one.bow.arrow_speed - _SPEED_SPREAD,
            one.bow.arrow_speed + _SPEED_SPREAD,
        ),
        says="2 fps either way",
        known_of="chronograph",
    ),
    Input(
        "rest_stiffness",
        "the rest's stiffness",
        _rest("stiffness"),
        _band("2 N/mm", "12 N/mm", Quantity("stiffness", "0.05 N/mm", "200 N/mm", "5 N/mm")),
        own="bow.rest.stiffness",
        usual=lambda one: (0.4 * one.bow.rest.stiffness, 2.5 * one.bow.rest.stiffness),
        says="0.4 to 2.5 times that",
        known_of="bow",
    ),
    Input(
        "shaft_damping",
        "the shaft's damping",
        of_bow("shaft_damping"),
        _band("0.5 %", "3 %", Quantity("fraction", "0.1 %", "20 %", "1.5 %")),
        says="How fast the shaft's bending dies, of critical damping",
        known_of="shaft",
    ),
    Input(
        "shaft_stiffness",
        "the shaft's stiffness",
        _stiffness,
        _band("93 %", "107 %"),
        says="Stiffness of the shaft in the shot, of what its static spine says",
        known_of="shaft",
    ),
    _coefficient(
        "crossflow_drag",
        "the shaft's drag across the air",
        _band("75 %", "125 %"),
        "Drag of the shaft across the air",
    ),
    _coefficient("vane_lift", "the vanes' lift", _band("80 %", "120 %"), "Lift of the vanes"),
    _coefficient(
        "boundary_layer",
        "the slow air over the vanes",
        _band("80 %", "120 %"),
        "Loss of speed over the vanes in the shaft's slow air",
    ),
    _coefficient("friction", "skin friction", _band("85 %", "115 %"), "Skin friction"),
    _coefficient("point_lift", "the point's lift", _band("70 %", "130 %"), "Lift of the point"),
    _coefficient(
        "transition",
        "where the air turns turbulent",
        _band("60 %", "160 %"),
        "Speed at which the air along the shaft turns turbulent",
    ),
    Input(
        "vane_angle",
        "how the two vanes stand",
        _vane_angle,
        own="arrow.vanes.angle",
        usual=_any_angle,
        applies=_has_two_vanes,
    ),
    _coefficient(
        "blade_lift",
        "the blades' lift",
        _band("70 %", "130 %"),
        "Lift of a broadhead's blades",
        applies=_has_broadhead,
    ),
    _coefficient(
        "blade_wake",
        "the blades' wake",
        _band("20 %", "150 %"),
        "What the wake of a broadhead's blades takes from the vanes",
        applies=_has_broadhead,
    ),
    Input(
        "blade_angle",
        "how the two blades stand",
        _blade_angle,
        own="arrow.broadhead.blade_angle",
        usual=_any_angle,
        applies=_has_two_blades,
    ),
    _coefficient(
        "crossflow_growth",
        "how fast the shaft's drag across the air grows",
        # at the low end the steady cylinder's drag, as good as at once: a shaft that swings and
        # vibrates in turbulent air may well see that; nobody has measured it. Evenly from none, few
        # draws would come near it
        _band("5 %", "200 %"),
        "How far the shaft goes sideways before that drag has grown",
    ),
    _coefficient(
        "friction_across",
        "skin friction across the shaft",
        _band("50 %", "200 %"),
        "What skin friction pushes across the shaft",
    ),
    _coefficient(
        "vortex_lift",
        "the vortices at the vanes' edges",
        _band("40 %", "140 %"),
        "What vortices at the edges of vanes and blades add to their lift",
    ),
    Input(
        "cam_mass",
        "the cams' mass",
        of_bow("cam_mass"),
        _band("100 g", "400 g", Quantity("mass", "10 g", "6 kg", "200 g")),
        own="bow.string.cam_mass",
        usual=lambda one: (0.5 * one.bow.cam_mass, 2.0 * one.bow.cam_mass),
        says="half to twice that",
        known_of="bow",
    ),
    Input(
        "draw_force_rise",
        "how fast the draw force rises",
        _rise,
        _band("15 %", "40 %", Quantity("fraction", "5 %", "90 %", "25 %")),
        own="bow.draw_curve.rise",
        usual=lambda one: (0.6 * one.bow.draw_curve.rise, 1.6 * one.bow.draw_curve.rise),
        says="0.6 to 1.6 times that",
        applies=has_no_readings,
        known_of="bow",
    ),
    Input(
        "brace_tension",
        "the string's tension near brace",
        of_bow("brace_tension"),
        _band("100 %", "200 %", Quantity("fraction", "100 %", "400 %", "150 %")),
        own="bow.string.brace_tension",
        usual=lambda one: (1.0, max(2.0, one.bow.brace_tension)),
        says="from 100 % to 200 %, or to that",
        known_of="bow",
    ),
)

#: With the numbers that count only where a setup file leaves them open, and the errors of readings.
ALL_INPUTS = (*INPUTS, *LEFT_OPEN, *OF_READINGS)

_BY_KEY = {one.key: one for one in ALL_INPUTS}


def changed(pieces: Pieces, values: Mapping[str, float]) -> Pieces:
    """The pieces with these inputs, by key, at these values (SI).

    An input that these pieces have nothing for changes nothing. Raises KeyError for a key that no
    row has.
    """
    for key, value in values.items():
        pieces = _BY_KEY[key].change(pieces, value)
    return pieces


def plausible_ranges(
    pieces: Pieces,
    given: Mapping[str, Range] | None = None,
    is_known: Callable[[str], bool] = lambda own: False,
    left_open: Collection[str] = (),
) -> dict[str, Range]:
    """Plausible low and high of each input that counts for these pieces, SI, by key.

    Args:
        pieces: around whose own numbers the usual ranges lie.
        given: ranges that take the place of the usual ones.
        is_known: whether the setup file gives this key: an input that is only drawn then is not.
        left_open: keys of the setup file that it leaves open, for which usual values stand in.
    """
    stated = given or {}
    return {
        one.key: stated.get(one.key) or one.usual_range(pieces, is_open=one.own in left_open)
        for one in ALL_INPUTS
        if one.applies(pieces) and _counts(one, is_known, left_open)
    }


def _counts(one: Input, is_known: Callable[[str], bool], left_open: Collection[str]) -> bool:
    if one in LEFT_OPEN:
        return one.own in left_open
    return one.kind is not None or not is_known(one.own)


def row_of(key: str) -> Input:
    """The row of this key. Raises KeyError for a key that no row has."""
    return _BY_KEY[key]


def words_of(key: str) -> str:
    """An input's name for people. Raises KeyError for a key that no row has."""
    return _BY_KEY[key].words
