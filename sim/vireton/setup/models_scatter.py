"""``[scatter]``: what differs from shot to shot and from arrow to arrow."""

from typing import Annotated

from vireton.scatter import sources
from vireton.units.table import Table, may, usual


class ScatterTable(Table):
    """``[scatter]``: standard deviations (SD) of one shot or arrow; ours where none are given."""

    aim_right: Annotated[float, sources.AIM] = usual(
        "1 in at 20 yd", "Where the bow points, left and right; SD"
    )
    aim_up: Annotated[float, sources.AIM] = usual("1 in at 20 yd", "The same, up and down")
    yaw_rate: Annotated[float, sources.TURNING] = usual(
        "0.1 rad/s", "How fast the nose turns sideways as the arrow leaves the string; SD"
    )
    pitch_rate: Annotated[float, sources.TURNING] = usual("0.1 rad/s", "The same, up and down")
    yaw: Annotated[float, sources.NOSE] = usual(
        "0.1 deg", "Where the nose then points sideways, against the arrow's path; SD"
    )
    pitch: Annotated[float, sources.NOSE] = usual("0.1 deg", "The same, up and down")
    speed: Annotated[float, sources.SPEED] = usual(
        "1 fps", "Launch speed of one and the same arrow, shot after shot; SD"
    )
    gust_across: Annotated[float, sources.GUST] = usual(
        "1 mph", "Wind across the shot, from shot to shot, on top of the steady wind; SD"
    )
    gust_along: Annotated[float, sources.GUST] = usual("1 mph", "The same along the shot")
    mass: Annotated[float, sources.MASS] = usual(
        "1 gr", "Mass from arrow to arrow; the shaft is taken to make the difference; SD"
    )
    spine: Annotated[float | None, sources.SPINE] = may(
        "Static spine from arrow to arrow; without it 0.003 in where arrow.shaft.spine is known; SD"
    )
