"""The bow as the launch needs it, in SI units."""

from dataclasses import dataclass, field, replace
from typing import Literal

RestType = Literal["drop-away", "launcher", "containment"]
LaunchModel = Literal["rigid", "flexible"]
Cams = Literal["tied", "idler"]
Hand = Literal["right", "left"]

#: AMO draw length is measured to a point 1 3/4 in ahead of the grip's throat (AMO standard,
#: from memory); brace height is measured to the throat itself.
AMO_DRAW_EXTRA = 0.04445


@dataclass(frozen=True)
class Rest:
    """The arrow rest.

    ``lets_go``: share of the power stroke (0 at full draw, 1 at nock release) after which it no
    longer touches the shaft. ``ahead_of_string`` m, from the string at brace height to the rest.
    ``offset_right`` and ``offset_up`` m: where the shaft's center lies on the rest, from the bore
    line (the line of the string's thrust through the nock). ``stiffness`` N/m of rest and riser
    under the shaft and ``damping_ratio`` of the two count for a shaft that bends only.
    """

    type: RestType
    lets_go: float
    ahead_of_string: float
    offset_right: float = 0.0
    offset_up: float = 0.0
    stiffness: float = 5000.0
    damping_ratio: float = 0.15


@dataclass(frozen=True)
class DrawCurve:
    """The shape of the draw-force curve.

    ``rise``, ``fall`` and ``valley`` are shares of the power stroke: from brace up to the peak
    weight, from there down to the holding weight, and at the holding weight before the wall; what
    is left is the peak. ``points`` are readings of a bow scale, (draw m from brace, N), rising to
    full draw, and take the place of the shape.
    """

    rise: float = 0.25
    fall: float = 0.28
    valley: float = 0.0
    points: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Bow:
    """A compound bow, its string and its rest.

    ``draw_weight`` N (peak), ``let_off`` 0–0.95, ``draw_length`` m (AMO), ``brace_height`` m,
    ``arrow_speed`` m/s measured with the fletched arrow of the same setup, ``string_mass`` kg (the
    string from cam to cam with all that is tied to it). What the string pulls sideways against is
    one mass on a spring: ``cam_mass`` kg of cams, axles and limb tips together, ``cam_stiffness``
    N/m with which the limbs hold them sideways, ``cam_damping`` of critical. ``draw_curve`` is the
    shape of the static draw-force curve, ``brace_tension`` ≥ 1 the string's tension near brace in
    the shot, where it stops limbs and cams, of the static one.
    ``nock_travel_right``, ``nock_travel_up``: the path of an unloaded nock off the bore line, m,
    at equal steps from full draw to nock release; empty for straight.
    ``minimum_mass_per_draw_weight`` kg/N, the bow maker's limit, or None.

    ``launch_model``: ``flexible`` lets a shaft of known spine bend, ``rigid`` does not. The rest
    counts for the flexible one only: ``cams`` tied together hold the nock's height, a free
    ``idler`` lets it ride along the string; ``axle_to_axle`` m; ``nock_stiffness`` N·m/rad of the
    nock's fit against turning up and down; ``kick_right``, ``kick_up`` m/s across that the release
    gives to the nock; ``shaft_damping`` ratio of the shaft's bending to critical.
    """

    name: str
    draw_weight: float
    let_off: float
    draw_length: float
    brace_height: float
    arrow_speed: float
    rest: Rest
    string_mass: float
    cam_mass: float = 0.2
    cam_stiffness: float = 10_000.0
    cam_damping: float = 0.05
    draw_curve: DrawCurve = field(default_factory=DrawCurve)
    brace_tension: float = 1.5
    hand: Hand = "right"
    nock_travel_right: tuple[float, ...] = ()
    nock_travel_up: tuple[float, ...] = ()
    minimum_mass_per_draw_weight: float | None = None
    launch_model: LaunchModel = "flexible"
    cams: Cams = "tied"
    axle_to_axle: float = 0.84
    nock_stiffness: float = 0.0
    kick_right: float = 0.0
    kick_up: float = 0.0
    shaft_damping: float = 0.015

    @property
    def power_stroke(self) -> float:
        """Travel of the nock from full draw to release, m: true draw length − brace height."""
        return self.draw_length - AMO_DRAW_EXTRA - self.brace_height

    def pushes_aside(self, offset_right: float) -> bool:
        """Whether anything pushes the arrow to a side, its rest ``offset_right`` m off the bore."""
        return any((offset_right, self.kick_right, *self.nock_travel_right))


@dataclass(frozen=True)
class Sight:
    """``sight_in`` m (None: not sighted in) and ``height_above_arrow`` m of the line of sight.

    ``click`` rad of its adjustment, ``radius`` m from the peep to the pin; None where not known.
    """

    sight_in: float | None
    height_above_arrow: float
    click: float | None = None
    radius: float | None = None

    def higher(self, by: float) -> "Sight":
        """The same with its line of sight ``by`` m higher above the arrow, 0 m at the lowest."""
        if by == 0.0:
            return self
        return replace(self, height_above_arrow=max(0.0, self.height_above_arrow + by))
