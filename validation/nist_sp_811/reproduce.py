"""Energy of an arrow as the trade writes it, through the door for units."""

from vireton.arrow import kinetic_energy
from vireton.units import convert, parse
from vireton.validation import CaseData


def _foot_pounds(mass: str, speed: str) -> float:
    joule = kinetic_energy(parse(mass, "mass"), parse(speed, "speed"))
    return convert(joule, "ft·lbf")


def reproduce(data: CaseData) -> dict[str, float]:
    return {
        "energy": _foot_pounds(data.data["mass"], data.data["speed"]),
        "divisor": 1.0 / _foot_pounds("1 gr", "1 fps"),
    }
