"""Six kinds of weather: density, viscosity, speed of sound."""

from vireton.flight.air import from_measured
from vireton.published.checks import CaseData


def reproduce(data: CaseData) -> dict[str, float]:
    ours = {}
    for name, (celsius, pressure, humidity) in data.data["weather"].items():
        air = from_measured(273.15 + celsius, pressure, humidity)
        ours[f"density_{name}"] = air.density
        ours[f"viscosity_{name}"] = 1e5 * air.viscosity
        ours[f"sound_{name}"] = air.speed_of_sound
    return ours
