"""Lines and tables as HTML, for a notebook and for a sheet of paper."""

import html
from collections.abc import Sequence

from vireton.answers.table import Grid, Lines, Part
from vireton.units.display import US, Display
from vireton.units.text import sentence


class Shown:
    """Something that a notebook shows by itself: what people read of it, in US units."""

    def page(self, display: Display) -> Sequence[Part]:
        """What people read, in order: lines and tables."""
        raise NotImplementedError

    def _repr_html_(self) -> str:
        return "\n".join(
            grid_html(part)
            if isinstance(part, Grid)
            else f"<h4>{html.escape(' '.join(part.lines))}</h4>"
            if part.bold
            else lines_html(part)
            for part in self.page(US)
        )


def lines_html(some: Lines) -> str:
    """A list, a line an entry; nothing of no lines."""
    entries = "".join(f"<li>{html.escape(sentence(one))}</li>" for one in some.lines)
    return f"<ul>{entries}</ul>" if entries else ""


def grid_html(grid: Grid) -> str:
    """A table whose first column heads its rows."""
    caption = f"<caption>{html.escape(grid.title)}</caption>" if grid.title else ""
    heads = "".join(f'<th scope="col">{html.escape(one)}</th>' for one in grid.heads)
    rows = "".join(
        f'<tr><th scope="row">{html.escape(row[0])}</th>{"".join(map(_cell, row[1:]))}</tr>'
        for row in grid.cells
    )
    return f"<table>{caption}<thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"


def _cell(text: str) -> str:
    """A number, and its band so that neither is broken across lines."""
    value, bracket, band = html.escape(text).partition(" (")
    inside = f'{value} <span class="band">({band}</span>' if bracket else value
    return f"<td>{inside}</td>"
