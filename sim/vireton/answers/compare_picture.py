"""What the picture of a comparison shows: each arrow's clear differences, the largest first."""

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from vireton.answers.compare_words import clear_words, named, verdicts
from vireton.plots.comparison import ComparisonPanel, Difference
from vireton.studies.figures import Figure
from vireton.units.display import Display

if TYPE_CHECKING:
    from vireton.setup.variants import Variant
    from vireton.studies.compare import Compared, Place

#: A dot or a low line between letters, as keys of a file have them.
_OF_A_KEY = re.compile(r"(?<=[a-z])[._](?=[a-z])")


def plain_label(label: str, variant: "Variant") -> str:
    """What was varied in words: ``vanes count 4`` of the key ``vanes.count``."""
    if not variant.changed:
        return label
    return label.replace(variant.label, _OF_A_KEY.sub(" ", variant.label))


def panels(
    arrows: "Sequence[Compared]", names: Sequence[str], distances: Sequence[float], display: Display
) -> list[ComparisonPanel]:
    """One for each arrow but the first, at the last distance."""
    return [
        _panel(one, arrows[0], name, distances, display)
        for one, name in zip(arrows[1:], names[1:], strict=True)
    ]


def _panel(
    one: "Compared", first: "Compared", name: str, distances: Sequence[float], display: Display
) -> ComparisonPanel:
    clear: list[Difference] = []
    alike: list[str] = []
    last = len(distances) - 1
    for figure, place, verdict in verdicts(one, last):
        if verdict == "no_clear_difference":
            alike.append(named(figure, distances[last], display))
        elif verdict != "cannot_tell":
            said = clear_words(figure, one, place, verdict, display)
            clear.append(_difference(figure, said, one, first, place, distances[last], display))
    clear.sort(key=lambda found: -abs(found.share))
    return ComparisonPanel(name, clear, alike)


def _difference(
    figure: Figure,
    said: str,
    one: "Compared",
    first: "Compared",
    place: "Place",
    distance: float,
    display: Display,
) -> Difference:
    """In words, and as shares of the first arrow's value; of the larger one where that is near 0.

    Only so figures in inches, pounds and turns a second stand on one axis.
    """
    apart = one.differences[figure.name][place]
    values = [abs(float(each.figures[figure.name][place].nominal)) for each in (first, one)]
    whole = values[0] if values[0] > 0.05 * values[1] else max(values)
    if figure.at_distance:
        said += f" at {display.distance(distance)}"
    ends = np.array([float(apart.nominal), float(apart.low), float(apart.high)]) / whole
    return Difference(said, *(float(end) for end in ends))
