"""``[scatter]``: what differs from shot to shot and from arrow to arrow."""

from dataclasses import dataclass
from typing import Annotated, Any

from vireton.units.kind import shown
from vireton.units.quantity import Quantity
from vireton.units.seen_angle import parse_seen_angle
from vireton.units.table import Table, may, usual
from vireton.units.text import parse


@dataclass(frozen=True)
class SeenAngle(Quantity):
    """An angle, or a length seen at a distance: ``"1 in at 20 yd"``."""

    def read(self, value: object) -> float:
        """The angle in rad."""
        if not isinstance(value, str) or " at " not in value.lower():
            return super().read(value)
        angle = parse_seen_angle(value, like=self.like)
        low, high = self.bounds
        if not low <= angle <= high:
            per = parse("20 yd", "length") / parse("1 in", "length")
            raise ValueError(
                f"{shown(value)} is outside {low * per:.3g} to {high * per:.3g} in at 20 yd"
            )
        return angle

    def describe(self) -> dict[str, Any]:
        """A string; both spellings."""
        return {"type": "string", "x-range": f"{self.low} to {self.high}", "examples": [self.like]}


_AIM = SeenAngle("angle", "0 mrad", "50 mrad", "1 in at 20 yd")
_NOSE = Quantity("angle", "0 deg", "5 deg", "0.1 deg")
_RATE = Quantity("angular_rate", "0 rad/s", "10 rad/s", "0.1 rad/s")
_GUST = Quantity("speed", "0 mph", "40 mph", "1 mph")


class ScatterTable(Table):
    """``[scatter]``: standard deviations (SD) of one shot or arrow; ours where none are given."""

    aim_right: Annotated[float, _AIM] = usual(
        "1 in at 20 yd", "Where the bow points, left and right; SD"
    )
    aim_up: Annotated[float, _AIM] = usual("1 in at 20 yd", "The same, up and down")
    yaw_rate: Annotated[float, _RATE] = usual(
        "0.1 rad/s", "How fast the nose turns sideways as the arrow leaves the string; SD"
    )
    pitch_rate: Annotated[float, _RATE] = usual("0.1 rad/s", "The same, up and down")
    yaw: Annotated[float, _NOSE] = usual(
        "0.1 deg", "Where the nose then points sideways, against the arrow's path; SD"
    )
    pitch: Annotated[float, _NOSE] = usual("0.1 deg", "The same, up and down")
    speed: Annotated[float, Quantity("speed", "0 fps", "15 fps", "1 fps")] = usual(
        "1 fps", "Launch speed of one and the same arrow, shot after shot; SD"
    )
    gust_across: Annotated[float, _GUST] = usual(
        "1 mph", "Wind across the shot, from shot to shot, on top of the steady wind; SD"
    )
    gust_along: Annotated[float, _GUST] = usual("1 mph", "The same along the shot")
    mass: Annotated[float, Quantity("mass", "0 gr", "30 gr", "1 gr")] = usual(
        "1 gr", "Mass from arrow to arrow; the shaft is taken to make the difference; SD"
    )
    spine: Annotated[float | None, Quantity("length", "0 in", "0.05 in", "0.003 in")] = may(
        "Static spine from arrow to arrow; without it 0.003 in where arrow.shaft.spine is known; SD"
    )
