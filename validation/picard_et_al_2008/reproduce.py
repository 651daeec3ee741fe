"""Moist air from thermometer, barometer and hygrometer."""

from vireton.flight.air import from_measured
from vireton.published.checks import CaseData


def reproduce(data: CaseData) -> dict[str, float]:
    pressure = data.data["pressure"]
    return {
        name: from_measured(273.15 + celsius, pressure, humidity).density
        for name, (celsius, humidity) in data.data["weather"].items()
    }
