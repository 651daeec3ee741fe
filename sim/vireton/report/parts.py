"""What the pages of logs and of setup files have in common."""

import math
from typing import Any

import numpy as np

from vireton.report.cases import Case
from vireton.report.content import WhatIf
from vireton.report.shown import Measure, Setting, spots
from vireton.report.tables import Reach, Tables
from vireton.tuning.observations import ArrowKind
from vireton.units.display import Display
from vireton.units.move_names import sides
from vireton.units.numbers import INCH, MPH, YARD, number, pair, percent

#: Crosswinds that are flown and the slider's step, by units: highest, between two, step.
_WINDS = {
    "us": ("mph", MPH, 15.0, 2.5, 0.5),
    "metric": ("m/s", 1.0, 6.0, 1.0, 0.25),
}
_NOTCHES = 4  # places of a rest slider either side, at least
_FINEST = INCH / 64.0  # m between two of them, at least
_GRAIN = 0.01  # display units a count of the tables: what is said to two decimals

#: Half-widths in standard deviations: one axis, and both together (chi-square, 2 degrees).
OF_95 = (1.96, math.sqrt(5.991))
OF_90 = (1.645, math.sqrt(4.605))


def grain(display: Display) -> float:
    """m a count of the tables."""
    return _GRAIN * display.small_size


def measure(display: Display, widths: tuple[float, float]) -> Measure:
    """Display units and what ± and ellipses hold."""
    name, size, *_ = _WINDS[display.name]
    return Measure(display.small, display.small_size, name, size, *widths)


def wind_step(display: Display) -> float:
    """Of the slider, display units."""
    return _WINDS[display.name][4]


def reach(step: float, display: Display, advised: tuple[float, float] = (0.0, 0.0)) -> Reach:
    """Where the sliders go: whole steps of this rest, the advised move among them."""
    _, size, highest, between, _ = _WINDS[display.name]
    winds = np.arange(-highest, highest + 0.5 * between, between) * size
    return Reach(_notches(step, advised[0]), _notches(step, advised[1]), winds)


def _notches(step: float, advised: float) -> np.ndarray:
    apart = step * max(1, round(_FINEST / step))
    count = max(_NOTCHES, math.ceil(abs(advised) / apart - 1e-6))
    places = [k * apart for k in range(-count, count + 1)]
    if min(abs(place - advised) for place in places) > 1e-9:
        places.append(advised)
    return np.array(sorted(places))


def index_of(places: np.ndarray, move: float) -> int:
    """Which of the places is this move."""
    return int(np.argmin(np.abs(places - move)))


def move_texts(tables: Tables, display: Display) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The sliders' places in words."""
    names = (("right", "left"), ("up", "down"))
    right = tuple(
        ", ".join(sides((float(one), 0.0), names, display.name)) or "sideways unmoved"
        for one in tables.reach.right
    )
    up = tuple(
        ", ".join(sides((0.0, float(one)), names, display.name)) or "height unmoved"
        for one in tables.reach.up
    )
    return right, up


def case_texts(cases: tuple[Case, ...], reason: str) -> tuple[str, ...]:
    """What each case stands for."""
    said = []
    for k, case in enumerate(cases):
        side = "right" if case.nose > 0 else "left"
        if k == 0:
            text = f"if rest right turns the nose {side} ({percent(case.weight)}{reason})"
        else:
            text = (
                f"if it turns it {side} ({percent(case.weight)}): drawn once the rest moves aside"
            )
        said.append(text)
    return tuple(said)


def changes(
    tables: Tables, display: Display, step_texts: tuple[tuple[str, ...], tuple[str, ...]]
) -> tuple[tuple[str, Any, Setting], ...]:
    """The lines of single changes: each a notch of the rest, and a wind."""
    i, j = tables.reach.stands
    both = len(tables.cases[0].places) > 1
    seen = "apart" if both else "bare"
    name = "bare − fletched" if both else "bare shaft"
    right, up = step_texts
    wind, far = (10.0 * MPH, "10 mph") if display.name == "us" else (4.0, "4 m/s")
    lines: list[tuple[str, Any, Setting]] = [
        (f"{name}, unmoved", seen, Setting(i, j, 0.0)),
        *((f"… rest {right[k]}", seen, Setting(k, j, 0.0)) for k in (i + 1, i - 1)),
        *((f"… rest {up[k]}", seen, Setting(i, k, 0.0)) for k in (j + 1, j - 1)),
        (f"… {far} from the left", seen, Setting(i, j, wind)),
    ]
    if both:
        lines.append((f"fletched: {far} from the left", "fletched", Setting(i, j, wind)))
    return tuple(lines)


def whatif_json(what: WhatIf) -> dict[str, Any]:
    """What a page shows at its start, with stable keys."""
    tables, at = what.tables, what.start
    size = what.measure.small_size
    return {
        "schema": 1,
        "distances_yd": [number(one / YARD) for one in tables.distances],
        "interpolation_error_in": pair(tables.errors, INCH),
        "start": {
            "rest_right_in": number(tables.reach.right[at.right] / INCH),
            "rest_up_in": number(tables.reach.up[at.up] / INCH),
            "crosswind_towards_right_mph": number(at.wind / MPH),
        },
        "cases": [
            {
                "probability": number(case.weight),
                "rest_right_turns_nose": "right" if case.nose > 0 else "left",
                "impacts": {
                    kind: [_spot_json(s, size) for s in spots(tables, k, kind, at, what.measure)]
                    for kind in case.places
                },
            }
            for k, case in enumerate(tables.cases)
        ],
    }


def _spot_json(spot: Any, size: float) -> dict[str, Any]:
    return {
        "right_in": number(spot.place[0] * size / INCH),
        "up_in": number(spot.place[1] * size / INCH),
        "sd_right_in": number(spot.sd[0] * size / INCH),
        "sd_up_in": number(spot.sd[1] * size / INCH),
    }


Marks = tuple[tuple[ArrowKind, float, float], ...]
