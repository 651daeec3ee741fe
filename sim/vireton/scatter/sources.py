"""What differs from shot to shot and from arrow to arrow."""

from dataclasses import dataclass, fields

from vireton.units.quantity import Quantity
from vireton.units.seen_angle import SeenAngle

#: How an SD is typed, and how large it may be: of the aim, of the nose's angle and turning as the
#: arrow leaves the string, of speed, wind, mass and spine.
AIM = SeenAngle("angle", "0 mrad", "50 mrad", "1 in at 20 yd")
NOSE = Quantity("angle", "0 deg", "5 deg", "0.1 deg")
TURNING = Quantity("angular_rate", "0 rad/s", "10 rad/s", "0.1 rad/s")
SPEED = Quantity("speed", "0 fps", "15 fps", "1 fps")
GUST = Quantity("speed", "0 mph", "40 mph", "1 mph")
MASS = Quantity("mass", "0 gr", "30 gr", "1 gr")
SPINE = Quantity("length", "0 in", "0.05 in", "0.003 in")


@dataclass(frozen=True)
class Scatter:
    """Standard deviations (SD) of what differs between shots. Normal, independent, ≥ 0; 0 is off.

    ``aim_right``, ``aim_up`` rad: where the bow points. ``yaw``, ``pitch`` rad and ``yaw_rate``,
    ``pitch_rate`` rad/s: how the arrow leaves the string, on top of the launch model. ``speed``
    m/s: of the launch, at one and the same arrow mass. ``gust_across``, ``gust_along`` m/s: of the
    wind's parts across and along the shot, on top of the steady wind; one gust lasts a flight.
    ``mass`` kg and ``spine`` m of deflection: from arrow to arrow; the shaft takes the difference
    in mass, and a heavier arrow leaves the bow more slowly.
    """

    aim_right: float = 0.0
    aim_up: float = 0.0
    yaw_rate: float = 0.0
    pitch_rate: float = 0.0
    speed: float = 0.0
    gust_across: float = 0.0
    gust_along: float = 0.0
    yaw: float = 0.0
    pitch: float = 0.0
    mass: float = 0.0
    spine: float = 0.0

    def __post_init__(self) -> None:
        for name in SOURCES:
            if not 0.0 <= getattr(self, name) < float("inf"):
                raise ValueError(f"{name}: an SD is 0 or more, got {getattr(self, name)}")

    @property
    def active(self) -> tuple[str, ...]:
        """The sources that are not 0."""
        return tuple(name for name in SOURCES if getattr(self, name) > 0.0)


#: All sources, in the order of their columns in a draw. The first columns of a Sobol' sequence are
#: the most even ones, so what usually matters most comes first.
SOURCES = tuple(item.name for item in fields(Scatter))
