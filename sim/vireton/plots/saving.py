"""Figures to files: whole or not at all, and the same bytes for the same picture."""

import io
import os
from pathlib import Path
from typing import Any

from matplotlib.figure import Figure

from vireton.plots.style import our_look
from vireton.problems import InputProblem, named

PIXELS_PER_INCH = 200

#: What each kind of file would otherwise carry that changes from run to run or by version.
_METADATA: dict[str, dict[str, str | None]] = {
    ".png": {"Software": "Vireton"},
    ".svg": {"Creator": "Vireton", "Date": None},
    ".pdf": {"Creator": "Vireton", "Producer": "Vireton", "CreationDate": None},
}

SUFFIXES = tuple(_METADATA)


def check_suffix(path: str | os.PathLike[str]) -> str:
    """The kind of file, ``".png"``, ``".svg"`` or ``".pdf"``, that ``path`` asks for.

    Capitals are fine. Raises InputProblem, a ValueError, for another one: ask before a long
    calculation, not after it.
    """
    suffix = Path(path).suffix.lower()
    if suffix not in _METADATA:
        ending = f"ends in {suffix!r}" if suffix else "has no ending"
        raise InputProblem(
            f"the picture's file {named(os.fspath(path))!r} {ending}; "
            "give it a name that ends in .png, .svg or .pdf"
        )
    return suffix


def save(figure: Figure, path: str | os.PathLike[str]) -> None:
    """Write ``figure`` to ``path`` as PNG, SVG or PDF, by its ending; an older file is replaced.

    The file appears whole or not at all, and the same figure gives the same bytes. Raises
    InputProblem, a ValueError, for another ending and for a place that cannot be written.
    """
    suffix = check_suffix(path)
    picture = _rendered(figure, suffix)
    target = Path(path)
    try:
        # a link keeps pointing where it points: the file behind it is replaced
        _replace(target.resolve(), picture)
    except (OSError, RuntimeError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputProblem(
            f"the picture cannot be written to {named(os.fspath(path))!r}: {reason}; "
            "give a file in a folder that exists and may be written"
        ) from error


def _rendered(figure: Figure, suffix: str) -> bytes:
    metadata: dict[str, Any] = dict(_METADATA[suffix])
    metadata["Title"] = figure.get_suptitle()
    buffer = io.BytesIO()
    with our_look():
        figure.savefig(buffer, format=suffix[1:], dpi=PIXELS_PER_INCH, metadata=metadata)
    return buffer.getvalue()


def _replace(target: Path, content: bytes) -> None:
    # opened by name rather than by tempfile, whose files nobody else may read
    beside = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        with beside.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
