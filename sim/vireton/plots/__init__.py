"""Pictures for the bench and the class, drawn with matplotlib from plain arrays in SI.

Importing this package brings matplotlib; nothing else in the library does. No figure touches
pyplot, a window, or the reader's matplotlib settings.
"""

from vireton.plots.broadheads import BroadheadCurve, broadhead_figure
from vireton.plots.curves import MOST_CURVES, FlightCurve, RestCurve, ShiftBand
from vireton.plots.flights import flight_figure
from vireton.plots.rest_moves import rest_figure
from vireton.plots.saving import SUFFIXES, check_suffix, save
from vireton.plots.scatters import MOST_PANELS, ShotCloud, scatter_figure
from vireton.plots.spines import SpineCurve, spine_figure

__all__ = [
    "MOST_CURVES",
    "MOST_PANELS",
    "SUFFIXES",
    "BroadheadCurve",
    "FlightCurve",
    "RestCurve",
    "ShiftBand",
    "ShotCloud",
    "SpineCurve",
    "broadhead_figure",
    "check_suffix",
    "flight_figure",
    "rest_figure",
    "save",
    "scatter_figure",
    "spine_figure",
]
