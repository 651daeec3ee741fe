"""From parts to one arrow: mass, balance, inertia, FOC, stiffness, energy."""

from dataclasses import dataclass, replace

from vireton.bow.parts import ArrowParts, Blades, Point, Vanes
from vireton.bow.plan_form import blade_shape, vane_shape
from vireton.units.numbers import GRAIN, INCH
from vireton.units.problems import InputProblem

STANDARD_GRAVITY = 9.80665  # m/s², by definition
POUND_FORCE = 4.4482216152605  # N, by definition

#: Static spine test of ASTM F2031: 28 in span, 1.94 lbf hung at mid-span.
SPINE_SPAN = 28.0 * INCH
SPINE_LOAD = 1.94 * POUND_FORCE

#: Where the mass of a point lies ahead of the shaft's end, as a share of its length beyond the
#: shaft: its shank reaches back into the insert. An assumption of ours, no source.
_POINT_CENTER_SHARE = 0.3

#: kg/m³ of a broadhead's blades: steel (from memory). Only the arrow's spinning up feels it.
_BLADE_DENSITY = 7850.0

#: Differences from the weighed and balanced arrow beyond which a note is given: about what a grain
#: scale and a knife edge can tell, with the spread of part weights on top (our choice).
_MASS_NOTE = 0.01
_BALANCE_NOTE = 3.0e-3


#: m along the shaft: vinyl tape as wide as it is sold (our choice).
_TAPE_LENGTH = 0.75 * INCH


@dataclass(frozen=True)
class Lump:
    """One part as a rod or ring: ``start`` to ``end`` m from the nock throat, uniform along it."""

    label: str
    mass: float
    start: float
    end: float
    axial_inertia: float

    @property
    def center(self) -> float:
        """Center of mass, m from the nock throat."""
        return 0.5 * (self.start + self.end)

    def transverse_inertia_about(self, where: float) -> float:
        """About an axis across the arrow at ``where``: a thin rod with the parallel-axis term."""
        own = self.mass * (self.end - self.start) ** 2 / 12.0 + 0.5 * self.axial_inertia
        return own + self.mass * (self.center - where) ** 2


@dataclass(frozen=True)
class Arrow:
    """One arrow, assembled. SI units; positions in m forward of the nock throat.

    ``foc`` is a fraction; ``stiffness`` is EI of the shaft in N·m², None where no spine was given.
    ``notes`` tells where measured and computed values disagree.
    """

    parts: ArrowParts
    mass: float
    balance: float
    transverse_inertia: float
    axial_inertia: float
    foc: float
    stiffness: float | None
    lumps: tuple[Lump, ...]
    notes: tuple[str, ...] = ()

    @property
    def total_length(self) -> float:
        """Nock throat to the tip of the point, m."""
        return self.parts.length + self.parts.point.length

    @property
    def is_fletched(self) -> bool:
        """Whether it carries vanes."""
        return self.parts.vanes is not None


def bending_stiffness(spine_deflection: float) -> float:
    """EI of a shaft from its static spine: W·L³/(48·δ), a simply supported beam.

    Args:
        spine_deflection: m, > 0, under :data:`SPINE_LOAD` on :data:`SPINE_SPAN` (ASTM F2031).

    Returns:
        N·m². 0.500 in gives 5.092, 0.400 in 6.365, 0.300 in 8.487 (any beam table).
    """
    if not spine_deflection > 0.0:
        raise ValueError(f"a spine deflection is positive; got {spine_deflection} m")
    return SPINE_LOAD * SPINE_SPAN**3 / (48.0 * spine_deflection)


def front_of_center(balance: float, length: float) -> float:
    """FOC as a fraction: (A − L/2)/L, A throat to balance point, L throat to the shaft's end.

    ATA/AMO definition (from memory; agrees with several write-ups). Point and insert are outside L.
    """
    return (balance - 0.5 * length) / length


def kinetic_energy(mass: float, speed: float) -> float:
    """½·m·v², J."""
    return 0.5 * mass * speed * speed


def momentum(mass: float, speed: float) -> float:
    """m·v, kg·m/s."""
    return mass * speed


def grains_per_pound(mass: float, draw_weight: float) -> float:
    """Arrow mass in grains per pound-force of draw weight, the trade's safety measure."""
    return (mass / GRAIN) / (draw_weight / POUND_FORCE)


def _lumps(parts: ArrowParts) -> list[Lump]:
    shaft = parts.shaft
    outer, inner = 0.5 * shaft.outside_diameter, 0.5 * shaft.inside_diameter
    rear = parts.nock.throat_to_shaft
    tube = shaft.mass_per_length * shaft.length

    def solid(mass: float) -> float:
        return 0.5 * mass * inner**2

    lumps = [
        Lump("shaft", tube, rear, parts.length, 0.5 * tube * (outer**2 + inner**2)),
        Lump("nock", parts.nock.mass, 0.0, rear, solid(parts.nock.mass)),
    ]
    lumps.append(_point_lump(parts, parts.point, parts.point.mass))
    if parts.insert is not None:
        insert = parts.insert
        lumps.append(
            Lump(
                "insert",
                insert.mass,
                parts.length - insert.length,
                parts.length,
                solid(insert.mass),
            )
        )
    if parts.wrap is not None:
        wrap = parts.wrap
        lumps.append(Lump("wrap", wrap.mass, rear, rear + wrap.length, wrap.mass * outer**2))
    if parts.vanes is not None:
        lumps.append(_vanes_lump(parts.vanes, outer))
    return lumps


def _point_lump(parts: ArrowParts, point: Point, mass: float) -> Lump:
    # a uniform rod about the assumed center, as long as the part that shows
    center = parts.length + _POINT_CENTER_SHARE * point.length
    half = 0.5 * point.length
    inertia = 0.5 * mass * (0.5 * parts.shaft.outside_diameter) ** 2
    if point.blades is not None:
        inertia += _blades_inertia(point.blades, mass)
    return Lump("point", mass, center - half, center + half, inertia)


def _blades_inertia(blades: Blades, mass: float) -> float:
    """Axial inertia of the blades, kg·m², as steel sheets of no more than the head's mass."""
    shape = blade_shape(blades)
    sheets = min(_BLADE_DENSITY * blades.count * shape.area * blades.thickness, mass)
    return sheets * shape.second_moment / shape.area


def _vanes_lump(vanes: Vanes, shaft_radius: float) -> Lump:
    mass = vanes.count * vanes.mass
    radius = shaft_radius + vane_shape(vanes, shaft_radius).centroid_height
    start = vanes.rear_from_throat
    return Lump("vanes", mass, start, start + vanes.length, mass * radius**2)


def _with_mass(lump: Lump, mass: float) -> Lump:
    return replace(lump, mass=mass, axial_inertia=lump.axial_inertia * mass / lump.mass)


def _fitted(lumps: list[Lump], mass: float | None, balance: float | None) -> list[Lump]:
    """Make shaft (and point) as heavy as the measured mass (and balance) ask.

    The two hold most of the mass and are the two whose weights vary most; the rest keeps its own.
    """
    shaft = next(part for part in lumps if part.label == "shaft")
    point = next(part for part in lumps if part.label == "point")
    total = sum(part.mass for part in lumps)
    target = total if mass is None else mass
    if balance is None:
        new_shaft, new_point = shaft.mass + target - total, point.mass
    else:
        others = [part for part in lumps if part not in (shaft, point)]
        free = target - sum(part.mass for part in others)
        moment = target * balance - sum(part.mass * part.center for part in others)
        new_point = (moment - free * shaft.center) / (point.center - shaft.center)
        new_shaft = free - new_point
    if new_shaft <= 0.0 or new_point < 0.0:
        raise InputProblem(
            "the measured mass and balance cannot be reached with these parts: they would need "
            f"a shaft of {new_shaft / GRAIN:.0f} gr and a point of {new_point / GRAIN:.0f} gr. "
            "Check arrow.mass, arrow.balance and the parts' masses"
        )
    fitted = {"shaft": new_shaft, "point": new_point}
    return [
        _with_mass(part, fitted[part.label]) if part.label in fitted and part.mass > 0.0 else part
        for part in lumps
    ]


def _notes(parts: ArrowParts, mass: float, balance: float) -> tuple[str, ...]:
    notes = []
    measured = parts.measured_mass
    if measured is not None and abs(mass / measured - 1.0) > _MASS_NOTE:
        notes.append(
            f"the parts add up to {mass / GRAIN:.0f} gr but arrow.mass says "
            f"{measured / GRAIN:.0f} gr: the measured mass is used, the shaft's mass adjusted"
        )
    if parts.measured_balance is not None and abs(balance - parts.measured_balance) > _BALANCE_NOTE:
        notes.append(
            f"the parts balance {balance / INCH:.2f} in from the nock throat but arrow.balance "
            f"says {parts.measured_balance / INCH:.2f} in: the measured balance is used, the "
            "masses of shaft and point adjusted"
        )
    return tuple(notes)


def assemble(parts: ArrowParts) -> Arrow:
    """Put the parts together.

    A measured mass or balance wins over the computed one. Raises InputProblem where the
    measured values cannot belong to these parts, or the balance point lies outside the arrow.
    """
    lumps = _lumps(parts)
    mass = sum(part.mass for part in lumps)
    balance = sum(part.mass * part.center for part in lumps) / mass
    notes = _notes(parts, mass, balance)
    if parts.measured_mass is not None or parts.measured_balance is not None:
        lumps = _fitted(lumps, parts.measured_mass, parts.measured_balance)
    return _from_lumps(parts, lumps, notes)


def _from_lumps(parts: ArrowParts, lumps: list[Lump], notes: tuple[str, ...]) -> Arrow:
    mass = sum(part.mass for part in lumps)
    balance = sum(part.mass * part.center for part in lumps) / mass
    if not 0.0 < balance < parts.length:
        raise InputProblem(
            f"the balance point comes out at {balance / INCH:.2f} in from the nock throat, outside "
            f"the shaft (0 to {parts.length / INCH:.2f} in). Check the parts' masses and places"
        )
    spine = parts.shaft.spine_deflection
    return Arrow(
        parts=parts,
        mass=mass,
        balance=balance,
        transverse_inertia=sum(part.transverse_inertia_about(balance) for part in lumps),
        axial_inertia=sum(part.axial_inertia for part in lumps),
        foc=front_of_center(balance, parts.length),
        stiffness=None if spine is None else bending_stiffness(spine),
        lumps=tuple(lumps),
        notes=notes,
    )


def bare(arrow: Arrow) -> Arrow:
    """The same arrow without its vanes: the bare shaft that belongs to it, with its tape if any.

    Taken off the assembled arrow, so that a measured mass or balance of the fletched arrow still
    counts.
    """
    tape, lump = arrow.parts.bare_tape, None
    if tape is not None and arrow.parts.vanes is not None:
        radius = 0.5 * arrow.parts.shaft.outside_diameter
        half = 0.5 * _TAPE_LENGTH
        around = tape.mass * radius**2
        lump = Lump("tape", tape.mass, tape.from_throat - half, tape.from_throat + half, around)
    return _altered(arrow, replace(arrow.parts, vanes=None), "vanes", lump)


def with_broadhead(arrow: Arrow) -> Arrow:
    """The same arrow with its broadhead in place of its point.

    Where a measured mass or balance has changed the point's listed mass, the broadhead's is changed
    by as much. Raises InputProblem for an arrow without one.
    """
    parts, head = arrow.parts, arrow.parts.broadhead
    if head is None:
        raise InputProblem("the arrow has no broadhead: give the table arrow.broadhead")
    fitted = next(part.mass for part in arrow.lumps if part.label == "point")
    lump = _point_lump(parts, head, max(0.0, head.mass + fitted - parts.point.mass))
    return _altered(arrow, replace(parts, point=head, broadhead=None), "point", lump)


def with_vanes(arrow: Arrow, vanes: Vanes) -> Arrow:
    """The same fletched arrow with other vanes."""
    lump = _vanes_lump(vanes, 0.5 * arrow.parts.shaft.outside_diameter)
    return _altered(arrow, replace(arrow.parts, vanes=vanes), "vanes", lump)


def _altered(arrow: Arrow, parts: ArrowParts, label: str, lump: Lump | None) -> Arrow:
    """The arrow with the part of this name replaced or taken off; measured values are spent."""
    kept = [lump if part.label == label else part for part in arrow.lumps]
    parts = replace(parts, measured_mass=None, measured_balance=None)
    return _from_lumps(parts, [part for part in kept if part is not None], ())
