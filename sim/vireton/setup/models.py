"""The tables and keys of a setup file: what each is, what it may be, what it is without.

Every value is an annotation of a kind (:mod:`vireton.units.kinds`) that reads it into SI; the
descriptions are what the JSON Schema and an editor show.
"""

from typing import Annotated, get_args

from pydantic import Field

from vireton.bow.bow import Cams, Hand, RestType
from vireton.bow.parts import VaneOutline, VaneTurn
from vireton.setup.models_head import BroadheadTable, PointTable
from vireton.units.kinds import Choice, Count, ListOf, Number, Text
from vireton.units.quantity import Quantity, Spine
from vireton.units.table import Table, may, need, usual

SCHEMA_VERSION = 1


_NOCK_TRAVEL = ListOf(Quantity("length", "-1 in", "1 in", "0.01 in"), 2, 50)
_READINGS = ListOf(Quantity("force", "0.1 lbf", "250 lbf", "30 lbf"), 4, 40)
_OFFSET = Quantity("angle", "0 deg", "15 deg", "1.5 deg", 'turn says which way, "left" or "right"')
_FIXING = Quantity("length", "-1/2 in", "1/2 in", "1/16 in")


class StringTable(Table):
    """``[bow.string]``."""

    mass: Annotated[float, Quantity("mass", "1 g", "100 g", "10 g")] = usual(
        "10 g",
        "The free string between the cams, half drawn, with all that is tied to it: peep, loop, "
        "silencers, serving",
    )
    cam_mass: Annotated[float, Quantity("mass", "20 g", "3 kg", "200 g")] = usual(
        "200 g",
        "What the string pulls sideways against: cams, axles and limb tips of both ends together "
        "(our choice; 100 to 400 g on most compounds)",
    )
    cam_stiffness: Annotated[float, Quantity("stiffness", "0.1 N/mm", "1000 N/mm", "10 N/mm")] = (
        usual(
            "10 N/mm",
            "How hard the limbs hold the cams against a sideways push, both ends together (our "
            "choice; hardly anyone knows it better than 1 to 100 N/mm)",
        )
    )
    cam_damping: Annotated[float, Quantity("fraction", "0 %", "100 %", "5 %")] = usual(
        "5 %", "How fast a sideways swing of the cams dies, of critical damping (our choice)"
    )
    brace_tension: Annotated[float, Quantity("fraction", "100 %", "400 %", "150 %")] = usual(
        "150 %",
        "The string's tension in the shot near brace, where it stops limbs and cams, of that on a "
        "bow drawn slowly (our choice)",
    )
    nock_stiffness: Annotated[
        float, Quantity("turning_stiffness", "0 N·m/rad", "100 N·m/rad", "0.1 N·m/rad")
    ] = usual(
        "0 N·m/rad",
        "How hard loop and nock resist a turn of the nock up or down on the string",
    )


class DrawCurveTable(Table):
    """``[bow.draw_curve]``: the shape of the draw-force curve, or readings of it."""

    rise: Annotated[float, Quantity("fraction", "5 %", "90 %", "25 %")] = usual(
        "25 %", "From brace up to the peak weight, of the power stroke (our choice)"
    )
    fall: Annotated[float, Quantity("fraction", "5 %", "90 %", "28 %")] = usual(
        "28 %", "From the peak down to the holding weight, of the power stroke (our choice)"
    )
    valley: Annotated[float, Quantity("fraction", "0 %", "50 %", "0 %")] = usual(
        "0 %", "At the holding weight before the wall, of the power stroke (our choice)"
    )
    readings: Annotated[tuple[float, ...] | None, _READINGS] = may(
        "Bow scale every inch from brace height on, the last one at full draw; takes the place of "
        "rise, fall and valley"
    )


class ReleaseTable(Table):
    """``[bow.release]``."""

    kick_right: Annotated[float, Quantity("speed", "-3 m/s", "3 m/s", "0.1 m/s")] = usual(
        "0 m/s", "Speed to the right that the release gives to the nock, left negative"
    )
    kick_up: Annotated[float, Quantity("speed", "-3 m/s", "3 m/s", "0.1 m/s")] = usual(
        "0 m/s", "The same upwards; only a bow with a free idler lets the nock follow it"
    )


class RestTable(Table):
    """``[bow.rest]``."""

    type: Annotated[RestType, Choice(get_args(RestType))] = need("Kind of rest")
    lets_go: Annotated[float, Quantity("fraction", "5 %", "100 %", "45 %")] = need(
        "Share of the power stroke, from full draw, after which the rest no longer touches the "
        "shaft; 100 % holds to the end"
    )
    ahead_of_string: Annotated[float, Quantity("length", "1 in", "20 in", "6.5 in")] = need(
        "From the string at brace height forward to where the shaft lies on the rest"
    )
    offset_right: Annotated[float, _FIXING] = usual(
        "0 in", "Shaft's center on the rest right of the string's line, left negative"
    )
    offset_up: Annotated[float, _FIXING] = usual(
        "0 in", "Shaft's center on the rest above the square line from the nock, below negative"
    )
    step: Annotated[float, Quantity("length", "0.001 in", "1/4 in", "1/32 in")] = usual(
        "1/32 in", "The smallest move that this rest can be given"
    )
    stiffness: Annotated[float | None, Quantity("stiffness", "0.1 N/mm", "100 N/mm", "5 N/mm")] = (
        may("Of rest and riser under the shaft; without it a usual one for this kind of rest")
    )


class BowTable(Table):
    """``[bow]``."""

    name: Annotated[str, Text("Mill bow")] = need("What you call the bow")
    hand: Annotated[Hand, Choice(get_args(Hand))] = need(
        "right: drawn with the right hand; changes words such as in and out, no number"
    )
    draw_weight: Annotated[float, Quantity("force", "1 lbf", "200 lbf", "60 lbf")] = need(
        "Peak draw weight on a bow scale"
    )
    let_off: Annotated[float, Quantity("fraction", "0 %", "95 %", "80 %")] = need(
        "Share of the peak weight that is gone at full draw"
    )
    draw_length: Annotated[float, Quantity("length", "12 in", "40 in", "29 in")] = need(
        "AMO draw length: nock throat to the grip's deepest point at full draw, plus 1 3/4 in"
    )
    brace_height: Annotated[float, Quantity("length", "3 in", "12 in", "6.5 in")] = need(
        "Grip's deepest point to the string at rest"
    )
    arrow_speed: Annotated[float, Quantity("speed", "20 fps", "650 fps", "280 fps")] = need(
        "Chronograph speed of the fletched arrow of this file from this bow"
    )
    minimum_arrow_mass: Annotated[
        float | None, Quantity("mass_per_force", "1 gr/lbf", "30 gr/lbf", "5 gr/lbf")
    ] = may("The bow maker's lightest arrow per pound of draw weight")
    nock_travel_right: Annotated[tuple[float, ...] | None, _NOCK_TRAVEL] = may(
        "Path of the nock right of the bore line, equal steps from full draw to release"
    )
    nock_travel_up: Annotated[tuple[float, ...] | None, _NOCK_TRAVEL] = may(
        "Path of the nock above the bore line, equal steps from full draw to release"
    )
    string: StringTable = Field(
        default_factory=StringTable, description="The string and how it gives sideways"
    )
    draw_curve: DrawCurveTable = Field(
        default_factory=DrawCurveTable, description="The shape of the draw-force curve"
    )
    rest: RestTable = need("The arrow rest")
    release: ReleaseTable = Field(
        default_factory=ReleaseTable, description="What the release does to the nock"
    )
    cams: Annotated[Cams, Choice(get_args(Cams))] = usual(
        "tied",
        "tied: cams that turn together and hold the nock's height; idler: a free wheel at one end",
    )
    axle_to_axle: Annotated[float, Quantity("length", "20 in", "60 in", "33 in")] = usual(
        "33 in", "Between the axles of the cams; counts for a free idler only"
    )


class NockTable(Table):
    """``[arrow.nock]``."""

    mass: Annotated[float, Quantity("mass", "0 gr", "200 gr", "9 gr")] = need(
        "Nock with its bushing or pin, or a lighted nock with all that belongs to it"
    )
    throat_to_shaft: Annotated[float, Quantity("length", "0 in", "3 in", "0.35 in")] = need(
        "From the nock's throat forward to the rear end of the shaft"
    )


class ShaftTable(Table):
    """``[arrow.shaft]``."""

    outside_diameter: Annotated[float, Quantity("length", "0.1 in", "0.7 in", "0.246 in")] = need(
        "Outside diameter by caliper, clear of wrap and collar"
    )
    inside_diameter: Annotated[float, Quantity("length", "0 in", "0.7 in", "0.204 in")] = need(
        "Inside diameter; 0 in for a solid shaft"
    )
    mass_per_length: Annotated[
        float, Quantity("mass_per_length", "1 gr/in", "50 gr/in", "8.5 gr/in")
    ] = need(
        "Bare tube: its weight divided by its length. A file that leaves it out does not list its "
        "arrow's parts: the shaft is what arrow.mass leaves, insert and vanes are usual ones"
    )
    spine: Annotated[float | None, Spine()] = may(
        "Static spine: deflection with 1.94 lb on a 28 in span; a 340 shaft is 0.340 in"
    )


class InsertTable(Table):
    """``[arrow.insert]``."""

    mass: Annotated[float, Quantity("mass", "0 gr", "500 gr", "16 gr")] = need(
        "Insert, outsert, half-out and collar together"
    )
    length: Annotated[float, Quantity("length", "0.05 in", "6 in", "0.9 in")] = need(
        "How far it reaches back from the front end of the shaft"
    )


class VanesTable(Table):
    """``[arrow.vanes]``."""

    count: Annotated[
        int,
        Count(2, 6, 3),
    ] = need("How many vanes, evenly spaced")
    length: Annotated[float, Quantity("length", "0.2 in", "8 in", "2 in")] = need(
        "Along the shaft, at the base"
    )
    height: Annotated[float, Quantity("length", "0.05 in", "2 in", "0.5 in")] = need(
        "Above the shaft, at the highest place"
    )
    thickness: Annotated[float, Quantity("length", "0.1 mm", "5 mm", "0.8 mm")] = need(
        "Of the blade, half way up"
    )
    mass: Annotated[float, Quantity("mass", "0 gr", "100 gr", "6.5 gr")] = need(
        "One vane with its glue"
    )
    rear_from_throat: Annotated[float, Quantity("length", "0 in", "20 in", "1.1 in")] = need(
        "From the nock's throat forward to the rear end of the vanes"
    )
    offset: Annotated[float, _OFFSET] = usual(
        "0 deg",
        "Angle between vane and shaft, mean over its length where helical; see turn. In a file "
        "without arrow.shaft.mass_per_length it is 1.5 deg where it is left open, with wider bands",
    )
    turn: Annotated[VaneTurn, Choice(get_args(VaneTurn))] = usual(
        "right", "Which way the offset spins the arrow, seen by the archer: right is clockwise"
    )
    outline: Annotated[VaneOutline, Choice(get_args(VaneOutline))] = usual(
        "parabola",
        "Seen from the side: rectangle, trapezoid (top half as long as the base), parabola "
        "(rounded front), triangle",
    )
    angle: Annotated[float | None, Quantity("angle", "-180 deg", "180 deg", "0 deg")] = may(
        "Two vanes only: the first one from upright as the arrow is nocked, clockwise for the "
        "archer; without it every angle is taken as equally likely, upright as the nominal one"
    )


class WrapTable(Table):
    """``[arrow.wrap]``."""

    mass: Annotated[float, Quantity("mass", "0 gr", "100 gr", "5 gr")] = need("The wrap")
    length: Annotated[float, Quantity("length", "0.5 in", "20 in", "4 in")] = need(
        "From the rear end of the shaft forward"
    )


class BareTapeTable(Table):
    """``[arrow.bare_tape]``: tape on the bare shaft in place of the vanes' weight."""

    mass: Annotated[float, Quantity("mass", "0 gr", "200 gr", "21 gr")] = need(
        "The tape on the bare shaft; as much as the vanes brings both to one weight"
    )
    from_throat: Annotated[float, Quantity("length", "0.5 in", "30 in", "2.5 in")] = need(
        "Nock's throat to the middle of the tape"
    )


class ArrowTable(Table):
    """``[arrow]``."""

    name: Annotated[str, Text("Maple 340")] = need("What you call the arrow")
    length: Annotated[float, Quantity("length", "8 in", "60 in", "28 1/2 in")] = need(
        "Nock's throat to the front end of the shaft, without insert and point"
    )
    mass: Annotated[float | None, Quantity("mass", "30 gr", "3000 gr", "415 gr")] = may(
        "Finished, fletched arrow on a scale; wins over what the parts add up to"
    )
    balance: Annotated[float | None, Quantity("length", "1 in", "60 in", "17.5 in")] = may(
        "Finished, fletched arrow on a knife edge: nock's throat to the balance point; wins over "
        "what the parts give"
    )
    drag_coefficient: Annotated[float | None, Number(0.2, 20.0, 2.0)] = may(
        "Measured drag coefficient of the fletched arrow on the shaft's cross-section; replaces "
        "the drag model"
    )
    nock: NockTable = need("The nock")
    shaft: ShaftTable = need("The shaft")
    insert: InsertTable | None = may("The insert; leave out where the point glues in by itself")
    point: PointTable = need("The point")
    broadhead: BroadheadTable | None = may(
        "A broadhead that takes the point's place; the sight stays set with the point"
    )
    vanes: VanesTable | None = may("The vanes; leave out for a shaft without any")
    wrap: WrapTable | None = may("The wrap")
    bare_tape: BareTapeTable | None = may("Tape on the bare shaft; leave out where it has none")
