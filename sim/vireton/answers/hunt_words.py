"""The hunter's card as people read it."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from vireton.answers.arrow import arrow_facts, broadhead_facts
from vireton.answers.bands import BRACKETS, SIDE_OPEN
from vireton.answers.holds import slope_name, sure, sure_cells
from vireton.answers.scatter_words import NO_ADVICE, scatter_sources
from vireton.answers.table import Grid, Lines, Part, Span, ends
from vireton.bow.cautions import SHOOTING, SHOOTING_BROADHEADS, planing
from vireton.units.display import BENCH, MASS, OPEN, WIND, Display, with_band
from vireton.units.move_names import MOVE_SIDES, sides
from vireton.units.spelling import tidy

if TYPE_CHECKING:
    from vireton.answers.hunt import HuntingCard
    from vireton.answers.hunt_groups import Stays
    from vireton.setup import Setup

#: Who decides; said once on every card.
DECIDES = "Local law, your own practice and what you see in front of you decide every shot."
_NOBODY = "No broadhead: on a shaft without vanes it flies anywhere. Do not shoot one."


def page(card: "HuntingCard", display: Display) -> list[Part]:
    """Groups first, for they decide how far the rest of it is of use; then what to aim."""
    rig = card.question.rigs[""]
    return [
        Lines((stays_words(card.stays, display), DECIDES, groups_from(card, display))),
        _head("Pins and wind"),
        _pins(card, display),
        Lines(tuple(_wind_words(card, display))),
        _head("Uphill and downhill: aim low by"),
        _slopes(card, display),
        _head(f"{_whose_head(card)}, from where the field point lands"),
        *_broadhead(card, display),
        _head("What not to trust"),
        Lines(tuple(not_to_trust(card, display))),
        _head("Bow and arrow"),
        Lines(tuple(arrow_facts(rig, display))),
        _head("Before you shoot"),
        Lines((NO_ADVICE, *_cautions(card))),
    ]


def _whose_head(card: "HuntingCard") -> str:
    return "Broadhead" if card.question.has_broadhead else "A common broadhead"


def _head(words: str) -> Lines:
    return Lines((words,), bold=True)


def stays_words(found: "Sequence[Stays]", display: Display) -> str:
    """``"9 of 10 arrows stay inside 6 in out to 24 yd (22 to 26), …"``."""
    told = ", ".join(_stays(one, display) for one in found)
    return f"9 of 10 arrows stay {told}, in calm shots at a target"


def _stays(one: "Stays", display: Display) -> str:
    circle = f"{one.circle / display.small_size:.4g} {display.small}"
    if one.goes_on:
        return f"inside {circle} to {display.distance(one.looked)} and farther"
    middle, low, high = (f"{end / display.far_size:.0f}" for end in one.capped)
    high = "farther" if one.far.high > one.looked else high
    far = f"{middle} {display.far}" + (f" ({low} to {high})" if low != high else "")
    return f"inside {circle} out to {far}"


def groups_from(card: "HuntingCard", display: Display) -> str:
    """Whose scatter that is."""
    one = card.question.shooter
    if one is None:
        told = scatter_sources(card.question.setup.scatter, display).split(", ")
        more = f" and {len(told) - 2} things more" if len(told) > 2 else ""
        return f"by [scatter] of the setup file: {', '.join(told[:2])}{more}"
    far = 20.0 * display.far_size
    low, middle, high = (
        f"{end * far / display.small_size:.1f}" for end in (one.low, one.sd, one.high)
    )
    return (
        f"by the {one.arrows} arrows of the job's groups: one of them is off by {middle} "
        f"{display.small} ({low} to {high}) at {display.distance(far)}, on either axis"
    )


def _pins(card: "HuntingCard", display: Display) -> Grid:
    bar = card.question.marking.bar
    name, size = display.unit(WIND)
    full = card.question.wind_speed / size
    unit, *_ = bar.unit(display)
    zero = card.question.marking.zero
    rows = list(card.values())
    heads = (
        "at",
        f"below the {display.distance(zero)} pin, {unit}",
        *(f"into {wind:.3g} {name}, {display.small}" for wind in (0.5 * full, full)),
    )
    cells = tuple(
        (
            display.distance(float(row["distance"])),
            "–" if row["distance"] == zero else bar.shown(row["pin"], display),
            *(_size(row[key], display) for key in ("drift_at_half_the_wind", "drift")),
        )
        for row in rows
    )
    return Grid("", heads, cells)


def _size(band: Span, display: Display) -> str:
    """As `holds` shows it, without the sign of what is downwind."""
    return sure(*(end / display.small_size for end in map(float, ends(band)))).replace("+", "")


def _wind_words(card: "HuntingCard", display: Display) -> list[str]:
    radius = card.question.marking.radius
    return [
        f"pins: worked out for a pin {_long(radius, display)} from the peep. Shoot each one in",
        "wind: full from the side, from 9 or 3 o'clock; aim that far into it. "
        + card.holds.wind_words(display)[0].partition(". ")[2],
    ]


def _slopes(card: "HuntingCard", display: Display) -> Grid:
    found = card.holds.shifts.slopes
    columns = [sure_cells(one.shift[:, 1], display) for one in found]
    at = [display.distance(one) for one in card.question.distances]
    heads = ("at", *(f"{slope_name(one.slope)}, {display.small}" for one in found))
    plain = ([cell.replace("+", "") for cell in cells] for cells in columns)
    return Grid("", heads, tuple(zip(at, *plain, strict=True)))


def _broadhead(card: "HuntingCard", display: Display) -> list[Part]:
    beside = card.beside
    if beside is None or card.broadhead is None:
        return [Lines((_NOBODY,))]
    size = display.small_size
    mark = f" {OPEN}" if card.sideways_open else ""
    cells = []
    for i, distance in enumerate(card.question.distances):
        right, up = (
            with_band(*(float(end) / size for end in ends(beside[i, axis]))) for axis in (0, 1)
        )
        cells.append((display.distance(distance), f"{right}{mark}", up))
    heads = ("at", f"right, {display.small}", f"up, {display.small}")
    lines = [*broadhead_facts(card.broadhead.question.rig, display), *_launched(card, display)]
    return [Grid("", heads, tuple(cells)), Lines(tuple(lines))]


def _launched(card: "HuntingCard", display: Display) -> list[str]:
    """How the bow is set."""
    if card.question.tuned is None:
        return ["as the setup file has the bow"]
    turn = card.question.tuned.turn
    move = turn.setting
    stands = sides((tidy(move.rest_right), tidy(move.rest_up)), MOVE_SIDES, display.name)
    rest = f"the rest {' and '.join(stands)} of where it began" if stands else "the rest as it was"
    if not turn.seen.count:
        return [f"{rest}; no arrow of the job tells the launch yet, so by the setup file alone"]
    return [f"{rest}, and the launch as the job's own tears and groups show it"]


def _usual_head(setup: "Setup", display: Display) -> str:
    head = setup.parts.point.mass
    unit, size = display.unit(MASS)
    mass = f"{head / size:.{0 if unit == 'gr' else 1}f} {unit}"
    return (
        f"no [arrow.broadhead] in the setup file: a common fixed head of {mass} stands in; put in "
        "yours"
    )


def _planes(card: "HuntingCard") -> str:
    """What the common head is in danger of on this arrow."""
    assert card.broadhead is not None
    margin = card.broadhead.found.broadhead_margin
    if not planing(float(margin.nominal), float(margin.low)):
        return ""
    return (
        ". On this arrow it may plane: turn away from its flight and off its line. A smaller head, "
        "or more or higher vanes"
    )


def stand_ins(card: "HuntingCard", display: Display) -> list[str]:
    """What the file does not say, and what stands in for it."""
    question, found = card.question, []
    if not question.has_vanes:
        found.append(_NOBODY)
    elif not question.has_broadhead:
        found.append(_usual_head(question.setup, display) + _planes(card))
    if question.shooter is None and _is_usual(question.setup):
        found.append(
            "the groups are those of a usual shooter: put yours into [scatter], or record some in "
            "a job and give that"
        )
    if question.radius is None and question.setup.sight.radius is None:
        found.append(
            f"the pin is taken to stand {_long(question.marking.radius, display)} from the peep: "
            "measure it and give --radius"
        )
    return found


def _long(length: float, display: Display) -> str:
    unit, size = display.unit(BENCH)
    return f"{length / size:.{1 if unit == 'in' else 0}f}".removesuffix(".0") + f" {unit}"


def _is_usual(setup: "Setup") -> bool:
    from vireton.setup.build import build_scatter
    from vireton.setup.models_scatter import ScatterTable

    return setup.scatter == build_scatter(ScatterTable(), setup.parts)


def not_to_trust(card: "HuntingCard", display: Display) -> list[str]:
    """The card's doubts, the file's own first."""
    lines = [*card.notes, *stand_ins(card, display)]
    if card.beside is not None:
        lines.append(
            "broadheads are taken as spun true and unbevelled: shoot yours at every distance of "
            "this card before the hunt, and believe the holes"
        )
        if card.sideways_open:
            lines.append(SIDE_OPEN)
    shooter = card.question.shooter
    if shooter is not None and shooter.farthest < 0.9 * card.question.distances[-1]:
        lines.append(
            f"the job's groups were shot at {display.distance(shooter.farthest)} and nearer: "
            "farther out what grows faster than the distance is not in them. Shoot there"
        )
    return [
        *lines,
        "wind is taken as the same all the way: between trees, over a ridge or in gusts it is not",
        "groups are of calm shots at a target: cold, haste, a heavy coat and a bad stance are in "
        "no number here",
        f"{BRACKETS}; those of pins hold 19 of 20",
    ]


def _cautions(card: "HuntingCard") -> tuple[str, ...]:
    return (SHOOTING,) if card.beside is None else (SHOOTING_BROADHEADS, SHOOTING)
