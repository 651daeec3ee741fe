"""Tables and words of ``scatter``."""

import math
from typing import TYPE_CHECKING

import numpy as np

from vireton.answers.arrow import arrow_facts
from vireton.answers.table import Column, Grid, Lines, Part, ends, grid
from vireton.bow.cautions import SHOOTING_BARE
from vireton.scatter.estimates import Estimate, Group, ellipse
from vireton.uncertain import Banded
from vireton.units.display import (
    DEGREES,
    MASS,
    OPEN,
    SPEED,
    TURNING,
    WIND,
    Display,
    Unit,
    digits_for,
    with_band,
)
from vireton.units.numbers import INCH

if TYPE_CHECKING:
    from vireton.answers.scatter import SetupGroups
    from vireton.scatter.plausible import GroupBands
    from vireton.scatter.sources import Scatter

NO_ADVICE = (
    "Hits are counted for targets at practice. Which distance is right for a shot at game is not "
    "ours to say, and nothing here certifies a bow, an arrow or a shot as safe."
)
#: Each source in a table, and in the sentence of what one shot differs by with its unit.
_SOURCES = {
    "aim_right": "aim, left and right",
    "aim_up": "aim, up and down",
    "yaw_rate": "yaw rate at the start",
    "pitch_rate": "pitch rate at the start",
    "speed": "speed",
    "gust_across": "gusts across",
    "gust_along": "gusts along",
    "yaw": "yaw at the start",
    "pitch": "pitch at the start",
    "mass": "mass of the arrows",
    "spine": "spine of the arrows",
}
_SPINE = Unit("in", INCH, ("in", INCH), ("in", INCH))
_TOGETHER = "several together"
#: Below this a share is of no matter in a table.
_NO_SHARE = 0.0005
#: m/s; less is the rounding of a clock direction.
_NO_WIND = 1e-9


def page(found: "SetupGroups", display: Display) -> list[Part]:
    """A table for each kind of arrow, and what the scatter comes from."""
    case, study, rig = found.case, found.study, found.question.rig
    target = f"{case.target / display.small_size:.4g} {display.small}"
    lead = [
        *arrow_facts(rig, display),
        f"one shot differs from the next by (SD): {scatter_sources(case.scatter, display)}",
        f"target: a circle of {target}, a hit is a point whose middle is inside. Its middle is "
        "where the fletched arrow lands without scatter in still air, as if each distance had "
        "its pin",
        steady_words(case.wind, display),
        f"± is one standard error of the counting, {study.arrows:,} arrows of each kind; in "
        f"brackets: 9 of 10 of {found.question.draws} plausible bows (see [uncertainty] in the "
        "setup file)",
        "19 of 20: length and width of the oval that holds about so many shots",
        *found.notes,
    ]
    is_open = rig.sideways_open()
    parts: list[Part] = [Lines(tuple(lead))]
    for kind, group in study.groups.items():
        parts.append(_table(kind, group, found.bands[kind], display, is_open=is_open))
        parts += _lost(kind, group, display)
    parts += _shares_table(study.groups, display)
    closing = [NO_ADVICE, SHOOTING_BARE]
    if not study.reached_precision:
        closing.insert(
            0,
            f"not as sure as asked: some {rounded_up(study.arrows_needed)} arrows of each kind, or "
            "fewer, would do. Raise --most, or ask for less --precision",
        )
    if is_open:
        closing.insert(0, f"{OPEN} the direction is open until this bow has shown it")
    return [*parts, Lines(tuple(closing))]


def rounded_up(count: int) -> str:
    """Two digits, rounded up."""
    step = 10 ** max(0, len(str(count)) - 2)
    return f"{-(-count // step) * step:,}"


def scatter_sources(scatter: "Scatter", display: Display) -> str:
    """What one shot differs from the next by, the aim first."""
    far = 20.0 * display.far_size
    at = f"{display.small} at {display.distance(far)}"

    def told(size: float, unit: Unit) -> str:
        name, one = display.unit(unit)
        return f"{size / one:.2g}{name if name == '°' else f' {name}'}"

    pieces = (
        (
            scatter.aim_right,
            f"aim {scatter.aim_right * far / display.small_size:.2g} {at} sideways",
        ),
        (scatter.aim_up, f"aim {scatter.aim_up * far / display.small_size:.2g} {at} up and down"),
        (scatter.yaw_rate, f"yaw rate {told(scatter.yaw_rate, TURNING)}"),
        (scatter.pitch_rate, f"pitch rate {told(scatter.pitch_rate, TURNING)}"),
        (scatter.yaw, f"yaw {told(scatter.yaw, DEGREES)}"),
        (scatter.pitch, f"pitch {told(scatter.pitch, DEGREES)}"),
        (scatter.speed, f"speed {told(scatter.speed, SPEED)}"),
        (scatter.gust_across, f"gusts across {told(scatter.gust_across, WIND)}"),
        (scatter.gust_along, f"gusts along {told(scatter.gust_along, WIND)}"),
        (scatter.mass, f"arrow mass {told(scatter.mass, MASS)}"),
        (scatter.spine, f"spine {told(scatter.spine, _SPINE)}"),
    )
    return ", ".join(words for size, words in pieces if size > 0.0) or "nothing"


def steady_words(wind: tuple[float, float], display: Display) -> str:
    """The steady wind, m/s (along, right)."""
    along, right = wind
    name, size = display.unit(WIND)
    pieces = []
    if abs(right) > _NO_WIND:
        side = "right" if right > 0 else "left"
        pieces.append(f"{abs(right) / size:.2g} {name} toward the {side}")
    if abs(along) > _NO_WIND:
        side = "from behind" if along > 0 else "in the face"
        pieces.append(f"{abs(along) / size:.2g} {name} {side}")
    return f"steady wind: {' and '.join(pieces) or 'none'}; nobody holds off for it"


def _table(
    kind: str, group: Group, bands: "GroupBands", display: Display, *, is_open: bool
) -> Grid:
    small, size = display.small, display.small_size
    titles = {
        "at": "at",
        "sd_right": f"SD right, {small}",
        "sd_up": f"SD up, {small}",
        "oval": f"19 of 20, {small}",
        "right": f"middle right, {small}",
        "up": f"middle up, {small}",
        "hits": "hits",
    }
    rows = []
    for i, distance in enumerate(group.distance):
        long, short, _ = ellipse(group.covariance[i])
        digits = digits_for(long / size / 10.0)
        right = with_band(*_sizes(bands.center[i, 0], size))
        rows.append(
            {
                "at": display.distance(float(distance)),
                "sd_right": unsigned(bands.sd[i, 0], size),
                "sd_up": unsigned(bands.sd[i, 1], size),
                "oval": f"{2.0 * long / size:.{digits}f} × {2.0 * short / size:.{digits}f}",
                "right": f"{right} {OPEN}" if is_open else right,
                "up": with_band(*_sizes(bands.center[i, 1], size)),
                "hits": hits(bands.hits[i], float(group.hits.error[i])),
            }
        )
    return grid(kind, [Column(key, title=title) for key, title in titles.items()], rows, display)


def _lost(kind: str, group: Group, display: Display) -> list[Part]:
    lost = group.reached < 1.0
    if not lost.any():
        return []
    first = display.distance(float(group.distance[int(np.argmax(lost))]))
    return [Lines((f"from {first} on some {kind} arrows never arrive; they count as misses",))]


def _sizes(value: Banded, size: float) -> tuple[float, float, float]:
    nominal, low, high = (float(one) / size for one in ends(value))
    return nominal, low, high


def unsigned(band: Banded, size: float) -> str:
    """A size without a sign and its band."""
    value, low, high = _sizes(band, size)
    digits = digits_for(max(high - low, value / 10.0))
    told = [f"{one:.{digits}f}" for one in (value, low, high)]
    return told[0] if told[1] == told[2] else f"{told[0]} ({told[1]}…{told[2]})"


def hits(band: Banded, standard_error: float) -> str:
    """``"56.4 ± 0.4 % (55…57)"``; where all hit, or none, what the rule of three leaves.

    Of n that all hit, more than 1 − 3/n hit at 95 % (any text); never rounded to all or none.
    """
    value, low, high = (100.0 * float(one) for one in ends(band))
    error = 100.0 * standard_error
    digits = max(0, -math.floor(math.log10(error)))
    if value + error > 100.0:
        least = math.floor((100.0 - 3.0 * error) * 10**digits + 1e-6) / 10**digits
        told = f"over {least:.{digits}f} %"
    elif value < error:
        most = math.ceil(3.0 * error * 10**digits - 1e-6) / 10**digits
        told = f"under {most:.{digits}f} %"
    else:
        told = f"{value:.{digits}f} ± {error:.{digits}f} %"
    return told if f"{low:.0f}" == f"{high:.0f}" else f"{told} ({low:.0f}…{high:.0f})"


def _shares_table(groups: dict[str, Group], display: Display) -> list[Part]:
    """What the scatter at the farthest distance comes from; nothing where nothing differs."""
    first = next(iter(groups.values()))
    if not first.sources:
        return []
    columns = {
        f"{kind} {side}": group.shares[side]
        for kind, group in groups.items()
        for side in ("right", "up")
    }
    names = [*(_SOURCES[one] for one in first.sources), _TOGETHER]
    values = np.array([shares.value[-1] for shares in columns.values()])
    order = sorted(
        range(len(first.sources)), key=lambda i: -float(np.nanmax(values[:, i], initial=0))
    )
    rows = [
        {"source": names[i], **{name: share(shares, i) for name, shares in columns.items()}}
        for i in [*order, len(first.sources)]
    ]
    far = display.distance(float(first.distance[-1]))
    title = f"what it comes from at {far}: shares of the variance, %"
    heads = [Column(name, title=name) for name in ("source", *columns)]
    return [grid(title, heads, rows, display, left=(0,))]


def share(shares: Estimate, i: int) -> str:
    """One share at the farthest distance, %; what nothing tells from none is 0."""
    value, error = float(shares.value[-1, i]), float(shares.error[-1, i])
    if math.isnan(value):
        return "–"
    if value < max(2.0 * error, _NO_SHARE):
        return "0"
    return f"{100.0 * value:.1f} ± {max(100.0 * error, 0.1):.1f}"
