"""The standard atmosphere by height."""

from vireton.flight.air import standard
from vireton.published.checks import CaseData


def reproduce(data: CaseData) -> dict[str, float]:
    ours = {}
    for height in data.data["heights"]:
        air = standard(height)
        ours[f"density_{height:.0f}"] = air.density
        ours[f"viscosity_{height:.0f}"] = 1e5 * air.viscosity
        ours[f"sound_{height:.0f}"] = air.speed_of_sound
    return ours
