"""Tables of ``vireton scatter``."""

import math
from typing import TYPE_CHECKING

import numpy as np

from vireton.bow.arrow import GRAIN
from vireton.bow.cautions import SHOOTING_BARE
from vireton.scatter.estimates import Estimate, Group, ellipse
from vireton.uncertain import Banded
from vireton.units.numbers import MPH
from vireton_cli.heading import heading
from vireton_cli.options import UnitChoice
from vireton_cli.showing import (
    INCH,
    OPEN,
    Shown,
    digits_for,
    system,
    with_band,
)
from vireton_cli.tables import console, make_table, say

if TYPE_CHECKING:
    from rich.console import Console

    from vireton.rig import Rig
    from vireton.scatter.case import Case
    from vireton.scatter.plausible import GroupBands
    from vireton.scatter.sources import Scatter
    from vireton.scatter.study import Answer

NO_ADVICE = (
    "Hits are counted for targets at practice. Which distance is right for a shot at game is not "
    "ours to say, and nothing here certifies a bow, an arrow or a shot as safe."
)
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
_TOGETHER = "several together"
#: Below this a share is of no matter in a table.
_NO_SHARE = 0.0005
#: m/s; less is the rounding of a clock direction.
_NO_WIND = 1e-9


def print_answer(
    rig: "Rig",
    case: "Case",
    answer: "Answer",
    bands: "dict[str, GroupBands]",
    draws: int,
    units: UnitChoice,
) -> None:
    """The tables for people."""
    shown = system(units)
    out = console()
    target = f"{case.target / shown.small_size:.4g} {shown.small}"
    say(
        out,
        [
            *heading(rig, shown, draws)[:2],
            f"one shot differs from the next by (SD): {_scatter_words(case.scatter, shown)}",
            f"target: a circle of {target}, a hit is a point whose middle is inside. Its middle is "
            "where the fletched arrow lands without scatter in still air, as if each distance had "
            "its pin",
            _steady_words(case.wind, shown),
            f"± is one standard error of the counting, {answer.arrows:,} arrows of each kind; in "
            f"brackets: 9 of 10 of {draws} plausible bows (see [uncertainty] in the setup file)",
            "19 of 20: length and width of the oval that holds about so many shots",
            *rig.notes,
        ],
    )
    is_open = bool(rig.bow.rest.offset_right or rig.bow.nock_travel_right)
    for kind, group in answer.groups.items():
        _print_group(out, kind, group, bands[kind], shown, is_open=is_open)
    _print_shares(out, answer.groups, shown)
    closing = [NO_ADVICE, SHOOTING_BARE]
    if not answer.reached_precision:
        closing.insert(
            0,
            f"not as sure as asked: some {_rounded(answer.arrows_needed)} arrows of each kind, or "
            "fewer, would do. Raise --most, or ask for less --precision",
        )
    if is_open:
        closing.insert(0, f"{OPEN} the direction is open until this bow has shown it")
    say(out, closing)


def _rounded(count: int) -> str:
    """Two digits, rounded up."""
    step = 10 ** max(0, len(str(count)) - 2)
    return f"{-(-count // step) * step:,}"


def _scatter_words(scatter: "Scatter", shown: Shown) -> str:
    us = shown.small == "in"
    far = 20.0 * shown.far_size
    aims = [
        f"{one * far / shown.small_size:.2g} {shown.small} at {shown.distance(far)}"
        for one in (scatter.aim_right, scatter.aim_up)
    ]
    pieces = (
        (scatter.aim_right, f"aim {aims[0]} sideways"),
        (scatter.aim_up, f"aim {aims[1]} up and down"),
        (scatter.yaw_rate, f"yaw rate {scatter.yaw_rate:.2g} rad/s"),
        (scatter.pitch_rate, f"pitch rate {scatter.pitch_rate:.2g} rad/s"),
        (scatter.yaw, f"yaw {math.degrees(scatter.yaw):.2g}°"),
        (scatter.pitch, f"pitch {math.degrees(scatter.pitch):.2g}°"),
        (scatter.speed, f"speed {scatter.speed / shown.speed_size:.2g} {shown.speed}"),
        (scatter.gust_across, f"gusts across {_wind(scatter.gust_across, us)}"),
        (scatter.gust_along, f"gusts along {_wind(scatter.gust_along, us)}"),
        (
            scatter.mass,
            f"arrow mass {scatter.mass / GRAIN:.2g} gr"
            if us
            else f"arrow mass {scatter.mass * 1e3:.2g} g",
        ),
        (scatter.spine, f"spine {scatter.spine / INCH:.2g} in"),
    )
    return ", ".join(words for size, words in pieces if size > 0.0) or "nothing"


def _steady_words(wind: tuple[float, float], shown: Shown) -> str:
    along, right = wind
    us = shown.small == "in"
    pieces = []
    if abs(right) > _NO_WIND:
        pieces.append(f"{_wind(abs(right), us)} toward the {'right' if right > 0 else 'left'}")
    if abs(along) > _NO_WIND:
        pieces.append(f"{_wind(abs(along), us)} {'from behind' if along > 0 else 'in the face'}")
    return f"steady wind: {' and '.join(pieces) or 'none'}; nobody holds off for it"


def _wind(speed: float, us: bool) -> str:
    return f"{speed / MPH:.2g} mph" if us else f"{speed:.2g} m/s"


def _print_group(
    out: "Console",
    kind: str,
    group: Group,
    bands: "GroupBands",
    shown: Shown,
    *,
    is_open: bool,
) -> None:
    small = shown.small
    table = make_table(
        f"\n{kind}",
        [
            "at",
            f"SD right, {small}",
            f"SD up, {small}",
            f"19 of 20, {small}",
            f"middle right, {small}",
            f"middle up, {small}",
            "hits",
        ],
    )
    for i, distance in enumerate(group.distance):
        long, short, _ = ellipse(group.covariance[i])
        size = shown.small_size
        digits = digits_for(long / size / 10.0)
        table.add_row(
            shown.distance(float(distance)),
            _size(bands.sd, (i, 0), size),
            _size(bands.sd, (i, 1), size),
            f"{2.0 * long / size:.{digits}f} × {2.0 * short / size:.{digits}f}",
            _middle(bands.center, (i, 0), size) + (f" {OPEN}" if is_open else ""),
            _middle(bands.center, (i, 1), size),
            _hits(group, bands.hits, i),
        )
    out.print(table)
    lost = group.reached < 1.0
    if lost.any():
        first = shown.distance(float(group.distance[int(np.argmax(lost))]))
        say(out, [f"from {first} on some {kind} arrows never arrive; they count as misses"])


def _ends(values: Banded, at: tuple[int, ...], size: float) -> tuple[float, float, float]:
    one, low, high = (float(getattr(values, end)[at]) for end in ("nominal", "low", "high"))
    return one / size, low / size, high / size


def _size(values: Banded, at: tuple[int, ...], size: float) -> str:
    """A size without a sign and its band."""
    value, low, high = _ends(values, at, size)
    digits = digits_for(max(high - low, value / 10.0))
    told = [f"{one:.{digits}f}" for one in (value, low, high)]
    return told[0] if told[1] == told[2] else f"{told[0]} ({told[1]}…{told[2]})"


def _middle(values: Banded, at: tuple[int, ...], size: float) -> str:
    return with_band(*_ends(values, at, size))


def _hits(group: Group, values: Banded, i: int) -> str:
    """``"56.4 ± 0.4 % (55…57)"``; where all hit, or none, what the rule of three leaves.

    Of n that all hit, more than 1 − 3/n hit at 95 % (any text); never rounded to all or none.
    """
    value, low, high = (100.0 * one for one in _ends(values, (i,), 1.0))
    error = 100.0 * float(group.hits.error[i])
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


def _print_shares(out: "Console", groups: dict[str, Group], shown: Shown) -> None:
    """What the scatter at the farthest distance comes from."""
    first = next(iter(groups.values()))
    if not first.sources:
        return
    columns = [
        (f"{kind} {side}", group.shares[side]) for kind, group in groups.items()
        for side in ("right", "up")
    ]  # fmt: skip
    table = make_table(
        f"\nwhat it comes from at {shown.distance(float(first.distance[-1]))}: shares of the "
        "variance, %",
        ["source", *(name for name, _ in columns)],
    )
    table.columns[0].justify = "left"
    names = [*(_SOURCES[one] for one in first.sources), _TOGETHER]
    values = np.array([shares.value[-1] for _, shares in columns])
    order = sorted(
        range(len(first.sources)), key=lambda i: -float(np.nanmax(values[:, i], initial=0))
    )
    for i in [*order, len(first.sources)]:
        table.add_row(names[i], *(_share(shares, i) for _, shares in columns))
    out.print(table)


def _share(shares: Estimate, i: int) -> str:
    value, error = float(shares.value[-1, i]), float(shares.error[-1, i])
    if math.isnan(value):
        return "–"
    if value < max(2.0 * error, _NO_SHARE):
        return "0"
    return f"{100.0 * value:.1f} ± {max(100.0 * error, 0.1):.1f}"
