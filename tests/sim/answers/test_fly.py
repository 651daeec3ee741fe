"""Flights from Python."""

from dataclasses import replace

import numpy as np
import pytest

import vireton

YARD, INCH = 0.9144, 0.0254


@pytest.fixture(scope="module")
def flights():
    return vireton.fly(vireton.load(), "20,40 yd", wind="5 mph from 9", draws=8)


def test_arrays_are_in_si_and_rows_in_the_units_of_their_keys(flights):
    rows = flights.rows("bare")
    up = [row["up_in"] for row in rows]
    assert [row["distance_yd"] for row in rows] == pytest.approx([20, 40])
    assert np.array(up) * INCH == pytest.approx(flights["bare"].flight.up)
    assert rows[0]["up_in_range"][0] <= up[0] <= rows[0]["up_in_range"][1]
    assert {row["arrow"] for row in flights.rows()} == {"fletched", "bare"}


def test_si_numbers_are_the_same_question(flights):
    again = vireton.fly(vireton.load(), np.array([20, 40]) * YARD, wind=(5 * 0.44704, 9), draws=8)
    assert again["bare"].flight.right == pytest.approx(flights["bare"].flight.right, abs=1e-9)


def test_wind_from_the_left_drifts_right_and_none_does_not(flights):
    still = vireton.fly(vireton.load(), "20,40 yd", draws=8)
    assert flights["fletched"].flight.right[1] > INCH
    # a spinning arrow that pitches over drifts by itself, hundredths of a millimeter
    assert still["fletched"].flight.right[1] == pytest.approx(0.0, abs=1e-4)
    assert not still.sideways_open


def test_a_move_to_the_side_is_called_open():
    moved = vireton.fly(vireton.load(), "20 yd", right="1/32 in", draws=8)
    assert moved.sideways_open
    assert moved.to_dict()["sideways_open"] is True


def test_the_picture_is_of_all_arrows(flights):
    assert len(flights.figure("metric").axes) == 4
    assert repr(flights) == "<Flights of Mill bow: fletched, bare at 2 distances>"


def test_a_broadhead_flies_too_and_one_that_planes_is_a_caution(pytestconfig):
    setup = vireton.load(pytestconfig.rootpath / "examples" / "mill_broadhead.toml")
    assert "broadhead" in vireton.fly(setup, "20 yd", draws=8).answers
    low = replace(setup.parts.vanes, height=setup.parts.vanes.height / 4)
    with pytest.warns(vireton.Caution, match="PLANES"):
        vireton.fly(replace(setup, parts=replace(setup.parts, vanes=low)), "20 yd", draws=8)


def test_too_far_is_told_in_words():
    with pytest.raises(vireton.InputProblem, match="never reaches"):
        vireton.fly(vireton.load(), "1500 yd", draws=8)
