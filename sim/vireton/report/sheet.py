"""An answer as one sheet of paper, in black and white, and on a phone: its lines and tables."""

import math
from collections.abc import Sequence
from typing import Any

from vireton.answers.answer import Answer
from vireton.answers.as_html import grid_html, lines_html
from vireton.answers.table import Grid, Lines, Part
from vireton.report.markup import Markup, element
from vireton.report.page import asset, head_of, section
from vireton.units.display import Display

#: Characters of a printed line, and lines of a sheet in its usual type.
_LINE, _ROOM = 108, 66


def sheet_of(found: Answer[Any], display: Display) -> str:
    """The sheet of an answer. Nothing is fetched and nothing runs: its policy allows its style."""
    return sheet_html(found.title, found.warnings, found.page(display))


def sheet_html(title: str, warnings: Sequence[str], parts: Sequence[Part]) -> str:
    """The whole sheet: dangers, then the parts, each bold line a heading of what follows it."""
    pieces: list[tuple[str, list[Part]]] = [("", [])]
    for part in parts:
        if isinstance(part, Lines) and part.bold:
            pieces.append((" ".join(part.lines), []))
        else:
            pieces[-1][1].append(part)
    body = element(
        "body",
        element(
            "header",
            element("h1", title),
            *(element("p", said, class_="danger", role="alert") for said in warnings),
        ),
        element("main", *(_piece(k, *piece) for k, piece in enumerate(pieces))),
        class_="small" if _lines_of(parts) > _ROOM else None,
    )
    head = head_of(title, asset("sheet.css"))
    return "<!doctype html>\n" + element("html", head, body, lang="en") + "\n"


def _lines_of(parts: Sequence[Part]) -> int:
    """Lines that they take on paper."""
    return sum(
        len(part.cells) + 1
        if isinstance(part, Grid)
        else sum(math.ceil(len(one) / _LINE) for one in part.lines)
        for part in parts
    )


def _piece(number: int, heading: str, parts: Sequence[Part]) -> Markup:
    inside = [Markup(grid_html(one) if isinstance(one, Grid) else lines_html(one)) for one in parts]
    if not heading:
        return element("section", *inside, class_="answer")
    return section(f"part{number}", heading, *inside)
