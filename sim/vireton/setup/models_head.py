"""The tables of a setup file for the head of the arrow: point and broadhead."""

from typing import Annotated, get_args

from vireton.bow.parts import PointShape
from vireton.units.kinds import Choice, Count
from vireton.units.quantity import Quantity
from vireton.units.table import Table, may, need, usual


class PointTable(Table):
    """``[arrow.point]``."""

    mass: Annotated[float, Quantity("mass", "1 gr", "1500 gr", "100 gr")] = need("The point")
    length: Annotated[float, Quantity("length", "0.05 in", "6 in", "0.8 in")] = need(
        "How far it stands out ahead of the shaft's end"
    )
    shape: Annotated[PointShape, Choice(get_args(PointShape))] = need(
        "Its nose: streamlined (a long smooth ogive), bullet, field (a step or a cone), blunt"
    )
    edge_radius: Annotated[float, Quantity("length", "0 mm", "20 mm", "0.5 mm")] = usual(
        "0 mm",
        "Blunt points only: how far the edge round the flat face is rounded, 0 mm for a sharp one. "
        "A tenth of the head's diameter takes away most of its drag",
    )
    head_diameter: Annotated[float | None, Quantity("length", "0.1 in", "2 in", "5/16 in")] = may(
        "Where the point is widest; without it as wide as the shaft"
    )


class BroadheadTable(Table):
    """``[arrow.broadhead]``."""

    mass: Annotated[float, Quantity("mass", "20 gr", "1500 gr", "100 gr")] = need(
        "The whole head with its blades"
    )
    length: Annotated[float, Quantity("length", "0.2 in", "6 in", "1.2 in")] = need(
        "How far it stands out ahead of the shaft's end"
    )
    blades: Annotated[int, Count(2, 6, 3)] = need("How many blades, evenly spaced")
    cutting_diameter: Annotated[float, Quantity("length", "0.3 in", "4 in", "1 1/16 in")] = need(
        "Across the blades' tips as they stand in flight, a head that opens on impact closed: "
        "twice the distance from the middle to a tip"
    )
    blade_length: Annotated[float, Quantity("length", "0.2 in", "5 in", "0.9 in")] = need(
        "Of one blade along the shaft, where it stands on the ferrule"
    )
    blade_thickness: Annotated[float, Quantity("length", "0.2 mm", "5 mm", "0.7 mm")] = need(
        "Of one blade"
    )
    ferrule_diameter: Annotated[float, Quantity("length", "0.1 in", "0.7 in", "0.25 in")] = need(
        "Of the body of the head, in the middle of the blades"
    )
    blades_ahead: Annotated[float, Quantity("length", "-1 in", "3 in", "0.1 in")] = usual(
        "0 in", "From the shaft's end forward to the rear end of the blades"
    )
    cut_out: Annotated[float, Quantity("fraction", "0 %", "90 %", "0 %")] = usual(
        "0 %", "Share of a blade's triangle that is cut away by openings"
    )
    blade_angle: Annotated[float | None, Quantity("angle", "-180 deg", "180 deg", "0 deg")] = may(
        "Two blades only: from upright to the blades as the arrow is nocked, clockwise for the "
        "archer; without it every angle is taken as equally likely, upright as the nominal one"
    )
