"""Tables and words of ``scatter``."""

import math
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from vireton.answers.arrow import arrow_facts
from vireton.answers.bands import BRACKETS, SIDE_OPEN
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
#: Each source in a table.
_SOURCES = {
    "aim_right": "aim, left and right",
    "aim_up": "aim, up and down",
    "yaw_rate": "nose turning sideways",
    "pitch_rate": "nose turning up or down",
    "speed": "speed",
    "gust_across": "gusts across",
    "gust_along": "gusts along",
    "yaw": "nose pointing sideways",
    "pitch": "nose pointing up or down",
    "mass": "arrow weight",
    "spine": "arrow spine",
}
_SPINE = Unit("in", INCH, ("in", INCH), ("in", INCH))
_TOGETHER = "several together"
_WAYS = ("sideways", "up and down")
#: Below this a share is of no matter in a table.
_NO_SHARE, _A_HUNDREDTH = 0.0005, 0.01
#: m/s; less is the rounding of a clock direction.
_NO_WIND = 1e-9


def page(found: "SetupGroups", display: Display) -> list[Part]:
    """Hits; a table for each kind of arrow; what the scatter comes from."""
    case, study, rig = found.case, found.study, found.question.rig
    is_open = rig.sideways_open()
    parts: list[Part] = [Lines((_lead(found, display),))]
    for kind, group in study.groups.items():
        parts += _tables(kind, group, found.bands[kind], display, is_open=is_open)
        parts += _lost(kind, group, display)
    parts += _shares_table(study.groups, display)
    notes = [
        "group: length and width of what holds 19 of 20 shots; spread: one standard deviation "
        "(SD), 2 of 3 shots are within it",
        f"shot with these SDs: {scatter_sources(case.scatter, display)}",
        *steady_words(case.wind, display),
        f"{BRACKETS.partition(';')[0]}, and what counting {study.arrows:,} arrows of each kind "
        "leaves open",
        *arrow_facts(rig, display),
        *found.notes,
    ]
    if not study.reached_precision:
        notes.insert(
            0,
            f"not as sure as asked: some {rounded_up(study.arrows_needed)} arrows of each kind, or "
            "fewer, would do. Raise --most, or ask for less --precision",
        )
    if is_open:
        notes.insert(0, SIDE_OPEN)
    return [*parts, Lines((*notes, NO_ADVICE, SHOOTING_BARE))]


def _lead(found: "SetupGroups", display: Display) -> str:
    """How many hit, of each kind at each distance; of many distances the first, the last and one
    between.
    """
    case = found.case
    target = f"{case.target / display.small_size:.4g} {display.small}"
    count = case.distances.size
    some = sorted({0, count // 2, count - 1})
    told = []
    for kind, group in found.study.groups.items():
        shares = (
            f"{hits(found.bands[kind].hits[i], float(group.hits.error[i])).partition(' (')[0]} at "
            f"{display.distance(float(group.distance[i]))}"
            for i in some
        )
        told.append(f"{kind} {', '.join(shares)}")
    return f"inside a circle of {target}, each distance with its own pin: {'; '.join(told)}"


def rounded_up(count: int) -> str:
    """Two digits, rounded up."""
    step = 10 ** max(0, len(str(count)) - 2)
    return f"{-(-count // step) * step:,}"


def scatter_sources(scatter: "Scatter", display: Display) -> str:
    """What one shot differs by from the next, a source each, by one standard deviation."""
    far = 20.0 * display.far_size
    at = f"{display.small} at {display.distance(far)}"

    def told(size: float, unit: Unit) -> str:
        name, one = display.unit(unit)
        return f"{size / one:.2g}{name if name == '°' else f' {name}'}"

    def aimed(size: float) -> str:
        return f"{size * far / display.small_size:.2g} {at}"

    both = (
        ("aim", scatter.aim_right, scatter.aim_up, aimed, _WAYS),
        ("nose turn", scatter.yaw_rate, scatter.pitch_rate, partial(told, unit=TURNING), _WAYS),
        ("nose", scatter.yaw, scatter.pitch, partial(told, unit=DEGREES), _WAYS),
        ("gusts", scatter.gust_across, scatter.gust_along, partial(told, unit=WIND),
         ("across", "along")),
    )  # fmt: skip
    single = (
        (scatter.speed, f"speed {told(scatter.speed, SPEED)}"),
        (scatter.mass, f"arrow weight {told(scatter.mass, MASS)}"),
        (scatter.spine, f"spine {told(scatter.spine, _SPINE)}"),
    )
    pieces = [text for one in both for text in _both_ways(*one)]
    pieces += [words for size, words in single if size > 0.0]
    return ", ".join(pieces) or "nothing"


def _both_ways(
    name: str, one: float, other: float, told: Callable[[float], str], ways: tuple[str, str]
) -> list[str]:
    """``["aim 1 in at 20 yd both ways"]``, or each way by itself where they differ."""
    if one == other > 0.0:
        together = "both ways" if ways is _WAYS else " and ".join(ways)
        return [f"{name} {told(one)} {together}"]
    sizes = zip((one, other), ways, strict=True)
    return [f"{name} {told(size)} {way}" for size, way in sizes if size > 0.0]


def steady_words(wind: tuple[float, float], display: Display) -> list[str]:
    """The steady wind, m/s (along, right); nothing where there is none."""
    along, right = wind
    name, size = display.unit(WIND)
    pieces = []
    if abs(right) > _NO_WIND:
        side = "right" if right > 0 else "left"
        pieces.append(f"{abs(right) / size:.2g} {name} toward the {side}")
    if abs(along) > _NO_WIND:
        side = "from behind" if along > 0 else "in the face"
        pieces.append(f"{abs(along) / size:.2g} {name} {side}")
    return [f"steady wind {' and '.join(pieces)}, aim not corrected for wind"] if pieces else []


def _tables(
    kind: str, group: Group, bands: "GroupBands", display: Display, *, is_open: bool
) -> list[Grid]:
    """Where the group is and what hits; how large it is."""
    small, size = display.small, display.small_size
    titles = {
        "at": "at",
        "hits": "hits",
        "right": f"center right, {small}{f' {OPEN}' if is_open else ''}",
        "up": f"center up, {small}",
        "oval": f"group, {small}",
        "sd_right": f"spread right, {small}",
        "sd_up": f"spread up, {small}",
    }
    rows = []
    for i, distance in enumerate(group.distance):
        long, short, _ = ellipse(group.covariance[i])
        digits = min(1, digits_for(long / size / 10.0))
        rows.append(
            {
                "at": display.distance(float(distance)),
                "hits": hits(bands.hits[i], float(group.hits.error[i])),
                "oval": f"{2.0 * long / size:.{digits}f} × {2.0 * short / size:.{digits}f}",
                "sd_right": unsigned(bands.sd[i, 0], size),
                "sd_up": unsigned(bands.sd[i, 1], size),
                "right": with_band(*_sizes(bands.center[i, 0], size)),
                "up": with_band(*_sizes(bands.center[i, 1], size)),
            }
        )
    columns = {key: Column(key, title=title) for key, title in titles.items()}
    return [
        grid(kind, [columns[key] for key in ("at", "hits", "right", "up")], rows, display),
        grid("", [columns[key] for key in ("at", "oval", "sd_right", "sd_up")], rows, display),
    ]


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
    return told[0] if told[1] == told[2] else f"{told[0]} ({told[1]} to {told[2]})"


def hits(band: Banded, standard_error: float) -> str:
    """``"56 % (50 to 61)"``: what plausible bows and two errors of the counting leave open.

    Where all hit, or none, what the rule of three leaves: of n that all hit, more than 1 − 3/n hit
    at 95 % (any text); never rounded to all or none.
    """
    value, low, high = (100.0 * float(one) for one in ends(band))
    error = 100.0 * standard_error
    low, high = max(0.0, low - 2.0 * error), min(100.0, high + 2.0 * error)
    if value + error > 100.0 or value < error:
        digits = max(0, -math.floor(math.log10(error)))
        told, rest = _all_or_none(value, error, digits), float(band.high - band.low)
        return told if rest < 0.005 else f"{told} ({low:.0f} to {high:.0f})"
    digits = 0 if 1.0 < value < 99.0 else 1
    while f"{value:.{digits}f}" in {f"{end:.{digits}f}" for end in (0.0, 100.0)}:
        digits += 1
    ends_told = [f"{end:.{digits}f}" for end in (low, high)]
    told = f"{value:.{digits}f} %"
    return told if ends_told[0] == ends_told[1] else f"{told} ({' to '.join(ends_told)})"


def _all_or_none(value: float, error: float, digits: int) -> str:
    if value < error:
        most = math.ceil(3.0 * error * 10**digits - 1e-6) / 10**digits
        return f"under {most:.{digits}f} %"
    least = math.floor((100.0 - 3.0 * error) * 10**digits + 1e-6) / 10**digits
    return f"over {least:.{digits}f} %"


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
    title = f"what makes the group at {far}, %"
    heads = [Column(name, title=name) for name in ("source", *columns)]
    return [grid(title, heads, rows, display, left=(0,))]


def share(shares: Estimate, i: int) -> str:
    """One share at the farthest distance, %; a dash for what nothing tells from none."""
    value, error = float(shares.value[-1, i]), float(shares.error[-1, i])
    if math.isnan(value) or value < max(2.0 * error, _NO_SHARE):
        return "–"
    return f"{100.0 * min(1.0, value):.0f}" if value >= _A_HUNDREDTH else "under 1"
