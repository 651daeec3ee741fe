"""What a page shows for one place of its sliders, in display units."""

from dataclasses import dataclass

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.report.cases import Seen
from vireton.report.tables import CORRELATION, Tables, line_weights, look_up, spread_winds


@dataclass(frozen=True)
class Spot:
    """Where one thing lands at one distance: (2,) in display units, its standard deviations (2,)
    and their correlation.
    """

    place: FloatArray
    sd: FloatArray
    correlation: float


@dataclass(frozen=True)
class Setting:
    """One place of the sliders: indices in the reach's lists and a crosswind, m/s to the right."""

    right: int
    up: int
    wind: float


@dataclass(frozen=True)
class Measure:
    """Display units: the ``small`` one and its size in m, and the crosswind's in m/s.

    ``interval`` and ``ellipse``: half-widths in standard deviations of what is shown as ± and as an
    ellipse.
    """

    small: str
    small_size: float
    wind: str
    wind_size: float
    interval: float
    ellipse: float


def spots(tables: Tables, case: int, seen: Seen, at: Setting, measure: Measure) -> list[Spot]:
    """A spot for each distance; ``apart`` is bare minus fletched."""
    if seen == "apart":
        places = look_up(tables, case, "bare", at.right, at.up, at.wind) - look_up(
            tables, case, "fletched", at.right, at.up, at.wind
        )
    else:
        places = look_up(tables, case, seen, at.right, at.up, at.wind)
    weights = line_weights(spread_winds(tables.reach.wind), at.wind)
    spreads = np.tensordot(weights, tables.cases[case].spreads[seen][at.right, at.up], 1)
    return [
        Spot(
            place / measure.small_size,
            spread[:2] * tables.size / measure.small_size,
            float(spread[2]) / CORRELATION,
        )
        for place, spread in zip(places, spreads, strict=True)
    ]


def seen_of(tables: Tables, case: int = 0) -> tuple[Seen, ...]:
    """What this case says something about: the arrows, and bare minus fletched."""
    return tuple(tables.cases[case].spreads)


def is_shown(tables: Tables, case: int, at: Setting) -> bool:
    """The less likely cases matter only where the rest is moved sideways."""
    return case == 0 or at.right != tables.reach.stands[0]


def axes_of(spot: Spot, measure: Measure) -> tuple[float, float, float]:
    """Half-axes and turn (degrees, counterclockwise) of the spot's ellipse, display units."""
    sd = spot.sd
    mixed = spot.correlation * sd[0] * sd[1]
    mean, half = 0.5 * (sd[0] ** 2 + sd[1] ** 2), 0.5 * (sd[0] ** 2 - sd[1] ** 2)
    away = float(np.hypot(half, mixed))
    turn = 0.5 * float(np.degrees(np.arctan2(mixed, half)))
    long, short = np.sqrt(mean + away), np.sqrt(max(mean - away, 0.0))
    return float(measure.ellipse * long), float(measure.ellipse * short), turn
