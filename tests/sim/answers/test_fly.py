"""Flights from Python."""

from dataclasses import replace

import numpy as np
import pytest

import vireton
from vireton.units.display import METRIC, US

INCH = 0.0254


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
    again = vireton.fly(vireton.load(), ["18.288 m", "40 yd"], wind=(5 * 0.44704, 9), draws=8)
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
    assert "broadhead" in vireton.fly(setup, "20 yd", draws=8).flights
    low = replace(setup.parts.vanes, height=setup.parts.vanes.height / 4)
    with pytest.warns(vireton.Caution, match="PLANES"):
        vireton.fly(replace(setup, parts=replace(setup.parts, vanes=low)), "20 yd", draws=8)


@pytest.mark.parametrize(
    ("kind", "key", "changed", "least", "most"),
    [
        ("fletched", "up", {"up": "1/32 in"}, 0.3, 3.0),
        ("fletched", "right", {"wind": "10 mph from 3"}, -20.0, -1.0),
        ("bare", "right", {"yaw_rate": "0.5 rad/s"}, 3.0, 30.0),
        ("bare", "up", {"pitch_rate": "20 deg/s"}, 1.0, 30.0),
        ("fletched", "up", {"slope": "30 deg"}, 0.5, 10.0),
        ("fletched", "right", {"cant": "5 deg"}, 0.5, 10.0),
        ("fletched", "up", {"sight_in": "40 yd"}, 5.0, 30.0),
        ("fletched", "right", {"yaw": "1 deg"}, -2.0, 2.0),
        ("bare", "up", {"pitch": "-1 deg"}, -30.0, 0.0),
    ],
)
def test_what_is_changed_has_the_archer_s_sign(kind, key, changed, least, most):
    def at_40(**given):
        return getattr(vireton.fly(vireton.load(), "20,40 yd", draws=8, **given)[kind].flight, key)

    assert least < (at_40(**changed)[1] - at_40()[1]) / INCH < most


def test_without_a_sight_in_impacts_are_from_the_bore_line():
    flights = vireton.fly(vireton.load(), "20 yd", sight_in="none", draws=8)
    assert flights.reference == "bore"
    assert flights["fletched"].flight.up[0] < -5.0 * INCH


def test_the_same_seed_gives_the_same_bands():
    first, second, other = (
        vireton.fly(vireton.load(), "40 yd", draws=8, seed=seed).to_dict() for seed in (7, 7, 8)
    )
    assert first == second
    assert first["flights"] != other["flights"]


def test_the_page_says_bow_arrow_and_what_is_open():
    moved = vireton.fly(vireton.load(), "20 yd", right="1/32 in", draws=8)
    words = " ".join(moved.words(METRIC))
    assert "Mill bow" in words
    assert "Maple 340" in words
    assert "backstop" in words
    assert "which way, right or left, this bow must show you" in words
    lands, fletched, bare = moved.tables(METRIC)
    assert (fletched.title, bare.title) == ("fletched, on the way", "bare, on the way")
    assert lands.heads[1:] == (
        "fletched right, cm ↔", "fletched up, cm", "bare right, cm ↔", "bare up, cm"
    )  # fmt: skip
    assert fletched.heads[1:3] == ("m/s", "s")
    assert lands.cells[0][0] == fletched.cells[0][0] == "18.29 m"


def test_the_page_begins_with_where_the_arrows_land():
    flown = vireton.fly(vireton.load(), "20,40 yd", draws=8)
    first = flown.words(US)[0]
    # the sight is set with the fletched arrow at 20 yd
    assert first.startswith("at 20 yd: fletched centered; bare centered, 0.59 in high (")


def test_too_far_is_told_in_words():
    with pytest.raises(vireton.InputProblem, match="never reaches"):
        vireton.fly(vireton.load(), "1500 yd", draws=8)
