"""The tables of a setup file around bow and arrow: air, wind, sight, uncertainty, and the whole."""

from typing import TYPE_CHECKING, Annotated, Any, Literal, get_args

from pydantic import Field, create_model, model_validator

from vireton.bow.bow import LaunchModel
from vireton.setup.models import SCHEMA_VERSION, ArrowTable, BowTable
from vireton.setup.models_scatter import ScatterTable
from vireton.studies.rules import Limit
from vireton.uncertain.inputs import INPUTS
from vireton.units.kinds import Choice, Number, OrNone, Text, Version
from vireton.units.quantity import Quantity
from vireton.units.table import Table, may, need, usual


class AirTable(Table):
    """``[air]``: an altitude, or all three of temperature, pressure and humidity."""

    altitude: Annotated[float | None, Quantity("length", "-1500 ft", "30000 ft", "500 ft")] = may(
        "Above sea level, in the air of the 1976 standard atmosphere; instead of the other three"
    )
    temperature: Annotated[
        float | None, Quantity("temperature", "-40 degF", "130 degF", "68 degF")
    ] = may("Measured, in the shade")
    pressure: Annotated[float | None, Quantity("pressure", "9 inHg", "35 inHg", "29.92 inHg")] = (
        may("Measured at the place itself, not reduced to sea level as weather reports are")
    )
    humidity: Annotated[float | None, Quantity("fraction", "0 %", "100 %", "50 %")] = may(
        "Measured relative humidity"
    )


class WindTable(Table):
    """``[wind]``."""

    speed: Annotated[float, Quantity("speed", "0 mph", "130 mph", "10 mph")] = need(
        "Steady wind where the arrow flies"
    )
    from_clock: Annotated[float, Number(0.0, 12.0, 3.0, above=True)] = need(
        "Where it comes from, as on a clock face: 12 in the face, 3 from the right, 6 from behind"
    )
    profile_exponent: Annotated[float, Number(0.0, 0.6, 0.14)] = usual(
        0.0,
        "How the wind grows with height, as (height / reference_height) to this power: 0 not at "
        "all, about 0.14 over open ground, 0.25 over bushes (common engineering practice)",
    )
    reference_height: Annotated[float, Quantity("length", "1 ft", "200 ft", "2 m")] = usual(
        "2 m", "Height above ground at which the speed holds; weather reports mean 10 m"
    )


class SightTable(Table):
    """``[sight]``."""

    sight_in: Annotated[float | None, Quantity("length", "2 yd", "300 yd", "20 yd")] = may(
        "Distance at which the fletched arrow hits where you aim; without it impacts are measured "
        "from the bore line, but for a file without arrow.shaft.mass_per_length, where it is 20 yd"
    )
    height_above_arrow: Annotated[float, Quantity("length", "0 in", "12 in", "3.5 in")] = usual(
        "3.5 in", "Line of sight above the arrow, half way between peep and pin"
    )
    click_at_20yd: Annotated[float | None, Quantity("length", "0.001 in", "3 in", "0.1 in")] = may(
        "How far one click of the sight moves the arrow at 20 yd"
    )
    radius: Annotated[float | None, Quantity("length", "5 in", "60 in", "33 in")] = may(
        "From the peep to the pin"
    )


def _uncertainty() -> dict[str, Any]:
    """The fields of the table: a band for each uncertain input that can be typed."""
    fields: dict[str, Any] = {}
    for one in INPUTS:
        if one.kind is not None and one.written is None:
            fields[one.key] = (
                Annotated[tuple[float, float] | None, one.kind],
                may(one.description),
            )
        elif one.kind is not None:
            fields[one.key] = (
                Annotated[tuple[float, float], one.kind],
                usual(one.written, one.description),
            )
    return fields


if TYPE_CHECKING:
    UncertaintyTable = Table
else:
    UncertaintyTable = create_model(
        "UncertaintyTable",
        __base__=Table,
        __module__=__name__,
        __doc__="``[uncertainty]``: plausible low and high of what is seldom measured.",
        **_uncertainty(),
    )


class ExperienceTable(Table):
    """``[experience]``: how often the trade's rules for the rest hold; it weighs plausible bows."""

    sideways_rule: Annotated[float | None, OrNone(Quantity("fraction", "1 %", "99 %", "75 %"))] = (
        usual(
            "75 %",
            "Of bows in which a rest moved right brings back a bare shaft that lands right (rule: "
            "common practice, no source; 3 in 4: our choice, put in what your shop sees); "
            '"none": the launch model alone',
        )
    )
    up_rule: Annotated[float | None, OrNone(Quantity("fraction", "1 %", "99.9 %", "98 %"))] = usual(
        "98 %",
        "Of bows, at least, in which a rest moved up brings up a bare shaft that lands low (the "
        'rule: common practice, no source; the share: our choice); "none": the launch model alone',
    )


class CostsTable(Table):
    """``[costs]``: what things cost at your bench, in arrows shot; the tuning weighs them."""

    arrow: Annotated[float, Number(0.01, 100.0, 1.0)] = usual(1.0, "One more in the target")
    tear: Annotated[float, Number(0.01, 100.0, 1.0)] = usual(1.0, "One more in paper")
    move: Annotated[float, Number(0.0, 100.0, 1.5)] = usual(1.5, "A move of the rest")
    nock: Annotated[float, Number(0.0, 100.0, 4.0)] = usual(4.0, "A move of the nocking point")
    inch_left: Annotated[float, Number(1.0, 1e5, 150.0)] = usual(
        150.0,
        "An inch that is left at 20 yd, to whoever shoots the bow; half an inch costs a quarter of "
        "it. More: nearer, with more arrows",
    )
    film: Annotated[float, Number(0.01, 100.0, 3.0)] = usual(
        3.0, "One arrow filmed, and its marks set"
    )
    phone_on_stand: Annotated[Literal["yes", "no"], Choice(("yes", "no"))] = usual(
        "no", "Whether a phone on a stand can film the first ten feet of the flight"
    )


class RuleTable(Table):
    """One of ``[[rules]]``: limits that the user has read somewhere, to compare numbers with."""

    name: Annotated[str, Text("Large game")] = need("What the rule is about")
    place: Annotated[str, Text("Maple County")] = need("Where it holds, or whose rule it is")
    date: Annotated[str, Text("1 September 2026")] = need("Of the text that you read")
    least_energy: Annotated[
        float | None, Quantity("energy", "1 ft·lbf", "500 ft·lbf", "40 ft·lbf")
    ] = may("Kinetic energy of the arrow at the bow, at least")
    least_arrow_mass: Annotated[float | None, Quantity("mass", "1 gr", "3000 gr", "300 gr")] = may(
        "Finished arrow, at least"
    )
    least_mass_per_draw_weight: Annotated[
        float | None, Quantity("mass_per_force", "0.1 gr/lbf", "30 gr/lbf", "5 gr/lbf")
    ] = may("Arrow mass per pound of draw weight, at least")
    least_draw_weight: Annotated[float | None, Quantity("force", "1 lbf", "200 lbf", "40 lbf")] = (
        may("Peak draw weight, at least")
    )
    most_draw_weight: Annotated[float | None, Quantity("force", "1 lbf", "200 lbf", "60 lbf")] = (
        may("Peak draw weight, at most")
    )
    most_speed: Annotated[float | None, Quantity("speed", "20 fps", "650 fps", "300 fps")] = may(
        "Arrow speed, at most"
    )
    most_let_off: Annotated[float | None, Quantity("fraction", "1 %", "99 %", "80 %")] = may(
        "Let-off, at most"
    )
    most_shaft_diameter: Annotated[
        float | None, Quantity("length", "0.1 in", "0.7 in", "9.3 mm")
    ] = may("Outside diameter of the shaft, at most")

    @property
    def limits(self) -> dict[Limit, float]:
        """The limits that are given, SI."""
        given = ((limit, getattr(self, limit)) for limit in get_args(Limit))
        return {limit: bound for limit, bound in given if bound is not None}

    @model_validator(mode="after")
    def _has_a_limit(self) -> "RuleTable":
        if not self.limits:
            raise ValueError(f"gives no limit; write at least one of {', '.join(get_args(Limit))}")
        return self


class SetupFile(Table):
    """The whole file."""

    # `schema` itself would hide a method of every model
    version: Annotated[int, Version(SCHEMA_VERSION)] = Field(
        alias="schema", description="Version of this file's layout"
    )
    name: Annotated[str | None, Text("Mill bow with Maple 340")] = may("What you call this setup")
    launch: Annotated[LaunchModel, Choice(get_args(LaunchModel))] = usual(
        "flexible", "flexible: the shaft bends where its spine is given; rigid: it does not"
    )
    bow: BowTable = need("The bow")
    arrow: ArrowTable = need("The arrow")
    air: AirTable = Field(default_factory=AirTable, description="The air; without it sea level")
    wind: WindTable | None = may("The wind; without it still air")
    sight: SightTable = Field(default_factory=SightTable, description="The sight")
    uncertainty: UncertaintyTable = Field(
        default_factory=UncertaintyTable,
        description="Plausible low and high of what is seldom measured",
    )
    experience: ExperienceTable = Field(
        default_factory=ExperienceTable,
        description="How often the trade's rules for the rest hold",
    )
    costs: CostsTable = Field(
        default_factory=CostsTable, description="What things cost when a bow is tuned"
    )
    scatter: ScatterTable = Field(
        default_factory=ScatterTable,
        description="What differs from shot to shot and from arrow to arrow",
    )
    rules: tuple[RuleTable, ...] | None = may(
        "Limits to compare the setup's numbers with, each a [[rules]] of its own"
    )
