"""``[measured]``: readings taken at the bench, each with its error behind ``±`` if it is known.

Each is a row of :data:`vireton.uncertain.measurements.MEASUREMENTS`. Draw-force readings and the
balance point have their keys with bow and arrow.
"""

from typing import Annotated, Any

from vireton.uncertain.bench_readings import Taken
from vireton.units.kinds import ListOf
from vireton.units.quantity import Quantity
from vireton.units.reading import Reading, WithError
from vireton.units.table import Table, may, need, usual

_WAY = Quantity("length", "0 in", "4 in", "0.36 in")
_SPEEDS = ListOf(Quantity("speed", "20 fps", "650 fps", "280 fps"), 1, 50)


class PushTable(Table):
    """``[measured.push]``: the string pushed aside at brace."""

    weight: Annotated[Reading, WithError(Quantity("force", "0.5 lbf", "30 lbf", "5 lbf"))] = need(
        "What pulls the nocking point straight to the side, the bow at rest and never drawn"
    )
    nock: Annotated[Reading, WithError(_WAY)] = need("How far the nocking point goes")
    cams: Annotated[Reading, WithError(Quantity("length", "0 in", "4 in", "0.085 in"))] = need(
        "How far the cams go the same way, the mean of both"
    )


class NoteTable(Table):
    """``[measured.note]``: the undrawn string plucked."""

    frequency: Annotated[Reading, WithError(Quantity("frequency", "10 Hz", "1 kHz", "140 Hz"))] = (
        need("The lowest note of the undrawn string, plucked to the side")
    )
    free_length: Annotated[Reading, WithError(Quantity("length", "8 in", "70 in", "32 in"))] = need(
        "Of the string between the cams"
    )
    mass_per_length: Annotated[
        Reading, WithError(Quantity("mass_per_length", "1 g/m", "60 g/m", "12 g/m"))
    ] = need("Of the string with its serving")


class SpineTable(Table):
    """``[measured.own_spine]``: the own shaft on two supports."""

    deflection: Annotated[Reading, WithError(Quantity("length", "0.05 in", "4 in", "0.343 in"))] = (
        need("How far the weight bends the shaft in the middle")
    )
    span: Annotated[Reading, WithError(Quantity("length", "10 in", "40 in", "28 in"))] = usual(
        "28 in", "Between the supports"
    )
    weight: Annotated[Reading, WithError(Quantity("force", "0.2 lbf", "10 lbf", "1.94 lbf"))] = (
        usual("1.94 lbf", "What hangs in the middle")
    )


class MeasuredTable(Table):
    """``[measured]``."""

    push: PushTable | None = may(
        "The push test: a known weight to the side at the nocking point, at brace"
    )
    string_mass: Annotated[Reading | None, WithError(Quantity("mass", "1 g", "100 g", "9.6 g"))] = (
        may(
            "The string on a grain scale, with peep, loop and silencers, without the ends in the "
            "cams; takes the place of bow.string.mass"
        )
    )
    lets_go: Annotated[Reading | None, WithError(Quantity("fraction", "5 %", "100 %", "42 %"))] = (
        may("Where the rest lets go, read from film; takes the place of bow.rest.lets_go")
    )
    own_spine: SpineTable | None = may(
        "The own shaft on two supports; takes the place of arrow.shaft.spine"
    )
    note: NoteTable | None = may("The note of the undrawn string, plucked")
    speeds: Annotated[tuple[float, ...] | None, _SPEEDS] = may(
        "Through the chronograph, shot after shot; their mean takes the place of bow.arrow_speed, "
        "their spread that of scatter.speed"
    )

    @property
    def taken(self) -> dict[str, Taken]:
        """What was read, by the keys of the measurements."""
        found: dict[str, Taken] = {}
        for name in type(self).model_fields:
            value: Any = getattr(self, name)
            if value is not None:
                found[name] = dict(value) if isinstance(value, Table) else {name: value}
        return found
