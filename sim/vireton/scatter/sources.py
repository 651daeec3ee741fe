"""What differs from shot to shot and from arrow to arrow."""

from dataclasses import dataclass, fields


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
