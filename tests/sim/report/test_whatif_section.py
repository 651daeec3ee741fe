"""The numbers under the pictures, the single changes, the stated error."""

import re
from dataclasses import replace

import numpy as np
from formula import MEASURE, MPH

from demo import INCH
from vireton.report.shown import Setting, spots
from vireton.report.whatif_section import (
    error_words,
    state_words,
    whatif_section,
    wind_words,
)
from vireton.report.wording import both_words


def test_the_rows_say_what_the_tables_hold(whatif, tables):
    text = whatif_section(whatif)
    for seen in ("fletched", "bare", "apart"):
        for k in range(2):
            spot = spots(tables, 0, seen, whatif.start, MEASURE)[k]
            row = re.search(rf'<tr data-row="0-{seen}-{k}".*?</tr>', text)[0]
            assert tuple(re.findall(r"data-axis=\"\d\">(.*?)<", row)) == both_words(
                spot.place, 1.96 * spot.sd, float(tables.errors[k]) / INCH
            )


def test_a_single_change_sideways_tells_both_ways(whatif):
    row = re.search(r"one step right.*?</tr>", whatif_section(whatif))[0]
    assert row.count(">or ") == 2  # at both distances


def test_wind_in_words(whatif):
    assert wind_words(whatif, 0.0) == "no crosswind"
    assert wind_words(whatif, 5.0 * MPH) == "5 mph from the left"
    assert wind_words(whatif, -2.5 * MPH) == "2.5 mph from the right"
    assert state_words(whatif, Setting(4, 4, MPH)) == "rest right 4, up 4; 1 mph from the left"


def test_the_stated_error_is_never_rounded_down(whatif):
    off = replace(whatif.tables, errors=np.array([0.0101, 0.3]) * INCH)
    assert "0.02 in at 20 yd, 0.30 in at 40 yd." in error_words(replace(whatif, tables=off))
