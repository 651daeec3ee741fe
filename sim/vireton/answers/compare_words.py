"""Figures of arrows in cells and in words."""

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from vireton.answers.table import ends
from vireton.studies.figures import FIGURES, Figure
from vireton.units.display import Display, digits_for, plain

if TYPE_CHECKING:
    from vireton.studies.compare import Compared, Place, Verdict
    from vireton.uncertain import Banded

#: For a figure that an arrow does not have.
NONE = "none"
#: Behind a difference whose band holds 0, or that nobody could see.
SAME = "≈"


def places(distances: int) -> "Iterator[tuple[Figure, Place]]":
    """Every figure in the order of tables, first those of the whole flight."""
    yield from ((one, ()) for one in FIGURES if not one.at_distance)
    yield from ((one, i) for one in FIGURES if one.at_distance for i in range(distances))


def named(figure: Figure, distance: float, display: Display) -> str:
    """``"speed at 20 yd"``."""
    return f"{figure.title} at {display.distance(distance)}" if figure.at_distance else figure.title


def _shown(figure: Figure, values: "Banded", display: Display) -> tuple[list[float], int]:
    """Value, low and high in the unit that is shown, and the decimals that their band supports."""
    _, size = display.unit(figure.unit)
    shown = [float(end) / size for end in ends(values)]
    # a tenth of a per mille of drag area matters no more than one of a coefficient
    extra = 1 if figure.digits > 2 else 0
    width = (shown[2] - shown[1]) * 10.0**extra
    return shown, min(figure.digits, digits_for(width) + extra)


def value_text(figure: Figure, values: "Banded", display: Display) -> str:
    """``"2.8 (2.5 to 3.1)"``; a value without a band stands alone."""
    shown, digits = _shown(figure, values, display)
    value, low, high = shown
    if not math.isfinite(value):
        return NONE
    if not (math.isfinite(low) and math.isfinite(high)):
        return f"{value:.{min(figure.digits, 1)}f} (?)"
    return _with_ends([f"{one:.{digits}f}" for one in shown])


def difference_text(figure: Figure, values: "Banded", display: Display, verdict: "Verdict") -> str:
    """The same with signs; ``≈`` marks one that is not clear."""
    if verdict == "cannot_tell":
        return "?"
    shown, digits = _shown(figure, values, display)
    texts = [plain(one, digits) for one in shown]
    return _with_ends(texts, f" {SAME}" if verdict == "no_clear_difference" else "")


def _with_ends(texts: list[str], mark: str = "") -> str:
    if texts[1] == texts[2]:
        return f"{texts[0]}{mark}"
    low, high = (text.removeprefix("+") for text in texts[1:])
    return f"{texts[0]}{mark} ({low} to {high})"


def verdicts(one: "Compared", last: int) -> "Iterator[tuple[Figure, Place, Verdict]]":
    """Every figure that is told in words, at the last distance, and whether it clearly differs."""
    for figure in FIGURES:
        if figure.higher:
            place: Place = last if figure.at_distance else ()
            yield figure, place, one.verdict(figure.name, place)


def reading(one: "Compared", distances: Sequence[float], display: Display) -> list[str]:
    """What clearly sets this arrow apart from the first at the last distance, and what does not."""
    last = len(distances) - 1
    clear: list[str] = []
    here: list[str] = []
    alike: list[str] = []
    unknown: list[str] = []
    for figure, place, verdict in verdicts(one, last):
        if verdict == "cannot_tell":
            unknown.append(figure.title)
        elif verdict == "no_clear_difference":
            alike.append(named(figure, distances[last], display))
        else:
            said = clear_words(figure, one, place, verdict, display)
            (here if figure.at_distance else clear).append(said)
    if here:
        clear.append(f"at {display.distance(distances[last])} " + ", ".join(here))
    lines = [f"{one.contender.label}: " + ("; ".join(clear) or "nothing clearly different")]
    if alike:
        lines.append("no clear difference: " + ", ".join(alike))
    if unknown:
        lines.append("cannot tell: " + ", ".join(unknown))
    return lines


def clear_words(
    figure: Figure, one: "Compared", place: "Place", verdict: "Verdict", display: Display
) -> str:
    """More or less of it; of what goes to either side, more is farther off on its own side."""
    change = one.differences[figure.name][place]
    size = amount(figure, change, display)
    more = verdict == "higher"
    if figure.two_sided:
        own = float(one.figures[figure.name][place].nominal)
        first = own - float(change.nominal)
        if own * first < 0.0:
            return f"{figure.title} to the other side, {size} apart"
        more = abs(own) > abs(first)
    return (figure.higher if more else figure.lower).format(size)


def amount(figure: Figure, difference: "Banded", display: Display) -> str:
    """``"2.6 in (2.3 to 2.9)"``, without a sign."""
    unit = display.unit(figure.unit)[0] if figure.spoken is None else figure.spoken
    shown, digits = _shown(figure, difference, display)
    low, high = (f"{end:.{digits}f}" for end in sorted(map(abs, shown[1:])))
    said = f"{abs(shown[0]):.{digits}f}{' ' * bool(unit)}{unit}"
    return said if low == high else f"{said} ({low} to {high})"
