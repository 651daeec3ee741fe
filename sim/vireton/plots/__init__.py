"""Pictures for the bench and the class, drawn with matplotlib from plain arrays in SI.

Importing this package brings matplotlib; nothing else in the library does. No figure touches
pyplot, a window, or the reader's matplotlib settings; a window to live in is the caller's.
"""

from vireton.plots.broadheads import BroadheadCurve, broadhead_figure
from vireton.plots.curves import MOST_CURVES, FlightCurve, RestCurve, ShiftBand, shift_band
from vireton.plots.film import Frame, Motion, enlargement, film, frame_times
from vireton.plots.film_files import check_film, delay_of, save_film
from vireton.plots.flights import flight_figure
from vireton.plots.live import LiveWindow, live_window
from vireton.plots.rest_moves import rest_figure
from vireton.plots.saving import SUFFIXES, check_suffix, save, shown_by_itself
from vireton.plots.scatters import MOST_PANELS, ShotCloud, scatter_figure
from vireton.plots.spines import SpineCurve, spine_figure
from vireton.plots.targets import group_middle, target_figure

__all__ = [
    "MOST_CURVES",
    "MOST_PANELS",
    "SUFFIXES",
    "BroadheadCurve",
    "FlightCurve",
    "Frame",
    "LiveWindow",
    "Motion",
    "RestCurve",
    "ShiftBand",
    "ShotCloud",
    "SpineCurve",
    "broadhead_figure",
    "check_film",
    "check_suffix",
    "delay_of",
    "enlargement",
    "film",
    "flight_figure",
    "frame_times",
    "group_middle",
    "live_window",
    "rest_figure",
    "save",
    "save_film",
    "scatter_figure",
    "shift_band",
    "shown_by_itself",
    "spine_figure",
    "target_figure",
]
