"""From checked models to the SI dataclasses of the library."""

from collections.abc import Collection
from dataclasses import replace

from vireton.bow.bow import AMO_DRAW_EXTRA, Bow, DrawCurve, LaunchModel, Rest, RestType, Sight
from vireton.bow.parts import ArrowParts, BareTape, Blades, Insert, Nock, Point, Shaft, Vanes, Wrap
from vireton.bow.plan_form import blade_shape
from vireton.flight.air import Air, from_measured, standard
from vireton.scatter.sources import SOURCES, Scatter
from vireton.setup.models import ArrowTable, BowTable
from vireton.setup.models_around import AirTable, SetupFile, SightTable
from vireton.setup.models_scatter import ScatterTable
from vireton.studies.rules import Rule
from vireton.uncertain.bench_readings import spread_of
from vireton.uncertain.inputs import plausible_ranges
from vireton.uncertain.row import Pieces, Range
from vireton.units.numbers import INCH, YARD
from vireton.units.text import parse

#: From arrow to arrow, where the file gives none (our judgment, no source).
_SPINE_SPREAD = "0.003 in"

#: N/m of rest and riser under the shaft, where the file gives none (our judgment, no source).
_REST_STIFFNESS: dict[RestType, float] = {
    "drop-away": 5000.0,
    "launcher": 2000.0,
    "containment": 2500.0,
}


def build_bow(table: BowTable, launch_model: LaunchModel = "flexible") -> Bow:
    """The bow with its string and rest."""
    rest = table.rest
    return Bow(
        name=table.name,
        draw_weight=table.draw_weight,
        let_off=table.let_off,
        draw_length=table.draw_length,
        brace_height=table.brace_height,
        arrow_speed=table.arrow_speed,
        rest=Rest(
            type=rest.type,
            lets_go=rest.lets_go,
            ahead_of_string=rest.ahead_of_string,
            offset_right=rest.offset_right,
            offset_up=rest.offset_up,
            stiffness=rest.stiffness or _REST_STIFFNESS[rest.type],
        ),
        string_mass=table.string.mass,
        cam_mass=table.string.cam_mass,
        cam_stiffness=table.string.cam_stiffness,
        cam_damping=table.string.cam_damping,
        draw_curve=_draw_curve(table),
        brace_tension=table.string.brace_tension,
        hand=table.hand,
        nock_travel_right=table.nock_travel_right or (),
        nock_travel_up=table.nock_travel_up or (),
        minimum_mass_per_draw_weight=table.minimum_arrow_mass,
        launch_model=launch_model,
        cams=table.cams,
        axle_to_axle=table.axle_to_axle,
        nock_stiffness=table.string.nock_stiffness,
        kick_right=table.release.kick_right,
        kick_up=table.release.kick_up,
    )


def _draw_curve(table: BowTable) -> DrawCurve:
    curve = table.draw_curve
    if curve.readings is None:
        return DrawCurve(curve.rise, curve.fall, curve.valley)
    stroke = table.draw_length - AMO_DRAW_EXTRA - table.brace_height
    inches = [INCH * (i + 1) for i in range(len(curve.readings) - 1)]
    return DrawCurve(points=tuple(zip((*inches, stroke), curve.readings, strict=True)))


def build_parts(table: ArrowTable) -> ArrowParts:
    """The parts of the arrow."""
    nock, shaft, point = table.nock, table.shaft, table.point
    insert, wrap, tape = table.insert, table.wrap, table.bare_tape
    return ArrowParts(
        name=table.name,
        length=table.length,
        nock=Nock(nock.mass, nock.throat_to_shaft),
        shaft=Shaft(
            length=table.length - nock.throat_to_shaft,
            outside_diameter=shaft.outside_diameter,
            inside_diameter=shaft.inside_diameter,
            mass_per_length=shaft.mass_per_length,
            spine_deflection=shaft.spine,
        ),
        point=Point(point.mass, point.length, point.shape, point.edge_radius, point.head_diameter),
        insert=None if insert is None else Insert(insert.mass, insert.length),
        vanes=_vanes(table),
        wrap=None if wrap is None else Wrap(wrap.mass, wrap.length),
        bare_tape=None if tape is None else BareTape(tape.mass, tape.from_throat),
        measured_mass=table.mass,
        measured_balance=table.balance,
        broadhead=_broadhead(table),
    )


def _broadhead(table: ArrowTable) -> Point | None:
    head = table.broadhead
    if head is None:
        return None
    whole = Blades(
        count=head.blades,
        cutting_diameter=head.cutting_diameter,
        length=head.blade_length,
        thickness=head.blade_thickness,
        ferrule_diameter=head.ferrule_diameter,
        rear_from_shaft=head.blades_ahead,
        angle=head.blade_angle or 0.0,
    )
    blades = replace(whole, area=(1.0 - head.cut_out) * blade_shape(whole).area)
    return Point(head.mass, head.length, blades=blades)


def _vanes(table: ArrowTable) -> Vanes | None:
    vanes = table.vanes
    if vanes is None:
        return None
    return Vanes(
        count=vanes.count,
        length=vanes.length,
        height=vanes.height,
        thickness=vanes.thickness,
        mass=vanes.mass,
        rear_from_throat=vanes.rear_from_throat,
        offset=vanes.offset,
        turn=vanes.turn,
        outline=vanes.outline,
        angle=vanes.angle or 0.0,
    )


def build_air(table: AirTable) -> Air:
    """The measured air, or the standard one at the altitude (0 m without any)."""
    if table.temperature is None or table.pressure is None or table.humidity is None:
        return standard(table.altitude or 0.0)
    return from_measured(table.temperature, table.pressure, table.humidity)


def build_rules(models: SetupFile) -> tuple[Rule, ...]:
    """The limits that the file gives, as typed."""
    return tuple(Rule(one.name, one.place, one.date, one.limits) for one in models.rules or ())


def build_scatter(
    table: ScatterTable, parts: ArrowParts, speeds: tuple[float, ...] = ()
) -> Scatter:
    """Standard deviations of shots and arrows, SI; ``speeds`` m/s as the chronograph read them."""
    spread = spread_of(speeds)
    if spread and "speed" not in table.model_fields_set:
        table = table.model_copy(update={"speed": spread})
    spine = table.spine
    if spine is None:
        known = parts.shaft.spine_deflection is not None
        spine = parse(_SPINE_SPREAD, "length") if known else 0.0
    return Scatter(
        **{name: getattr(table, name) for name in SOURCES if name != "spine"}, spine=spine
    )


def build_ranges(
    models: SetupFile, bow: Bow, parts: ArrowParts, left_open: Collection[str] = ()
) -> dict[str, Range]:
    """Plausible low and high of each uncertain number, SI; factors are 1 for the best estimate.

    ``left_open``: keys that the file leaves open and usual values stand in for.
    """

    def is_known(key: str) -> bool:
        value: object = models
        for name in key.split("."):
            value = getattr(value, name, None)
        return value is not None

    given = {key: pair for key, pair in models.uncertainty if pair is not None}
    return plausible_ranges(Pieces(bow, parts), given, is_known, left_open)


def build_sight(models: SightTable) -> Sight:
    """The sight."""
    click = models.click_at_20yd
    return Sight(
        models.sight_in,
        models.height_above_arrow,
        None if click is None else click / (20.0 * YARD),
        models.radius,
    )
