"""Keys of a setup file that must fit together: the checks that need no physics."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from vireton.bow.bow import AMO_DRAW_EXTRA
from vireton.setup.usual import HEAVIEST_SHAFT, LIGHTEST_SHAFT, shaft_left
from vireton.uncertain.inputs import INPUTS
from vireton.units.numbers import INCH
from vireton.units.text import show

#: A power stroke below this belongs to no bow that one can draw (our choice), m.
_SHORTEST_STROKE = 4.0 * INCH

#: How far the highest of them may be off the draw weight (our choice).
_READINGS_DIFFER = 0.05

_MEASURED_AIR = ("temperature", "pressure", "humidity")


@dataclass
class Values:
    """Every value that could be read: in SI (or as a word), and as it is written.

    ``left_open``: keys that the file leaves open, with a usual value in their place.
    """

    si: dict[str, Any] = field(default_factory=dict)
    written: dict[str, str] = field(default_factory=dict)
    unreadable: set[str] = field(default_factory=set)
    left_open: frozenset[str] = frozenset()

    def has(self, *keys: str) -> bool:
        """Whether all of these could be read."""
        return all(key in self.si for key in keys)

    def is_there(self, key: str) -> bool:
        """Whether it is given at all, readable or not."""
        return key in self.si or key in self.unreadable

    def __getitem__(self, key: str) -> Any:
        return self.si[key]

    def said(self, key: str) -> str:
        """The value as the file writes it, or what is taken in its place."""
        usual = " (taken as usual; give the bow's own)" if key in self.left_open else ""
        return f"{self.written[key]}{usual}"


def cross_checks(v: Values) -> Iterator[tuple[str, str]]:
    """Pairs of the key to look at and what is wrong, among the values that could be read."""
    yield from _shaft(v)
    yield from _weighed(v)
    yield from _rear_end(v)
    yield from _point(v)
    yield from _broadhead(v)
    yield from _bow(v)
    yield from _draw_curve(v)
    yield from _push(v)
    yield from _air(v)
    yield from _bands(v)


def _length(meters: float) -> str:
    return f"{show(meters, 'bench', 'us', 2)} ({show(meters, 'bench', 'metric', 0)})"


def _shaft(v: Values) -> Iterator[tuple[str, str]]:
    inner, outer = "arrow.shaft.inside_diameter", "arrow.shaft.outside_diameter"
    if v.has(inner, outer) and v[inner] >= v[outer]:
        yield inner, f"{v.said(inner)} is not below {outer} = {v.said(outer)}"
    length, throat = "arrow.length", "arrow.nock.throat_to_shaft"
    if not v.has(length):
        return
    if v.has(throat) and v[throat] >= v[length]:
        yield throat, f"{v.said(throat)} is not below {length} = {v.said(length)}"
    balance = "arrow.balance"
    if v.has(balance) and v[balance] >= v[length]:
        yield (
            balance,
            f"{v.said(balance)} from the nock's throat is beyond the shaft's front end, {length} = "
            f"{v.said(length)}: measure from the throat, not from the point",
        )
    tape = "arrow.bare_tape.from_throat"
    if v.has(tape) and v[tape] >= v[length]:
        yield tape, f"{v.said(tape)} is beyond the shaft's front end, {length} = {v.said(length)}"
    for part in ("arrow.insert.length", "arrow.wrap.length"):
        if v.has(part, throat) and v[part] > v[length] - v[throat]:
            yield (
                part,
                f"{v.said(part)} is longer than the shaft, {_length(v[length] - v[throat])}",
            )


def _weighed(v: Values) -> Iterator[tuple[str, str]]:
    shaft, mass = "arrow.shaft.mass_per_length", "arrow.mass"
    if shaft not in v.left_open or not v.has(mass, "arrow.length"):
        return
    left = shaft_left(lambda key, without: v[key] if v.has(key) else without)
    if not LIGHTEST_SHAFT <= left <= HEAVIEST_SHAFT:
        said = show(left, "mass_per_length", "us", 1)
        yield (
            mass,
            f"{v.said(mass)} leaves {said} for the bare shaft after the other parts, which no "
            "shaft has: check it, arrow.length and the parts' masses",
        )


def _rear_end(v: Values) -> Iterator[tuple[str, str]]:
    length, throat = "arrow.length", "arrow.nock.throat_to_shaft"
    rear, vane = "arrow.vanes.rear_from_throat", "arrow.vanes.length"
    if v.has(rear, throat) and v[rear] < v[throat]:
        yield (
            rear,
            f"{v.said(rear)} puts the vanes behind the rear end of the shaft, {throat} = "
            f"{v.said(throat)}",
        )
    if v.has(rear, vane, length) and v[rear] + v[vane] > v[length]:
        yield (
            rear,
            f"{v.said(rear)} puts the front of the vanes {_length(v[rear] + v[vane])} from the "
            f"nock's throat, beyond the shaft's front end, {length} = {v.said(length)}",
        )


def _point(v: Values) -> Iterator[tuple[str, str]]:
    edge, shape = "arrow.point.edge_radius", "arrow.point.shape"
    if not v.has(edge) or v[edge] == 0.0:
        return
    if v.has(shape) and v[shape] != "blunt":
        yield edge, f"{v.said(edge)} counts for a blunt point only; delete it for this {shape}"
    for across in ("arrow.point.head_diameter", "arrow.shaft.outside_diameter"):
        if v.has(across):
            if 2.0 * v[edge] > v[across] * (1.0 + 1e-9):
                yield edge, f"{v.said(edge)} is more than half of {across} = {v.said(across)}"
            return


def _broadhead(v: Values) -> Iterator[tuple[str, str]]:
    head = "arrow.broadhead"
    if v.is_there(f"{head}.mass") and not v.is_there("arrow.vanes.count"):
        yield (
            f"{head}.mass",
            "DANGER: a broadhead on a shaft without vanes flies anywhere. Do not shoot it; give "
            "the table arrow.vanes",
        )
    ferrule, across = f"{head}.ferrule_diameter", f"{head}.cutting_diameter"
    if v.has(ferrule, across) and v[ferrule] >= v[across]:
        yield ferrule, f"{v.said(ferrule)} is not below {across} = {v.said(across)}"
    blade, ahead, length = f"{head}.blade_length", f"{head}.blades_ahead", f"{head}.length"
    if v.has(blade, length):
        front = v[blade] + (v[ahead] if v.has(ahead) else 0.0)
        if front > v[length] + 1e-9:
            yield (
                blade,
                f"{v.said(blade)} puts the front of the blades {_length(front)} ahead of the "
                f"shaft's end, beyond the head's own {length} = {v.said(length)}",
            )


def _bow(v: Values) -> Iterator[tuple[str, str]]:
    draw, brace = "bow.draw_length", "bow.brace_height"
    if not v.has(draw, brace):
        return
    stroke = v[draw] - AMO_DRAW_EXTRA - v[brace]
    if stroke < _SHORTEST_STROKE:
        yield (
            brace,
            f"{v.said(brace)} leaves a power stroke of {_length(stroke)}, less than "
            f"{_length(_SHORTEST_STROKE)}: it is {draw} = {v.said(draw)} (AMO) less 1.75 in and "
            "the brace height",
        )
        return
    length, ahead = "arrow.length", "bow.rest.ahead_of_string"
    if v.has(length, ahead) and stroke + v[ahead] >= v[length]:
        yield (
            length,
            f"DANGER: {v.said(length)} is too short for this bow: at full draw the rest is "
            f"{_length(stroke + v[ahead])} from the nock's throat and the shaft falls off it. Do "
            f"not draw it; check this, {draw} (AMO: 1.75 in longer than to the grip) and {ahead}",
        )


def _draw_curve(v: Values) -> Iterator[tuple[str, str]]:
    rise, fall, valley = (f"bow.draw_curve.{name}" for name in ("rise", "fall", "valley"))
    if v.has(rise, fall, valley) and v[rise] + v[fall] + v[valley] > 1.0 + 1e-9:
        yield (
            rise,
            f"{v.said(rise)}, {fall} = {v.said(fall)} and {valley} = {v.said(valley)} are more "
            "than the whole power stroke: make one of them smaller",
        )
    readings, draw, brace = "bow.draw_curve.readings", "bow.draw_length", "bow.brace_height"
    if not v.has(readings, draw, brace):
        return
    stroke = v[draw] - AMO_DRAW_EXTRA - v[brace]
    needed = math.ceil(stroke / INCH - 0.05)
    count = len(v[readings])
    if count != needed:
        yield (
            readings,
            f"{count} readings, but a power stroke of {_length(stroke)} has {needed}: one at every "
            f"inch behind {brace} = {v.said(brace)}, and the last at full draw",
        )
    peak = "bow.draw_weight"
    if v.has(peak) and abs(max(v[readings]) / v[peak] - 1.0) > _READINGS_DIFFER:
        yield (
            readings,
            f"the highest reading, {show(max(v[readings]), 'force', 'us', 1)}, is not {peak} = "
            f"{v.said(peak)}: take both from the same bow scale",
        )


def _push(v: Values) -> Iterator[tuple[str, str]]:
    nock, cams = "measured.push.nock", "measured.push.cams"
    if v.has(nock, cams) and v[nock].value <= v[cams].value:
        yield (
            nock,
            f"{v.said(nock)} is not above {cams} = {v.said(cams)}: the nocking point goes with the "
            "cams and then some. Read both from the riser",
        )


def _air(v: Values) -> Iterator[tuple[str, str]]:
    given = [key for key in _MEASURED_AIR if v.has(f"air.{key}")]
    missing = [key for key in _MEASURED_AIR if not v.is_there(f"air.{key}")]
    if given and v.has("air.altitude"):
        yield (
            "air.altitude",
            "choose: an altitude, or measured temperature, pressure and humidity. Delete it, or "
            f"delete {' and '.join(given)}",
        )
    elif given and missing:
        yield (
            f"air.{given[0]}",
            f"measured air needs all three: {' and '.join(missing)} "
            f"{'is' if len(missing) == 1 else 'are'} missing. Or give an altitude instead",
        )


def _holds(band: tuple[float, float], value: float) -> bool:
    # the same number written in two units may differ in its last digit
    slack = 1e-9 * value
    return band[0] - slack <= value <= band[1] + slack


def _bands(v: Values) -> Iterator[tuple[str, str]]:
    for one in INPUTS:
        band = f"uncertainty.{one.key}"
        if one.own and v.has(band, one.own) and not _holds(v[band], v[one.own]):
            yield (
                band,
                f"{v.said(band)} does not hold {one.own} = {v.said(one.own)} itself: widen it, "
                "or delete the line",
            )
        if one.is_factor and v.has(band) and not _holds(v[band], 1.0):
            yield band, f"{v.said(band)} does not hold 100 %, the model's own estimate"
