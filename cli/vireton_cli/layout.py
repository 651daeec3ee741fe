"""A table in a given width: no number is ever cut, and none is torn from its band."""

import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from operator import mul

from rich.cells import cell_len

from vireton.answers.table import Grid

#: What rich puts between two columns, and around all of them.
_GAP, _EDGES = 3, 2
#: Columns of words may wrap to these widths where all else fails.
_TEXT = (24, 14)
#: A number and its band.
_BAND = re.compile(r"(.*\S) (\([^()]*\))")


@dataclass(frozen=True)
class Cells:
    """A table's texts. ``stacked``: bands stand below their numbers, not behind them."""

    grid: Grid
    stacked: bool = False

    @cached_property
    def columns(self) -> list[list[str]]:
        """The texts of each column."""
        columns = [list(one) for one in zip(*self.grid.cells, strict=True)]
        return [
            self._stacked(column) if self.stacked and place not in self.grid.left else column
            for place, column in enumerate(columns)
        ]

    def _stacked(self, column: list[str]) -> list[str]:
        """Bands below their numbers, whose last digit stands over that of the band."""
        banded = [_BAND.fullmatch(text) for text in column]
        if not any(banded):
            return column
        return [
            f"{found[1]} \n{found[2]}" if found else f"{text} "
            for text, found in zip(column, banded, strict=True)
        ]

    @cached_property
    def widest(self) -> list[int]:
        """What each column takes where no text of it wraps, without its head."""
        return [
            max((cell_len(line) for text in column for line in text.split("\n")), default=0)
            for column in self.columns
        ]

    def least(self, text: int) -> list[int]:
        """What each column takes at least; columns of words may wrap to a width of ``text``."""
        return [
            max(
                min(wide, text) if place in self.grid.left else wide,
                _longest_word([head, *(column if place in self.grid.left else ())]),
            )
            for place, (head, column, wide) in enumerate(
                zip(self.grid.heads, self.columns, self.widest, strict=True)
            )
        ]

    def laid_out(self, widths: list[int]) -> list[tuple[str, ...]]:
        """Heads and rows, each text as wide as its column."""
        columns = []
        for place, (head, column, width) in enumerate(
            zip(self.grid.heads, self.columns, widths, strict=True)
        ):
            is_text = place in self.grid.left
            texts = [wrapped(one, width) for one in column] if is_text else column
            columns.append(
                [_filled(one, width, is_text=is_text) for one in (wrapped(head, width), *texts)]
            )
        return [*zip(*columns, strict=True)]

    def only(self, places: list[int]) -> "Cells":
        """The same with these columns alone."""
        grid = self.grid
        return replace(
            self,
            grid=Grid(
                grid.title,
                tuple(grid.heads[place] for place in places),
                tuple(tuple(row[place] for place in places) for row in grid.cells),
                frozenset(k for k, place in enumerate(places) if place in grid.left),
            ),
        )


def widths_of(cells: Cells, room: int) -> list[int] | None:
    """The width of each column, heads on as few lines as fit into ``room``; None where none do."""
    heads = cells.grid.heads
    for text in (room, *_TEXT):
        least = cells.least(text)
        for lines in range(1, 1 + max(len(head.split()) for head in heads)):
            widths = [
                max(one, _narrowest(head, lines)) for one, head in zip(least, heads, strict=True)
            ]
            if _total(widths) <= room:
                return _widened(cells, widths, room)
    return None


def _widened(cells: Cells, widths: list[int], room: int) -> list[int]:
    """Room that is left goes to the columns of words."""
    widths = list(widths)
    for place in sorted(cells.grid.left):
        left = room - _total(widths)
        widths[place] += min(left, max(0, cells.widest[place] - widths[place]))
    return widths


def pieces(cells: Cells, room: int) -> list[Cells]:
    """The table, or several with some equal numbers of its columns and its first, that each fit."""
    others = range(1, len(cells.grid.heads))
    if widths_of(cells, room) or not others:
        return [cells]
    for count in range(2, len(others)):
        size = -(-len(others) // count)
        some = [cells.only([0, *others[k : k + size]]) for k in range(0, len(others), size)]
        if all(widths_of(one, room) for one in some):
            return some
    return [cells.only([0, place]) for place in others]


def stacks(grids: Sequence[Grid], room: int) -> bool:
    """Whether bands stand below their numbers, alike in all of these tables.

    Only where a table has no room for them behind, and below they fit, leave each table whole, or
    make fewer lines.
    """
    behind, below = ([pieces(Cells(one, way), room) for one in grids] for way in (False, True))
    if all(len(some) == 1 and widths_of(some[0], room) for some in behind):
        return False
    if any(widths_of(one, room) is None for some in behind for one in some):
        return True
    rows = [len(one.cells) for one in grids]
    lines = [sum(map(mul, rows, map(len, some))) for some in (behind, below)]
    return all(len(some) == 1 for some in below) or 2 * lines[1] < lines[0]


def _filled(text: str, width: int, *, is_text: bool) -> str:
    """Each line filled up to the width: text behind it, a number before it."""
    lines = []
    for line in text.split("\n"):
        room = " " * (width - cell_len(line))
        lines.append(f"{line}{room}" if is_text else f"{room}{line}")
    return "\n".join(lines)


def _total(widths: list[int]) -> int:
    return sum(widths) + _GAP * (len(widths) - 1) + _EDGES


def _longest_word(texts: list[str]) -> int:
    return max((cell_len(word) for text in texts for word in text.split()), default=0)


def _narrowest(head: str, lines: int) -> int:
    """The least width in which a head takes no more than so many lines."""
    width = max(1, _longest_word([head]))
    while len(wrapped(head, width).split("\n")) > lines:
        width += 1
    return width


def wrapped(text: str, width: int) -> str:
    """The text on lines of this width, words whole."""
    return "\n".join(
        textwrap.wrap(text, max(1, width), break_long_words=False, break_on_hyphens=False)
    )
