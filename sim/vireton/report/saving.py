"""The page to the disk: whole or not at all, and never over a file that is not one of ours."""

import os
from pathlib import Path

from vireton.files.whole import replace_whole
from vireton.units.problems import InputProblem, named

#: What marks a page as ours; near the top of every page, see :mod:`vireton.report.page`.
GENERATOR = "vireton report"

_TOP = 1024  # bytes in which the mark stands
_ENDINGS = (".html", ".htm")


def check_target(path: Path) -> None:
    """Refuse a page's name that cannot be written to, before the long calculation.

    Raises InputProblem for another ending than .html, a folder that is not there, and a file that
    is there and no page of ours.
    """
    if path.suffix.lower() not in _ENDINGS:
        raise InputProblem(f"the page's file {named(path)!r}: give it a name that ends in .html")
    if not os.path.isdir(path.parent):  # noqa: PTH112 (a name that is too long is no folder)
        raise InputProblem(
            f"the page's file {named(path)!r}: there is no folder {named(path.parent)}; "
            "make it first"
        )
    try:
        ours = not path.exists() or _is_ours(path)
    except OSError as error:
        raise _unwritable(path, error) from error
    if not ours:
        raise InputProblem(
            f"{named(path)} is there already and is no page of `vireton report`: it is left "
            "as it is; give another name or move it away"
        )


def _is_ours(path: Path) -> bool:
    if not path.is_file():
        return False
    with path.open("rb") as file:
        return f'content="{GENERATOR}"'.encode() in file.read(_TOP)


def _unwritable(path: Path, error: OSError) -> InputProblem:
    return InputProblem(
        f"the page cannot be written to {named(path)!r}: {error.strerror or error}; "
        "give a file in a folder that exists and may be written"
    )


def save_page(page: str, path: Path) -> None:
    """Write the page; an older page of ours is replaced. Raises InputProblem as `check_target`."""
    check_target(path)
    try:
        # a link keeps pointing where it points: the file behind it is replaced
        replace_whole(path.resolve(), page.encode("utf-8"))
    except OSError as error:
        raise _unwritable(path, error) from error
