"""Stiffness from static spine, and the test itself on the beam of the launch model."""

import numpy as np

from vireton.bow.arrow import POUND_FORCE, assemble, bending_stiffness
from vireton.bow.parts import ArrowParts, Nock, Point, Shaft
from vireton.launch.beam import build
from vireton.published.checks import CaseData
from vireton.units.numbers import GRAIN, INCH


def _deflection(stiffness: float, length: float, span: float, load: float) -> float:
    """Of a shaft ``length`` in inches on two supports ``span`` apart, ``load`` N between; inches.

    Supports and load must fall on whole inches, where the beam has its nodes.
    """
    shaft = Shaft(length * INCH, 0.3 * INCH, 0.25 * INCH, 8.0 * GRAIN / INCH)
    nothing = ArrowParts("shaft", length * INCH, Nock(0.0, 0.0), shaft, Point(0.0, 0.0))
    beam = build(assemble(nothing), elements=round(length))
    first = round(0.5 * (length - span))
    last, middle = round(length) - first, round(0.5 * length)
    free = np.setdiff1d(np.arange(beam.bending.shape[0]), [2 * first, 2 * last])
    push = np.zeros(beam.bending.shape[0])
    push[2 * middle] = load
    bent = np.linalg.solve(stiffness * beam.bending[np.ix_(free, free)], push[free])
    return float(bent[np.searchsorted(free, 2 * middle)]) / INCH


def reproduce(data: CaseData) -> dict[str, float]:
    values = data.data
    length = values["span_inches"]
    ours = {
        f"stiffness_{spine:g}": bending_stiffness(spine * INCH) for spine in values["spines_inches"]
    }
    stiffness = ours["stiffness_0.5"]
    now = _deflection(stiffness, length, length, values["load_pounds"] * POUND_FORCE)
    older = _deflection(
        stiffness, length, values["older_span_inches"], values["older_load_pounds"] * POUND_FORCE
    )
    return ours | {"deflection": now, "older_ratio": older / now}
