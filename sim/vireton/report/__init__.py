"""One page about a bow: the next move, where arrows land, and what if the rest or the wind moved.

``from_setup`` and ``from_log`` say where arrows land for a rest move and a crosswind (``cases``),
``tables`` writes that down for the page's script, ``faces`` and ``page`` draw and write,
``saving`` puts the page on the disk.
"""

from vireton.report.cases import Case
from vireton.report.content import Page
from vireton.report.from_log import cases_of_turn
from vireton.report.from_setup import cases_of_rig
from vireton.report.page import page_html
from vireton.report.saving import check_target, save_page
from vireton.report.tables import Reach, Tables, look_up, tabulate

__all__ = [
    "Case",
    "Page",
    "Reach",
    "Tables",
    "cases_of_rig",
    "cases_of_turn",
    "check_target",
    "look_up",
    "page_html",
    "save_page",
    "tabulate",
]
