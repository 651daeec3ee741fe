"""Pictures for the bench and the class, drawn with matplotlib from plain arrays in SI.

Importing this package brings matplotlib; nothing else in the library does. No figure touches
pyplot, a window, or the reader's matplotlib settings.
"""

from vireton.plots.curves import MOST_CURVES, FlightCurve, RestCurve, ShiftBand
from vireton.plots.flights import flight_figure
from vireton.plots.rest_moves import rest_figure
from vireton.plots.saving import SUFFIXES, check_suffix, save
from vireton.plots.spines import SpineCurve, spine_figure
from vireton.plots.targets import target_figure

__all__ = [
    "MOST_CURVES",
    "SUFFIXES",
    "FlightCurve",
    "RestCurve",
    "ShiftBand",
    "SpineCurve",
    "check_suffix",
    "flight_figure",
    "rest_figure",
    "save",
    "spine_figure",
    "target_figure",
]
