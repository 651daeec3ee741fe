"""Columns: one place for key, unit, band and mark."""

import numpy as np

from vireton.answers.table import Column, flat, grid, json_row
from vireton.uncertain import Banded
from vireton.units.display import FAR, METRIC, SHARE, SMALL, US

AT = Column("distance", FAR, "at", with_unit=True)
RIGHT = Column("bare.right", SMALL, "right", band="range", open_side=True)
UP = Column("bare.up", SMALL, "up", band="interval_95")
ROW = {
    "distance": 18.288,
    "bare.right": Banded(*(np.float64(v * 0.0254) for v in (1.0, 0.5, 1.5))),
    "bare.up": Banded(*(np.float64(v * 0.0254) for v in (-2.0, -4.0, 0.0))),
}


def test_a_row_as_json_has_units_in_its_keys_and_bands_beside_it():
    assert json_row((AT, RIGHT, UP), ROW) == {
        "distance_yd": 20.0,
        "bare": {
            "right_in": 1.0,
            "right_in_range": [0.5, 1.5],
            "up_in": -2.0,
            "up_in_interval_95": [-4.0, 0.0],
        },
    }


def test_a_column_that_the_row_lacks_is_left_out_and_nan_is_none():
    assert json_row((AT, RIGHT), {"distance": float("nan")}) == {"distance_yd": None}


def test_what_belongs_to_a_number_stands_behind_its_unit():
    column = Column("groups.sd_right_error", SMALL, after="error")
    assert json_row((column,), {"groups.sd_right_error": 0.0254}) == {
        "groups": {"sd_right_in_error": 1.0}
    }


def test_lists_of_rows_and_of_numbers():
    column = Column("moves", rows=(AT, Column("tear", SMALL)))
    row = {"distance": 9.144, "tear": np.array([0.0254, -0.0254])}
    assert json_row((column,), {"moves": [row]}) == {
        "moves": [{"distance_yd": 10.0, "tear_in": [1.0, -1.0]}]
    }


def test_programs_get_twelve_digits_or_all_of_them():
    third = 1.0 / 3.0
    assert json_row((Column("a"), Column("b", exact=True)), {"a": third, "b": third}) == {
        "a": 0.333333333333,
        "b": third,
    }


def test_people_read_percentages_and_programs_shares():
    column = Column("hit", SHARE, "hit", digits=0, signed=False)
    assert json_row((column,), {"hit": 0.25}) == {"hit": 0.25}
    assert column.cell(0.25, US) == "25"
    assert column.heading(US) == "hit %"


def test_a_table_in_both_systems_marks_what_is_open():
    table = grid("t", (AT, RIGHT, UP), [ROW], US, is_open=True)
    assert table.heads == ("at", "right in ↔", "up in")
    assert table.cells == (("20 yd", "+1.0 (0.5 to 1.5)", "-2 (-4 to 0)"),)
    shut = grid("t", (AT, RIGHT, UP), [ROW], METRIC)
    assert shut.heads == ("at", "right cm", "up cm")
    assert shut.cells[0][:2] == ("18.29 m", "+2.5 (1.3 to 3.8)")


def test_inner_objects_flatten_behind_the_outer_key():
    assert flat({"a": {"b_in": 1, "c": {"d": 2}}, "e": [3]}) == {"a_b_in": 1, "a_c_d": 2, "e": [3]}
