"""The picture of one distance: where arrows land, in a frame that the script can rescale."""

import math
from collections.abc import Sequence

from vireton.report.markup import Markup, element, joined
from vireton.report.shown import Measure, Setting, Spot, axes_of, is_shown, spots
from vireton.report.tables import Tables
from vireton.tuning.observations import ArrowKind

#: The frame reaches from −100 to 100 whatever it stands for.
_EDGE = 100.0
_ROOM = 36  # beside the frame, for its numbers
_VIEW = f"{-_EDGE - _ROOM:g} {-_EDGE - 4:g} {2.0 * _EDGE + _ROOM + 4.0:g} {2.0 * _EDGE + 26.0:g}"
_LEAST = 0.4  # display units that a frame reaches at least
_ROUND = (1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0)
_TICKS = (-1.0, -0.5, 0.5, 1.0)

#: The marks of both arrows, in the likelier case and in the other: no two share a shape.
_SHAPES: dict[tuple[ArrowKind, int], tuple[str, dict[str, str | float]]] = {
    ("fletched", 0): ("circle", {"r": 5}),
    ("bare", 0): ("rect", {"x": -5, "y": -5, "width": 10, "height": 10}),
    ("fletched", 1): ("path", {"d": "M0 -6.5L6 5H-6Z"}),
    ("bare", 1): ("path", {"d": "M0 -7.5L7.5 0L0 7.5L-7.5 0Z"}),
}


def reach_of(extent: float) -> float:
    """The round number, 1 to 10 by tens, to which a frame goes that holds ``extent``."""
    wanted = max(extent, _LEAST)
    ten = 10.0 ** math.floor(math.log10(wanted))
    return next(step * ten for step in _ROUND if step * ten >= wanted * (1.0 - 1e-9))


def shape(kind: ArrowKind, case: int) -> Markup:
    """The mark alone, about the origin."""
    tag, attributes = _SHAPES[kind, min(case, 1)]
    return element(tag, class_=f"dot {kind}", **attributes)


def icon(kind: ArrowKind, case: int) -> Markup:
    """The mark for a line of text."""
    return element(
        "svg", shape(kind, case), viewBox="-9 -9 18 18", class_="icon", aria_hidden="true"
    )


def extent_of(spot: Spot, measure: Measure) -> float:
    """How far the spot and its ellipse go from the middle of the frame, display units."""
    return float(max(abs(spot.place) + measure.ellipse * spot.sd))


def face(
    tables: Tables,
    distance: int,
    at: Setting,
    measure: Measure,
    name: str,
    seen: Sequence[tuple[ArrowKind, float, float]],
) -> Markup:
    """The picture of one distance.

    Args:
        tables: of the page.
        distance: its place in their list.
        at: where the sliders stand.
        measure: display units.
        name: of the distance, for those who hear the page.
        seen: what was shot there last: arrow, right and up in display units.
    """
    marks = [
        (case, kind, spots(tables, case, kind, at, measure)[distance], is_shown(tables, case, at))
        for case in reversed(range(len(tables.cases)))
        for kind in tables.cases[case].places
    ]
    wanted = [extent_of(spot, measure) for _, _, spot, shown in marks if shown]
    reach = reach_of(max([*wanted, *(max(abs(x), abs(y)) for _, x, y in seen)]))
    scale = _EDGE / reach
    return element(
        "svg",
        element("title", f"Where arrows land at {name}; the table below says it in numbers"),
        _frame(reach, measure.small),
        *(_seen(kind, x, y, scale) for kind, x, y in seen),
        *(_mark(*one, measure, scale) for one in marks),
        viewBox=_VIEW,
        role="img",
        class_="face",
        data_face=str(distance),
    )


def tick_text(value: float) -> str:
    """A tick's number with a true minus."""
    return f"{value:g}".replace("-", "−")


def _frame(reach: float, small: str) -> Markup:
    lines = [element("path", class_="grid", d=f"M{at} -100V100M-100 {at}H100") for at in (-50, 50)]
    numbers = []
    for share in _TICKS:
        text = tick_text(share * reach)
        place = share * _EDGE
        # the outermost numbers stay inside the picture
        inside = place - math.copysign(8.0, place) if abs(share) == 1.0 else place
        numbers.append(
            element("text", text, x=inside, y=113, class_="tick across", data_tick=f"{share:g}")
        )
        numbers.append(
            element("text", text, x=-104, y=-inside + 4, class_="tick", data_tick=f"{share:g}")
        )
    return joined(
        element("rect", class_="frame", x=-100, y=-100, width=200, height=200),
        *lines,
        element("path", class_="middle", d="M0 -100V100M-100 0H100"),
        *numbers,
        element("text", small, x=0, y=113, class_="tick across"),
    )


def _seen(kind: ArrowKind, right: float, up: float, scale: float) -> Markup:
    return element(
        "path",
        class_="seen",
        d="M-4 -4L4 4M-4 4L4 -4" if kind == "bare" else "M-5 0H5M0 -5V5",
        transform=_at(right * scale, -up * scale),
        data_right=right,
        data_up=up,
    )


def _at(x: float, y: float) -> str:
    return f"translate({x:.2f} {y:.2f})"


def _mark(
    case: int, kind: ArrowKind, spot: Spot, shown: bool, measure: Measure, scale: float
) -> Markup:
    long, short, turn = axes_of(spot, measure)
    return element(
        "g",
        element(
            "ellipse",
            rx=long * scale,
            ry=short * scale,
            transform=f"rotate({-turn:.2f})",
            class_=f"where {kind} case{case}",
        ),
        shape(kind, case),
        transform=_at(float(spot.place[0]) * scale, -float(spot.place[1]) * scale),
        display=None if shown else "none",
        data_mark=f"{case}-{kind}",
        data_right=float(spot.place[0]),
        data_up=float(spot.place[1]),
    )
