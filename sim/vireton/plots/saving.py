"""Figures to files: whole or not at all, and the same bytes for the same picture."""

import io
import os
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any

from matplotlib.figure import Figure

from vireton.files.whole import replace_whole
from vireton.plots.style import our_look
from vireton.units.problems import InputProblem, named

PIXELS_PER_INCH = 200
_SHOWN = 100  # of a notebook

#: What each kind of file would otherwise carry that changes from run to run or by version.
_METADATA: dict[str, dict[str, str | None]] = {
    ".png": {"Software": "Vireton"},
    ".svg": {"Creator": "Vireton", "Date": None},
    ".pdf": {"Creator": "Vireton", "Producer": "Vireton", "CreationDate": None},
}

SUFFIXES = tuple(_METADATA)


def check_suffix(path: str | os.PathLike[str], allowed: Sequence[str] = SUFFIXES) -> str:
    """The kind of file, ``".png"``, ``".svg"`` or ``".pdf"``, that ``path`` asks for.

    Capitals are fine. Raises InputProblem, a ValueError, for one that is not ``allowed``: ask
    before a long calculation, not after it.
    """
    suffix = Path(path).suffix.lower()
    if suffix not in allowed:
        ending = f"ends in {suffix!r}" if suffix else "has no ending"
        choice = " or ".join(filter(None, (", ".join(allowed[:-1]), allowed[-1])))
        raise InputProblem(
            f"the picture's file {named(os.fspath(path))!r} {ending}; "
            f"give it a name that ends in {choice}"
        )
    return suffix


def save(figure: Figure, path: str | os.PathLike[str]) -> None:
    """Write ``figure`` to ``path`` as PNG, SVG or PDF, by its ending; an older file is replaced.

    The file appears whole or not at all, and the same figure gives the same bytes. Raises
    InputProblem, a ValueError, for another ending and for a place that cannot be written.
    """
    write_whole(path, _rendered(figure, check_suffix(path)))


def shown_by_itself(figure: Figure) -> Figure:
    """The figure, which a notebook then shows as its last line without any plotting set up."""
    vars(figure)["_repr_png_"] = partial(_rendered, figure, ".png", _SHOWN)
    return figure


def write_whole(path: str | os.PathLike[str], content: bytes) -> None:
    """Write a picture's file whole or not at all; an older file is replaced.

    Raises InputProblem, a ValueError, for a place that cannot be written.
    """
    try:
        # a link keeps pointing where it points: the file behind it is replaced
        replace_whole(Path(path).resolve(), content)
    except (OSError, RuntimeError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputProblem(
            f"the picture cannot be written to {named(os.fspath(path))!r}: {reason}; "
            "give a file in a folder that exists and may be written"
        ) from error


def _rendered(figure: Figure, suffix: str, dpi: int = PIXELS_PER_INCH) -> bytes:
    metadata: dict[str, Any] = dict(_METADATA[suffix])
    metadata["Title"] = figure.get_suptitle()
    buffer = io.BytesIO()
    with our_look():
        figure.savefig(buffer, format=suffix[1:], dpi=dpi, metadata=metadata)
    return buffer.getvalue()
