"""Tables for people, drawn by rich."""

import errno
import re
import sys
import textwrap
import threading
from collections.abc import Collection, Iterator, Sequence
from typing import NoReturn, TypeVar

from rich import box
from rich.console import Console
from rich.progress import Progress
from rich.table import Table

from vireton.answers.table import Grid, Part
from vireton_cli.layout import Cells, pieces, stacks, widths_of
from vireton_cli.shooting import in_short
from vireton_cli.terminal import piped_width

T = TypeVar("T")

#: The space between a number and its unit, where no line ends.
_UNIT = re.compile(r"(?<=[0-9]) (?=(?:%|in|ft|yd|m|cm|mm|fps|gr|lb|mph|J|N|g)(?:[^A-Za-z]|$))")
_PATIENCE = 1.0  # s before a bar is shown


class _Output(Console):
    """rich's console, but a reader that stops reading ends it as it ends all other output."""

    def on_broken_pipe(self) -> NoReturn:
        """Pass on what rich would end with an exit code of its own."""
        raise BrokenPipeError(errno.EPIPE, "Broken pipe")


def console() -> Console:
    """Standard output; a pipe or a file gets a set width, so that output is the same anywhere."""
    width = None if sys.stdout.isatty() else piped_width()
    return _Output(file=sys.stdout, width=width, highlight=False, markup=False, emoji=False)


def say(out: Console, lines: Sequence[str]) -> None:
    """Plain lines, long ones wrapped with a hanging indent."""
    for line in lines:
        told = textwrap.fill(
            _UNIT.sub("\u00a0", line),
            out.width,
            initial_indent="· ",
            subsequent_indent="  ",
            break_on_hyphens=False,
        )
        out.print(told.replace("\u00a0", " "))


def make_table(title: str, columns: Sequence[str]) -> Table:
    """An empty table of ours: light lines, numbers to the right."""
    table = Table(
        title=title or None,
        title_justify="left",
        title_style="bold",
        pad_edge=False,
        box=box.SIMPLE_HEAD,
    )
    for name in columns:
        table.add_column(name, justify="right")
    return table


def print_page(page: Sequence[Part]) -> None:
    """What an answer shows, in order."""
    out = console()
    grids = [part for part in page if isinstance(part, Grid)]
    stacked = stacks(grids, out.width)
    after_grid = False
    for part in page:
        if isinstance(part, Grid):
            if part.title and not after_grid:
                out.print()
            _print_grid(out, part, stacked=stacked)
        elif part.bold:
            out.print(f"\n{' '.join(part.lines)}", style="bold")
        else:
            say(out, in_short(part.lines))
            if not part.lines:
                out.print()
        after_grid = isinstance(part, Grid)


def _print_grid(out: Console, grid: Grid, *, stacked: bool) -> None:
    if grid.title:
        out.print(textwrap.fill(grid.title, out.width), style="bold")
    for cells in pieces(Cells(grid, stacked=stacked), out.width):
        widths = widths_of(cells, out.width) or cells.least(0)
        heads, *rows = cells.laid_out(widths)
        table = make_table("", heads)
        for column in table.columns:
            column.justify = "left"  # texts are as wide as their column already
        for row in rows:
            table.add_row(*row)
        out.print(table)


def with_progress(items: Collection[T], description: str) -> Iterator[T]:
    """The same items, with a bar on stderr while somebody watches and it takes over a second.

    The clock runs by itself: a first item may be the whole work.
    """
    bar = Progress(console=Console(file=sys.stderr), transient=True)
    task = bar.add_task(description, total=len(items))
    clock = threading.Timer(_PATIENCE, bar.start)
    clock.daemon = True
    if sys.stderr.isatty():
        clock.start()
    try:
        for item in items:
            yield item
            bar.advance(task)
    finally:
        clock.cancel()
        if clock.is_alive():  # it may be starting the bar just now
            clock.join()
        if bar.live.is_started:  # a bar that never was leaves an empty line
            bar.stop()
