"""Answers as pictures."""

from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from vireton.uncertain import Banded
from vireton.units.problems import InputProblem

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.plots import ShiftBand
    from vireton.units.text import UnitSystem


class Drawable(Protocol):
    """An answer that has a picture."""

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """The picture."""


def plot(answer: Drawable, file: str | Path | None = None, units: "UnitSystem" = "us") -> "Figure":
    """Draw an answer; with a ``file`` (.png, .svg or .pdf) write it there, whole or not at all.

    Args:
        answer: of :func:`vireton.fly`, ``move_rest``, ``tune``, ``read_walk_back``,
            ``compare_shafts`` or ``find_holds``.
        file: an older one of that name is replaced.
        units: ``"us"`` or ``"metric"``.

    Returns the matplotlib figure. Raises InputProblem for a file that cannot be and for an answer
    without a picture.

    >>> import vireton
    >>> figure = vireton.plot(vireton.fly(vireton.load(), "20,60 yd", draws=8))
    >>> len(figure.axes)
    4
    """
    from vireton.plots import check_suffix, save

    if not hasattr(answer, "figure"):
        raise InputProblem(
            f"a {type(answer).__name__} has no picture from Python; the command of that name draws "
            "one with --plot"
        )
    if file is not None:
        check_suffix(file)
    figure = answer.figure(units)
    if file is not None:
        save(figure, file)
    return figure


def shift_band(values: Banded) -> "ShiftBand":
    """Columns (right, up) of a banded (n, 2) result."""
    from vireton.plots import ShiftBand

    ends = (values.nominal, values.low, values.high)
    right, right_low, right_high = (one[:, 0] for one in ends)
    up, up_low, up_high = (one[:, 1] for one in ends)
    return ShiftBand(right, up, right_low, right_high, up_low, up_high)
