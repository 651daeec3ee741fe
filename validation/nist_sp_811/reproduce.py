"""Energy of an arrow as the trade writes it, through the door for units."""

from vireton.bow.arrow import kinetic_energy
from vireton.published.checks import CaseData
from vireton.units.text import convert, parse


def _foot_pounds(mass: str, speed: str) -> float:
    joule = kinetic_energy(parse(mass, "mass"), parse(speed, "speed"))
    return convert(joule, "ft·lbf")


def reproduce(data: CaseData) -> dict[str, float]:
    return {
        "energy": _foot_pounds(data.data["mass"], data.data["speed"]),
        "divisor": 1.0 / _foot_pounds("1 gr", "1 fps"),
    }
