"""Invented smooth curves (no measurement, no real bow) and ways to look at a figure."""

from collections.abc import Callable

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from vireton.plots import FlightCurve, RestCurve, ShiftBand
from vireton.plots.style import our_look

YARD = 0.9144


def invented_flight(label: str = "fletched", side: float = 1.0, end: float = np.inf) -> FlightCurve:
    """Drifts to ``side``, swings and settles; nan beyond ``end`` m."""
    x = np.linspace(1.0, 100.0 * YARD, 181)
    swing = np.exp(-x / 30.0)
    arrays = {
        "right": side * 0.01 * (x / 20.0) ** 1.5,
        "up": 0.03 * x - 7e-4 * x * x,
        "yaw": side * np.radians(2.0) * swing * np.cos(x / 3.2),
        "pitch": np.radians(1.2) * swing * np.sin(x / 3.2),
    }
    for values in arrays.values():
        values[x > end] = np.nan
    return FlightCurve(label, x, **arrays)


def invented_shift(x: np.ndarray, right: float, up: float, end: float) -> ShiftBand:
    """Grows with distance; the band is lopsided."""
    share = np.where(x <= end, x / 20.0, np.nan)
    return ShiftBand(
        right=right * share,
        up=up * share,
        right_low=(right - 0.002) * share,
        right_high=(right + 0.003) * share,
        up_low=(up - 0.001) * share,
        up_high=(up + 0.002) * share,
    )


def invented_move(
    label: str = "rest right 1/32 in", right: float = 0.01, up: float = 0.004, **rest: object
) -> RestCurve:
    """A move whose shifts are (right, up) times 1, 4 and 3 at 20 m."""
    end = float(rest.pop("end", np.inf))  # type: ignore[arg-type]
    x = np.arange(10.0, 101.0, 10.0) * YARD
    return RestCurve(
        label,
        x,
        fletched=invented_shift(x, right, up, np.inf),
        bare=invented_shift(x, 4.0 * right, 4.0 * up, end),
        separation=invented_shift(x, 3.0 * right, 3.0 * up, end),
        **rest,  # type: ignore[arg-type]
    )


@pytest.fixture(scope="session")
def flight() -> Callable[..., FlightCurve]:
    return invented_flight


@pytest.fixture(scope="session")
def move() -> Callable[..., RestCurve]:
    return invented_move


def _ticks_out_of_view(figure: Figure) -> set[Text]:
    """What is never drawn: ticks that matplotlib keeps beyond an axis, and all of hidden axes."""
    hidden: set[Text] = set()
    for axes in figure.axes:
        if not axes.get_visible():
            hidden |= set(axes.findobj(Text))
        for axis in (axes.xaxis, axes.yaxis):
            low, high = sorted(axis.get_view_interval())
            spare = 1e-9 * (high - low)
            for tick in axis.get_major_ticks():
                if not low - spare <= tick.get_loc() <= high + spare:
                    hidden |= {tick.label1, tick.label2}
    return hidden


def visible_texts(figure: Figure) -> list[tuple[str, Bbox]]:
    """Every text that is drawn, with the box of its ink in pixels."""
    with our_look():
        FigureCanvasAgg(figure)
        figure.draw_without_rendering()
        hidden = _ticks_out_of_view(figure)
        return [
            (one.get_text(), one.get_window_extent())
            for one in figure.findobj(Text)
            if isinstance(one, Text)
            and one not in hidden
            and one.get_visible()
            and one.get_text().strip()
        ]


@pytest.fixture(scope="session")
def words() -> Callable[[Figure], str]:
    """All words of a figure, in one text."""
    return lambda figure: "\n".join(text for text, _box in visible_texts(figure))


@pytest.fixture(scope="session")
def assert_legible() -> Callable[[Figure], None]:
    """No text leaves the page, none lies over another."""

    def check(figure: Figure) -> None:
        page = figure.bbox
        texts = visible_texts(figure)
        for text, box in texts:
            assert page.x0 <= box.x0 and box.x1 <= page.x1, f"{text!r} leaves the page sideways"
            assert page.y0 <= box.y0 and box.y1 <= page.y1, f"{text!r} leaves the page"
        for i, (text, box) in enumerate(texts):
            for other, there in texts[i + 1 :]:
                overlap = Bbox.intersection(box, there)
                shared = overlap is not None and overlap.width > 1.0 and overlap.height > 1.0
                assert not shared, f"{text!r} lies over {other!r}"

    return check
