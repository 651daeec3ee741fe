"""The parts of an arrow, as a builder lists them, in SI units.

Positions along the arrow are distances forward of the nock throat, the place where the string sits.
Parts hold what can be measured on the bench; what follows from them (mass, balance, inertia) is
worked out in :mod:`vireton.bow.arrow`.
"""

from dataclasses import dataclass
from typing import Literal

PointShape = Literal["streamlined", "bullet", "field", "blunt"]
VaneOutline = Literal["rectangle", "trapezoid", "parabola", "triangle"]
VaneTurn = Literal["right", "left"]


@dataclass(frozen=True)
class Nock:
    """A nock: ``mass`` in kg, ``throat_to_shaft`` in m from its throat to the rear of the shaft."""

    mass: float
    throat_to_shaft: float


@dataclass(frozen=True)
class Shaft:
    """A tube of constant section.

    ``length`` m, from its rear end to its front end; diameters m; ``mass_per_length`` kg/m;
    ``spine_deflection`` m under the static test (28 in span, 1.94 lbf at mid-span, ASTM F2031),
    or None where it is not known.
    """

    length: float
    outside_diameter: float
    inside_diameter: float
    mass_per_length: float
    spine_deflection: float | None = None


@dataclass(frozen=True)
class Insert:
    """An insert or collar that ends flush with the front of the shaft: kg, m."""

    mass: float
    length: float


@dataclass(frozen=True)
class Blades:
    """The fixed blades of a broadhead, as they stand in flight.

    ``count`` 2–6, evenly spaced; ``cutting_diameter`` m from tip to tip across (twice the tip's
    distance from the axis where the count is odd); ``length`` m of one along the shaft, at the
    ferrule; ``thickness`` m; ``ferrule_diameter`` m where the blades stand on it;
    ``rear_from_shaft`` m from the shaft's front end forward to the blades' rear end; ``area`` m²,
    one side of one blade without its cut-outs, None for a full triangle. ``angle`` rad of the
    first blade from straight up as the arrow is nocked, clockwise for the archer: it counts for
    two blades only.
    """

    count: int
    cutting_diameter: float
    length: float
    thickness: float
    ferrule_diameter: float
    rear_from_shaft: float = 0.0
    area: float | None = None
    angle: float = 0.0

    @property
    def height(self) -> float:
        """Of one blade above the ferrule, m."""
        return 0.5 * (self.cutting_diameter - self.ferrule_diameter)


@dataclass(frozen=True)
class Point:
    """A point: ``mass`` kg, ``length`` m ahead of the shaft's end, and the shape of its nose.

    ``edge_radius`` m of a blunt point's front edge, 0 for a sharp flat face; ``head_diameter`` m,
    None where it is the shaft's. With ``blades`` it is a broadhead.
    """

    mass: float
    length: float
    shape: PointShape = "field"
    edge_radius: float = 0.0
    head_diameter: float | None = None
    blades: Blades | None = None


@dataclass(frozen=True)
class Wrap:
    """A wrap around the rear of the shaft: ``mass`` kg, ``length`` m from the rear of the shaft."""

    mass: float
    length: float


@dataclass(frozen=True)
class BareTape:
    """Tape on the bare shaft in place of vanes: ``mass`` kg, ``from_throat`` m to its middle."""

    mass: float
    from_throat: float


@dataclass(frozen=True)
class Vanes:
    """A ring of identical vanes.

    ``count`` 2–6; ``length`` m along the shaft, ``height`` m
    above the shaft, ``thickness`` m; ``mass`` kg of one vane; ``rear_from_throat`` m from the nock
    throat to the vanes' rear end; ``offset`` rad between the vane and the shaft's axis, never
    negative; ``turn`` is the way the arrow spins, seen by the archer: ``right`` is clockwise.
    ``angle`` rad of the first vane from straight up as the arrow is nocked, clockwise for the
    archer: it counts for two vanes only.
    """

    count: int
    length: float
    height: float
    thickness: float
    mass: float
    rear_from_throat: float
    offset: float = 0.0
    turn: VaneTurn = "right"
    outline: VaneOutline = "parabola"
    angle: float = 0.0


@dataclass(frozen=True)
class ArrowParts:
    """Everything a builder lists for one arrow.

    ``point`` is the head that it carries, ``broadhead`` another that takes its place.
    ``length`` m from the nock throat to the front end of the shaft (the ATA arrow length: point and
    insert excluded). ``bare_tape`` is on the bare shaft alone. ``measured_mass`` kg and
    ``measured_balance`` m (forward of the nock throat) are of the finished, fletched arrow and win
    over what the parts add up to.
    """

    name: str
    length: float
    nock: Nock
    shaft: Shaft
    point: Point
    insert: Insert | None = None
    vanes: Vanes | None = None
    wrap: Wrap | None = None
    bare_tape: BareTape | None = None
    measured_mass: float | None = None
    measured_balance: float | None = None
    broadhead: Point | None = None
