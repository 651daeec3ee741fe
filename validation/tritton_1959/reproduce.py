"""The drag of the shaft in crossflow, as a long cylinder; and the figure of all such checks."""

import numpy as np
import numpy.typing as npt
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter

from vireton.aerodynamics.crossflow import cylinder_drag_coefficient
from vireton.kernel.arrays import FloatArray
from vireton.plots.style import FAINT, INK, LARGE, PAGE_WIDTH, SMALL, STROKES, our_look
from vireton.published.checks import CaseData

#: Reynolds number of a 6.25 mm shaft that is yawed by 1.5° at 85 m/s.
_ARROWS = 950.0


def reproduce(data: CaseData) -> dict[str, float]:
    return {f"at_{re:.0f}": float(cylinder_drag_coefficient(re)) for re in data.data["reynolds"]}


def figures(data: CaseData) -> dict[str, Figure]:
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, 5.6))
        figure.suptitle(
            "Drag of a long cylinder across the stream",
            x=0.03,
            y=0.98,
            ha="left",
            fontsize=LARGE,
            fontweight="bold",
        )
        figure.text(
            0.03,
            0.915,
            "Above: the drag that Vireton gives a shaft in crossflow, and published values. Below: "
            "published ÷ ours,\nwith the limits of the checks as bars.",
            fontsize=SMALL,
            va="center",
        )
        upper = figure.add_axes((0.09, 0.43, 0.88, 0.43))
        lower = figure.add_axes((0.09, 0.10, 0.88, 0.27))
        _draw_curves(upper)
        _draw_published(data, upper, lower)
        _finish(upper, lower)
    return {"cylinder_drag": figure}


def _ours(reynolds: npt.ArrayLike) -> FloatArray:
    return np.array([float(cylinder_drag_coefficient(re)) for re in np.asarray(reynolds)])


def _draw_curves(upper: Axes) -> None:
    reynolds = np.geomspace(0.1, 1e5, 400)
    upper.plot(reynolds, _ours(reynolds), label="Vireton", **STROKES[0].line)


def _draw_published(data: CaseData, upper: Axes, lower: Axes) -> None:
    checked = [check.published for check in data.check]
    also = data.data["also_drawn"]
    for points, share, name, stroke in (
        (also["kaplun_1957"], 0.10, "Kaplun 1957 (creeping flow, derived)", STROKES[1]),
        (
            np.column_stack([data.data["reynolds"], checked]),
            0.10,
            "Tritton 1959, Schlichting 1979 (from memory)",
            STROKES[2],
        ),
        (also["jorgensen_1973"], 0.05, "Jorgensen 1973 (read)", STROKES[3]),
    ):
        at, value = np.array(points).T
        upper.plot(at, value, label=name, **stroke.spot)
        ratio = value / _ours(at)
        lower.errorbar(
            at, ratio, yerr=share * ratio, ecolor=stroke.color, capsize=4.0, **stroke.spot
        )


def _finish(upper: Axes, lower: Axes) -> None:
    for axes in (upper, lower):
        axes.set_xscale("log")
        axes.set_xlim(0.08, 1.3e5)
        axes.axvspan(0.08, _ARROWS, color="#eef1f2", linewidth=0.0, zorder=0.0)
        axes.grid(True, color=FAINT, alpha=0.3)
    upper.text(0.1, 0.68, "arrows: yawed by up to 1.5° at 85 m/s", fontsize=SMALL, color=INK)
    upper.set_yscale("log")
    upper.set_ylim(0.55, 80.0)
    upper.set_yticks([1.0, 2.0, 5.0, 10.0, 20.0, 50.0])
    upper.yaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}"))
    upper.yaxis.set_minor_formatter(FuncFormatter(lambda *_: ""))
    upper.set_ylabel("drag coefficient (–)")
    upper.tick_params(labelbottom=False)
    upper.legend(loc="upper right", fontsize=SMALL, frameon=False)
    lower.set_ylim(0.8, 1.2)
    lower.axhline(1.0, **(STROKES[0].line | {"linewidth": 1.0}))
    lower.set_ylabel("published ÷ ours (–)")
    lower.set_xlabel("Reynolds number on the diameter and the speed across the shaft (–)")
