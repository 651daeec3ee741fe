"""FOC from two lengths, and from parts."""

from vireton.bow.arrow import assemble, front_of_center
from vireton.bow.parts import ArrowParts, Nock, Point, Shaft
from vireton.published.checks import CaseData
from vireton.units.numbers import GRAIN, INCH


def reproduce(data: CaseData) -> dict[str, float]:
    values = data.data
    tube = Shaft(
        values["tube_inches"] * INCH,
        0.25 * INCH,
        0.2 * INCH,
        values["tube_grains_per_inch"] * GRAIN / INCH,
    )
    parts = ArrowParts(
        name="tube and lump",
        length=values["length_inches"] * INCH,
        nock=Nock(0.0, values["nock_inches"] * INCH),
        shaft=tube,
        point=Point(values["point_grains"] * GRAIN, 0.0, "blunt"),
    )
    return {
        "given": 100.0 * front_of_center(values["balance_inches"], values["length_inches"]),
        "from_parts": 100.0 * assemble(parts).foc,
    }
