"""A comparison shown: the table with its reading, and the picture."""

from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from rich.console import Console
from rich.table import Table

from vireton.bow.cautions import SHOOTING_BARE
from vireton.flight.stability import FARTHEST_SETTLING, FARTHEST_SPIN_UP
from vireton.studies.compare import Compared, at_index
from vireton_cli.figure_rows import NONE, ROWS, SAME, Row, difference_text, reading, value_text
from vireton_cli.options import UnitChoice
from vireton_cli.showing import system
from vireton_cli.tables import console, make_table, say

#: Arrows side by side in one table of the fixed width.
_COLUMNS = 4


def show(
    answers: Sequence[Compared],
    where: Sequence[float],
    notes: list[str],
    draws: int,
    units: UnitChoice,
) -> None:
    """Reading in words, figures, differences from the first."""
    shown = system(units)
    out = console()
    say(out, [*_heading(answers, draws), *notes])
    out.print()
    at = shown.distance(where[-1])
    for one in answers[1:]:
        lines = reading(one, len(where) - 1, at, units)
        # of many, only what is clear: the tables have the rest
        say(out, lines if len(answers) <= _COLUMNS else lines[:1])
    _print_tables(out, answers, where, units)
    say(
        out,
        [
            *_unknown_words(answers, units),
            f"{SAME} no clear difference: its band holds 0, or what is too small for anyone to see",
            "drag before it spins, straight into the air; pressure, swing: at small yaw; settled: "
            "the swing from a launch yaw of 1° is below a tenth of it; spun up: nine tenths of the "
            "steady turns per yard",
            "drop: below the bore line, so a difference is what an untouched sight shows; drift: "
            "10 mph from 3; crooked launch: 0.1 rad/s more of nose right, sideways, and bare minus "
            "fletched at 20 yd",
            "all arrows share the model's errors; what it gets wrong for one shape and not for "
            "another is in no band. Weights are taken as the setup gives them",
            SHOOTING_BARE,
        ],
    )


def _unknown_words(answers: Sequence[Compared], units: UnitChoice) -> list[str]:
    """What ``none`` and ``?`` mean, where an arrow has no such figure in some case."""
    if all(
        np.isfinite([values.low, values.high]).all()
        for one in answers
        for values in one.figures.values()
    ):
        return []
    shown = system(units)
    return [
        f"{NONE}: an arrow that does not swing about its path, spin or carry vanes, or is not "
        f"settled by {shown.distance(FARTHEST_SETTLING)}, spun up by "
        f"{shown.distance(FARTHEST_SPIN_UP)}; (?): so in some of the cases"
    ]


def _heading(answers: Sequence[Compared], draws: int) -> list[str]:
    first = answers[0].contender
    rigs = [one.contender.rig for one in answers]
    bows = {rig.bow.name for rig in rigs}
    # in the order given, each once, every arrow with its own bow
    pairs = dict.fromkeys(f"{rig.bow.name}, {rig.fletched.parts.name}" for rig in rigs)
    lines = [f"{'; '.join(pairs)}: {len(answers)} arrows, each against the first, {first.label}"]
    if len({one.contender.file for one in answers}) > 1:
        lines.append("each file keeps its own measured speed, and those err each by itself")
    if len(bows) > 1:
        lines.append("DIFFERENT BOWS: what differs is bow and arrow together")
    lines.append(
        f"in brackets: 9 of 10 of {draws} plausible cases, the same for all of them: a difference "
        "can be clear although two brackets overlap; shot scatter comes on top"
    )
    return lines


def _print_tables(
    out: Console, answers: Sequence[Compared], where: Sequence[float], units: UnitChoice
) -> None:
    """Values, then differences, a few columns a table."""
    first = answers[0].contender.label
    for start in range(0, len(answers), _COLUMNS):
        some = answers[start : start + _COLUMNS]
        out.print(_table("figures", some, where, units, _value_cell))
    for start in range(1, len(answers), _COLUMNS):
        some = answers[start : start + _COLUMNS]
        out.print(_table(f"differences from {first}", some, where, units, _difference_cell))


def _value_cell(one: Compared, row: Row, index: int | None, size: float) -> str:
    return value_text(row, at_index(one.figures[row.name], index), size)


def _difference_cell(one: Compared, row: Row, index: int | None, size: float) -> str:
    change = at_index(one.differences[row.name], index)
    return difference_text(row, change, size, one.verdict(row.name, index))


def _table(
    heading: str,
    some: Sequence[Compared],
    where: Sequence[float],
    units: UnitChoice,
    cell: Callable[[Compared, Row, int | None, float], str],
) -> Table:
    """One row a figure, at each distance where it has one; a column for each of ``some``."""
    table = make_table(f"\n{heading}", ["", *(one.contender.label for one in some)])
    table.columns[0].justify = "left"
    places: list[tuple[Row, int | None]] = [(row, None) for row in ROWS if not row.at_distance]
    places += [(row, i) for row in ROWS if row.at_distance for i in range(len(where))]
    for row, index in places:
        unit, size = row.unit(units)
        at = "" if index is None else f" at {system(units).distance(where[index])}"
        title = f"{row.title}{at}{', ' * bool(unit)}{unit}"
        table.add_row(title, *(cell(one, row, index, size) for one in some))
    return table


def check_drawable(count: int) -> None:
    """Refuse more arrows than a picture can tell apart, before the long calculation."""
    from vireton.plots.comparison import check_count

    check_count(count)


def draw(
    answers: Sequence[Compared],
    where: Sequence[float],
    units: UnitChoice,
    draws: int,
    file: Path,
) -> None:
    """Draw the figures at the last distance to ``file``."""
    from vireton.plots import save
    from vireton.plots.comparison import ComparisonPanel, comparison_figure

    last = len(where) - 1
    panels = []
    for row in ROWS:
        if not row.higher:
            continue
        unit, size = row.unit(units)
        place = last if row.at_distance else None
        values = [at_index(one.figures[row.name], place) for one in answers]
        changes = [at_index(one.differences[row.name], place) for one in answers]
        first = float(values[0].nominal)
        name = (
            f"{row.title} at {system(units).distance(where[-1])}" if row.at_distance else row.title
        )
        panels.append(
            ComparisonPanel(
                name=name,
                unit=unit,
                value=np.array([float(one.nominal) for one in values]) / size,
                low=np.array([float(one.low) for one in values]) / size,
                high=np.array([float(one.high) for one in values]) / size,
                apart_low=np.array([first + float(one.low) for one in changes]) / size,
                apart_high=np.array([first + float(one.high) for one in changes]) / size,
                clear=tuple(one.verdict(row.name, place) in {"higher", "lower"} for one in answers),
            )
        )
    figure = comparison_figure(
        panels,
        labels=[one.contender.label for one in answers],
        title=_heading(answers, draws)[0],
        band=f"5th to 95th percentile of {draws} plausible cases",
    )
    save(figure, file)
