"""``vireton jobs``: the shop's folder of jobs, open ones first."""

import json
import shutil
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from vireton.units.problems import InputProblem, named, printable
from vireton_cli import options
from vireton_cli.options import UnitChoice
from vireton_cli.terminal import as_argument

if TYPE_CHECKING:
    from vireton.job.folder import JobLine

EXAMPLE = "Example: vireton jobs examples"

_HEADS = ("bow", "owner", "complaint", "last date", "rounds", "visit", "state", "file")
#: What stands before each column.
_GAPS = ("", "  ", "  ", "  ", " ", " ", "  ", " ")
_NUMBERS, _FILE = (4, 5), 7
#: Narrower than this the texts would say nothing: then lines are longer than the terminal.
_NARROWEST = 72
#: A pipe's: other programs look for words in the list.
_PIPED = 110
_LONGEST_TEXT, _LONGEST_FILE = 48, 20


def jobs(
    # no Path: an empty one, of a variable that is not set, would be this folder
    folder: Annotated[
        str,
        typer.Argument(
            metavar="FOLDER", help="Folder of job files; without it this one.", show_default=False
        ),
    ] = ".",
    find: Annotated[
        str | None,
        typer.Option(
            "--find",
            metavar="WORDS",
            help="Only jobs with all these words in bow, owner, complaint or file name.",
        ),
    ] = None,
    only_open: Annotated[
        bool, typer.Option("--open/--all", help="Only open jobs, or done ones too.")
    ] = False,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
) -> None:
    """List the shop's jobs: open ones first, the latest on top.

    A job is one TOML file a bow, as `vireton record` writes it. It is open until a round says that
    it is done, and again when the bow comes back. A file that cannot be read stands at the end with
    what is wrong with it.
    """
    from vireton.job.folder import jobs_in, search

    if not folder:
        raise InputProblem("FOLDER: it is empty; name a folder, or leave it out for this one")
    if find is not None and not find.strip():
        raise InputProblem("--find: there is no word in it; leave it out to see every job")
    every = jobs_in(folder)
    found = [one for one in search(every, find or "") if one.is_open or not only_open]
    if as_json:
        from vireton.answers.jobs import ShopJobs

        typer.echo(json.dumps(ShopJobs(folder, tuple(found)).to_dict(), indent=2))
    elif not every:
        typer.echo(f"no jobs in {named(folder)} yet. To begin one:")
        log = as_argument(Path(folder, "mill.toml"))
        typer.echo(f"  vireton record {log} --setup my_bow.toml --note 'taken in'")
        typer.echo("`vireton new my_bow.toml` writes the setup file that it asks for.")
    elif not found:
        typer.echo(_nothing(folder, every, find, only_open))
    else:
        width = shutil.get_terminal_size().columns if sys.stdout.isatty() else _PIPED
        typer.echo("\n".join(_page(found, max(width, _NARROWEST))))


def _nothing(folder: str, every: Sequence["JobLine"], find: str | None, only_open: bool) -> str:
    place = as_argument(Path(folder))
    if find is None:
        return f"no open job among {len(every)}. `vireton jobs {place}` lists those that are done."
    what = "open job" if only_open else "job"
    wider = f", or leave out --open: `vireton jobs {place} --find WORDS`" if only_open else ""
    return (
        f"no {what} among {len(every)} has all of: {printable(' '.join(find.split()), 60)}. "
        f"Try fewer words or a part of one{wider}."
    )


def _page(found: Sequence["JobLine"], width: int) -> Iterator[str]:
    count = Counter(one.state for one in found)
    said = [f"{count[state]} {state}" for state in ("open", "done")]
    said += [f"{count['damaged']} damaged"] * bool(count["damaged"])
    yield ", ".join(said)
    sound = [one for one in found if not one.problem]
    if sound:
        yield ""
        yield from _table(_columns(sound), width)
    if count["damaged"]:
        yield "\ncannot be read:"
    for one in found:
        if one.problem:
            yield f"  {_shown(one.file)}: {_shown(one.problem)}"


def _columns(lines: Sequence["JobLine"]) -> list[list[str]]:
    return [
        [_shown(one.bow) for one in lines],
        [_shown(one.owner) for one in lines],
        [_shown(one.complaint) for one in lines],
        [_shown(one.last_date)[:10] for one in lines],
        [str(one.rounds) for one in lines],
        [str(one.visits) for one in lines],
        [one.state for one in lines],
        [_shown(one.file) for one in lines],
    ]


def _shown(text: str) -> str:
    """TOML and names of files take any character; a terminal obeys some."""
    return text if text.isprintable() else printable(text)


def _table(columns: Sequence[list[str]], width: int) -> Iterator[str]:
    """Drawn by hand, column by column: rich takes three seconds for two thousand rows."""
    columns = [[head, *cells] for head, cells in zip(_HEADS, columns, strict=True)]
    natural = [max(map(_size, column)) for column in columns]
    texts = [min(one, _LONGEST_TEXT) for one in natural[:3]]
    fixed = [*natural[3:7], min(natural[7], _LONGEST_FILE)]
    room = width - sum(fixed) - sum(map(len, _GAPS))
    while sum(texts) > room:  # the widest is cut first, so that short ones stay whole
        texts[texts.index(max(texts))] -= 1
    widths = [*texts, *fixed]
    drawn = [
        _drawn(column, widths[place], place, is_cut=widths[place] < natural[place])
        for place, column in enumerate(columns)
    ]
    head, *rows = ("".join(cells).rstrip() for cells in zip(*drawn, strict=True))
    yield head
    yield "─" * (sum(widths) + sum(map(len, _GAPS)))
    yield from rows


def _drawn(column: Sequence[str], width: int, place: int, *, is_cut: bool) -> list[str]:
    """The cells of a column in its width, with the gap before it."""
    gap = _GAPS[place]
    if is_cut:
        column = [_cut(text, width, from_front=place == _FILE) for text in column]
    if place in _NUMBERS:
        return [gap + text.rjust(width) for text in column]
    return [gap + text + " " * (width - _size(text)) for text in column]


def _size(text: str) -> int:
    """Columns that a text takes: letters of some scripts take two, accents none."""
    if text.isascii():
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)


def _cut(text: str, width: int, *, from_front: bool) -> str:
    """The text in this width, never with half a number; names of files differ in their ends."""
    if _size(text) <= width:
        return text
    cut = text
    while _size(cut) > width - 1:
        cut = cut[1:] if from_front else cut[:-1]
    if from_front:
        return f"…{cut}"
    if text[len(cut)].isdigit():
        cut = cut.rstrip("0123456789.,/")
    return f"{cut.rstrip()}…"
