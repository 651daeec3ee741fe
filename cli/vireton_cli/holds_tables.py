"""The tables and words of ``vireton holds``."""

import math

from rich.table import Table

from vireton.answers.holds import slope_name
from vireton.studies.holds import HoldAnswer, HoldQuestion, SlopeHold
from vireton.uncertain import Banded
from vireton.units.numbers import MPH
from vireton_cli.showing import Shown, digits_for, plain, with_band
from vireton_cli.tables import cell, make_table

#: Departure from proportion that is worth a line (our choice).
_BENT = 0.05

#: Bands of this share of the value, or this wide in the unit shown, take room and change nothing.
_NARROW, _TENTH = 0.05, 0.1


def wind_name(speed: float, shown: Shown) -> str:
    """A wind speed with its unit."""
    if shown.small == "in":
        return f"{speed / MPH:.3g} mph"
    return f"{speed:.3g} m/s"


def _at(answer: HoldAnswer, shown: Shown) -> list[str]:
    return [shown.distance(float(distance)) for distance in answer.distance]


def _filled(
    title: str, answer: HoldAnswer, shown: Shown, columns: list[tuple[str, list[str]]]
) -> Table:
    table = make_table(f"\n{title}", ["at", *(name for name, _ in columns)])
    for row in zip(_at(answer, shown), *(cells for _, cells in columns), strict=True):
        table.add_row(*row)
    return table


def _cells(values: Banded, axis: int, shown: Shown) -> list[str]:
    return [cell(values, i, axis, shown) for i in range(len(values.nominal))]


def _sure(value: float, low: float, high: float) -> str:
    """A number with its band, but a narrow band only limits the digits and is not shown."""
    width = high - low
    if not math.isfinite(width) or width > max(_NARROW * abs(value), _TENTH):
        return with_band(value, low, high)
    return plain(value, min(1, digits_for(width)))


def _sure_cells(values: Banded, axis: int, shown: Shown) -> list[str]:
    ends = (values.nominal[:, axis], values.low[:, axis], values.high[:, axis])
    return [
        _sure(*(float(one) / shown.small_size for one in row)) for row in zip(*ends, strict=True)
    ]


def hold_tables(answer: HoldAnswer, question: HoldQuestion, shown: Shown) -> list[Table]:
    """Wind; slopes; a crooked hold; other air. Those that were not asked for are left out."""
    small = shown.small
    tables = [_wind(answer, question, shown)]
    if answer.slopes:
        tables.append(
            _filled(
                f"slope: lands high by, {small} (across the line of sight)",
                answer,
                shown,
                [
                    (slope_name(one.slope), _sure_cells(one.shift, 1, shown))
                    for one in answer.slopes
                ],
            )
        )
        tables.append(
            _filled(
                f"slope: shoot it as if it were level at, {shown.far}",
                answer,
                shown,
                [(slope_name(one.slope), _as(one.shoot_as, shown)) for one in answer.slopes],
            )
        )
    tables.append(_crooked(answer, question, shown))
    if answer.airs:
        title = f"other air: lands high by, {small}"
        columns = [(name, _cells(one, 1, shown)) for name, one in answer.airs.items()]
        tables.append(_filled(title, answer, shown, columns))
    return tables


def _wind(answer: HoldAnswer, question: HoldQuestion, shown: Shown) -> Table:
    speed, small = wind_name(question.wind_speed, shown), shown.small
    unit = MPH if small == "in" else 1.0
    blown, share = answer.crosswind, unit / question.wind_speed
    per = Banded(share * blown.nominal, share * blown.low, share * blown.high)
    return _filled(
        f"wind of {speed}",
        answer,
        shown,
        [
            (f"from the left: right, {small}", _cells(answer.crosswind, 0, shown)),
            (f"per {'mph' if small == 'in' else 'm/s'}: right, {small}", _cells(per, 0, shown)),
            (f"in the face: up, {small}", _cells(answer.headwind, 1, shown)),
            (f"from behind: up, {small}", _cells(answer.tailwind, 1, shown)),
        ],
    )


def _crooked(answer: HoldAnswer, question: HoldQuestion, shown: Shown) -> Table:
    small, third = shown.small, math.degrees(question.third_axis)
    columns = [
        (f"bow canted {math.degrees(question.cant):.3g}°: right, {small}",
         _sure_cells(answer.cant, 0, shown)),
        *(
            (f"level {third:.3g}° off, {slope_name(one.slope)}: right, {small}",
             _sure_cells(one.third_axis, 0, shown))
            for one in _steepest(answer)
        ),
    ]  # fmt: skip
    title = "held crooked: top of the bow to the right; level off its third axis, right end forward"
    return _filled(title, answer, shown, columns)


def _steepest(answer: HoldAnswer) -> list[SlopeHold]:
    """The steepest slope downhill and uphill, of those that were asked for."""
    found = []
    for sign in (-1.0, 1.0):
        side = [one for one in answer.slopes if sign * one.slope > 0.0]
        if side:
            found.append(max(side, key=lambda one: abs(one.slope)))
    return found


def _as(values: Banded, shown: Shown) -> list[str]:
    cells = []
    for value, low, high in zip(values.nominal, values.low, values.high, strict=True):
        if not math.isfinite(value):
            cells.append("no pin")
            continue
        text = _sure(*(float(end) / shown.far_size for end in (value, low, high)))
        cells.append(text.replace("+", ""))
    return cells


def wind_words(
    answer: HoldAnswer, question: HoldQuestion, exponent: float, shown: Shown
) -> list[str]:
    """How to use the wind table for other directions and speeds."""
    lines = [
        "from the right: as much to the left. From a quarter (1:30 or 4:30 on the clock) about "
        "seven tenths of it, from 1 or 5 o'clock about half or a little less"
    ]
    share = float(answer.drift_at_half[-1])
    if abs(share - 0.5) > _BENT * 0.5:
        lines.append(
            f"drift does not quite go with the wind: half of it gives {share:.0%} of the drift at "
            f"{shown.distance(float(answer.distance[-1]))}"
        )
    if exponent > 0.0:
        lines.append("the wind grows with height as [wind] in the setup file says")
    if float(answer.crosswind.nominal[0, 0]) < 0.0 < question.wind_speed:
        lines.append(
            "close up the drift goes against the wind: the point swings into it before the arrow "
            "is carried along"
        )
    return lines
