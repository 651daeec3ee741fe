"""Frequencies of a bare shaft, free at both ends, from the beam of the launch model."""

from vireton.bow.arrow import assemble, bending_stiffness
from vireton.bow.parts import ArrowParts, Nock, Point, Shaft
from vireton.launch.beam import free_frequencies
from vireton.published.checks import CaseData
from vireton.units.numbers import GRAIN, INCH


def reproduce(data: CaseData) -> dict[str, float]:
    values = data.data
    stiffness = bending_stiffness(values["spine_inches"] * INCH)
    ours = {}
    for inches in values["lengths_inches"]:
        shaft = Shaft(
            inches * INCH, 0.3 * INCH, 0.25 * INCH, values["grains_per_inch"] * GRAIN / INCH
        )
        bare = ArrowParts("shaft", inches * INCH, Nock(0.0, 0.0), shaft, Point(0.0, 0.0))
        first, second = free_frequencies(assemble(bare), stiffness, 2)
        ours[f"first_{inches:.0f}"] = float(first)
        ours.setdefault("second_to_first", float(second / first))
    return ours
