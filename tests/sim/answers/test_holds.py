"""What to hold for, from Python."""

import pytest

import vireton
from vireton.answers.holds import slope_name

_UNITED = ("right_in", "right_in_range", "up_in", "up_in_range")


@pytest.fixture(scope="module")
def holds():
    return vireton.find_holds(vireton.load(), "20,40 yd", slopes="-20,0,20 deg", draws=8)


def test_rows_are_flat_with_a_list_of_slopes(holds):
    near, far = holds.rows()
    assert far["wind_from_left_right_in"] > near["wind_from_left_right_in"] > 0.0
    assert [one["slope_deg"] for one in near["slopes"]] == pytest.approx([-20, 20])
    assert "third_axis_right_in" in near["slopes"][0]
    assert [one["name"] for one in far["other_air"]] == ["5000 ft (1524 m)", "86 °F (30 °C)"]
    assert set(far["other_air"][0]) == {"name", *_UNITED}


def test_the_question_is_told_with_the_answer(holds):
    told = holds.to_dict()
    assert told["wind_mph"] == pytest.approx(10.0)
    assert told["cant_deg"] == pytest.approx(2.0)
    high, warm = told["other_airs"]
    assert (high["name"], warm["name"]) == ("5000 ft (1524 m)", "86 °F (30 °C)")
    # NOAA, NASA and USAF 1976, "U.S. Standard Atmosphere", table I, at 1524 m, from memory
    assert high["density_kg_m3"] == pytest.approx(1.0555, rel=1e-3)


def test_picture_and_names(holds):
    assert holds.figure().axes
    assert slope_name(-0.3490658504) == "20° down"
    assert repr(holds) == "<Holds of Mill bow at 2 distances>"


def test_what_cannot_be_is_refused():
    with pytest.raises(vireton.InputProblem, match="temperatures: 20 K is outside"):
        vireton.find_holds(vireton.load(), "20 yd", temperatures=20)
