"""The part of the page that answers "what if": sliders, pictures, numbers, single changes."""

from typing import Any

from vireton.report.cases import Seen
from vireton.report.content import WhatIf
from vireton.report.faces import face, icon
from vireton.report.markup import Markup, element, joined
from vireton.report.said import said
from vireton.report.shown import Setting, Spot, is_shown, seen_of, spots
from vireton.report.tables import CORRELATION, spread_winds
from vireton.report.wording import both_words, rounded

_NAMES: dict[Seen, str] = {"fletched": "fletched", "bare": "bare shaft", "apart": "bare − fletched"}


def whatif_section(what: WhatIf) -> Markup:
    """The section with its controls hidden: the script brings them to life."""
    return element(
        "section",
        element("h2", what.heading, id="whatif-h"),
        element("p", said(what.measured), class_="measured"),
        _key(what),
        _controls(what),
        element(
            "p",
            "Shown: ",
            element("span", state_words(what, what.start), id="shown"),
            class_="shown",
        ),
        element("div", *(_distance(what, k) for k in range(len(what.distances))), class_="faces"),
        _changes(what),
        element("p", error_words(what), class_="small"),
        class_="whatif",
        aria_labelledby="whatif-h",
    )


def wind_words(what: WhatIf, wind: float) -> str:
    """``"5 mph from the left"`` of a crosswind, m/s toward the right."""
    speed = wind / what.measure.wind_size
    if abs(speed) < 1e-6:
        return "no crosswind"
    return f"{abs(speed):.4g} {what.measure.wind} from the {'left' if speed > 0.0 else 'right'}"


def state_words(what: WhatIf, at: Setting) -> str:
    """Where the sliders stand, in one line."""
    return f"rest {what.right[at.right]}, {what.up[at.up]}; {wind_words(what, at.wind)}"


def error_words(what: WhatIf) -> str:
    """How far the tables may be off the simulator."""
    size = what.measure.small_size
    each = ", ".join(
        f"{_rounded_up(float(error) / size)} {what.measure.small} at {name}"
        for error, name in zip(what.tables.errors, what.distances, strict=True)
    )
    return (
        "The sliders read tables that the flight simulator filled for this page: the rest moves in "
        "whole steps, each of them flown; between the winds that were flown the tables interpolate "
        f"and are off by no more than {each}."
    )


def _rounded_up(value: float) -> str:
    return rounded(value + 0.00499, 2)


def _controls(what: WhatIf) -> Markup:
    wind = what.tables.reach.wind / what.measure.wind_size
    return element(
        "form",
        _slider("right", "Rest, left or right", 0, len(what.right) - 1, 1, what.start.right),
        _slider("up", "Rest, down or up", 0, len(what.up) - 1, 1, what.start.up),
        _slider(
            "wind",
            "Crosswind",
            float(wind[0]),
            float(wind[-1]),
            what.wind_step,
            what.start.wind / what.measure.wind_size,
        ),
        _vanes(what),
        element(
            "div",
            *(
                element("button", label, type="button", data_preset=str(k))
                for k, (label, _) in enumerate(what.presets)
            ),
            class_="presets",
        ),
        id="controls",
        hidden=True,
        aria_label="What if",
    )


def _slider(name: str, label: str, low: float, high: float, step: float, value: float) -> Markup:
    return element(
        "div",
        element("label", label, for_=f"slide-{name}"),
        element("output", id=f"said-{name}", for_=f"slide-{name}"),
        element(
            "input", type="range", id=f"slide-{name}", min=low, max=high, step=step, value=value
        ),
        class_="slide",
    )


def _vanes(what: WhatIf) -> Markup:
    if len(what.tables.cases[0].places) < 2:
        return Markup("")
    choices = (("both", "both"), ("fletched", "on"), ("bare", "off"))
    return element(
        "fieldset",
        element("legend", "Vanes"),
        *(
            element(
                "label",
                element("input", type="radio", name="vanes", value=value, checked=value == "both"),
                f" {label}",
            )
            for value, label in choices
        ),
    )


def _key(what: WhatIf) -> Markup:
    lines = []
    kinds = tuple(what.tables.cases[0].places)
    for case, words in enumerate(what.cases):
        parts: list[str] = []
        for kind in kinds:
            parts += [icon(kind, case), f" {_NAMES[kind]} "]
        lines.append(element("li", *parts, words))
    if any(what.seen):
        lines.append(element("li", "+ fletched and × bare: the group shot last at this setting"))
    lines.append(element("li", said(what.around)))
    return element("ul", *lines, class_="key")


def _distance(what: WhatIf, k: int) -> Markup:
    name = what.distances[k]
    return element(
        "figure",
        element("figcaption", name),
        face(what.tables, k, what.start, what.measure, name, what.seen[k]),
        _numbers(what, k),
    )


def _numbers(what: WhatIf, k: int) -> Markup:
    rows = []
    for case in range(len(what.tables.cases)):
        for seen in seen_of(what.tables, case):
            spot = spots(what.tables, case, seen, what.start, what.measure)[k]
            both = _said(what, spot, k)
            cells = (element("td", one, data_axis=str(axis)) for axis, one in enumerate(both))
            rows.append(
                element(
                    "tr",
                    element("th", _row_name(seen, case), scope="row"),
                    *cells,
                    data_row=f"{case}-{seen}-{k}",
                    class_=f"case{case}",
                    hidden=not is_shown(what.tables, case, what.start),
                )
            )
    head = element(
        "tr",
        element("th", what.measure.small, scope="col"),
        element("th", "sideways", scope="col"),
        element("th", "height", scope="col"),
    )
    return element(
        "table",
        element("caption", f"at {what.distances[k]}", class_="unseen"),
        element("thead", head),
        element("tbody", *rows),
    )


def _said(what: WhatIf, spot: Spot, k: int) -> tuple[str, str]:
    error = float(what.tables.errors[k]) / what.measure.small_size
    return both_words(spot.place, what.measure.interval * spot.sd, error)


def _row_name(seen: Seen, case: int) -> Markup:
    if seen != "apart":
        return joined(icon(seen, case), " ", _NAMES[seen])
    if case == 0:
        return joined(_NAMES[seen])
    marks = (icon("bare", case), " − ", icon("fletched", case))
    return joined(*marks, element("span", f" {_NAMES[seen]}", class_="unseen"))


def _changes(what: WhatIf) -> Markup:
    """What one change alone does, for paper and where no script runs."""
    head = element(
        "tr",
        element("th", f"one change alone, {what.measure.small}", scope="col"),
        *(element("th", name, scope="col") for name in what.distances),
    )
    rows = [
        element(
            "tr", element("th", label, scope="row"),
            *(_change(what, seen, at, k) for k in range(len(what.distances))),
        )
        for label, seen, at in what.changes
    ]  # fmt: skip
    return element(
        "div",
        element("table", element("thead", head), element("tbody", *rows), class_="changes"),
        class_="wide",
        tabindex="0",
        role="region",
        aria_label="What one change alone does",
    )


def _change(what: WhatIf, seen: Seen, at: Setting, k: int) -> Markup:
    """One cell: sideways and up and down, for each case where they differ."""
    parts: list[str] = []
    for case in range(len(what.tables.cases)):
        if not is_shown(what.tables, case, at):
            continue
        spot = spots(what.tables, case, seen, at, what.measure)[k]
        sideways, upright = _said(what, spot, k)
        # up and down the cases are the same
        lines = [f"or {sideways}"] if case else [sideways, upright]
        parts += [element("span", line, class_="line") for line in lines]
    return element("td", *parts, data_at=what.distances[k])


def payload(what: WhatIf) -> dict[str, Any]:
    """The tables and words as the script reads them."""
    tables, measure = what.tables, what.measure
    return {
        "count": tables.size / measure.small_size,
        "interval": measure.interval,
        "ellipse": measure.ellipse,
        "windUnit": measure.wind,
        "right": list(what.right),
        "up": list(what.up),
        "stands": tables.reach.stands[0],
        "winds": [round(float(w) / measure.wind_size, 9) for w in tables.reach.wind],
        "distances": len(what.distances),
        "spreadWinds": [
            round(float(w) / measure.wind_size, 9) for w in spread_winds(tables.reach.wind)
        ],
        "correlation": CORRELATION,
        "errors": [round(float(e) / measure.small_size, 4) for e in tables.errors],
        "presets": [
            [at.right, at.up, round(at.wind / measure.wind_size, 9)] for _, at in what.presets
        ],
        "cases": [
            {
                "places": {kind: list(map(int, one.ravel())) for kind, one in case.places.items()},
                "spreads": {
                    seen: list(map(int, one.ravel())) for seen, one in case.spreads.items()
                },
            }
            for case in tables.cases
        ],
    }
