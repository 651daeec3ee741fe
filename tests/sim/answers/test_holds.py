"""What to hold for: question, answer, words."""

import re

import pytest

import vireton
from vireton.answers.holds import FindHolds, slope_name
from vireton.setup import template_text
from vireton.units.display import METRIC, US

_UNITED = ("right_in", "right_in_range", "up_in", "up_in_range")


@pytest.fixture(scope="module")
def holds():
    return vireton.find_holds(vireton.load(), "10,40 yd", slopes="-20,0,20 deg", draws=8)


def test_every_cause_has_the_archer_s_sign_and_its_band(holds):
    near, far = holds.to_dict()["rows"]
    assert (near["distance_yd"], far["distance_yd"]) == pytest.approx((10, 40))
    assert far["wind_from_left"]["right_in"] > 0.0
    assert far["wind_in_the_face"]["up_in"] < 0.0 < far["wind_from_behind"]["up_in"]
    assert all(one["up_in"] > 0.0 for one in far["other_air"])  # thinner air
    low, high = far["canted"]["right_in_range"]
    assert 0.0 < low <= far["canted"]["right_in"] <= high
    assert [one["slope_deg"] for one in far["slopes"]] == pytest.approx([-20, 20])
    for one in far["slopes"]:
        low, high = one["shoot_as_yd_range"]
        assert low <= one["shoot_as_yd"] <= high < 40.0
        assert one["up_in"] > 1.0
        assert one["slope_deg"] * one["third_axis"]["right_in"] > 0.0


def test_rows_are_flat_with_a_list_of_slopes(holds):
    near, far = holds.rows()
    assert far["wind_from_left_right_in"] > near["wind_from_left_right_in"]
    assert "third_axis_right_in" in near["slopes"][0]
    assert set(far["other_air"][0]) == {"name", *_UNITED}


def test_the_question_is_told_with_the_answer(holds):
    told = holds.to_dict()
    assert told["wind_mph"] == pytest.approx(10.0)
    assert told["cant_deg"] == pytest.approx(2.0)
    high, warm = told["other_airs"]
    assert (high["name"], warm["name"]) == ("5000 ft (1524 m)", "86 °F (30 °C)")
    # NOAA, NASA and USAF 1976, "U.S. Standard Atmosphere", table I, at 1524 m, from memory
    assert high["density_kg_m3"] == pytest.approx(1.0555, rel=1e-3)


def test_tables_are_for_people(holds):
    wind, level, high, crooked, air = holds.tables(US)
    assert wind.title == "wind of 10 mph: where it hits"
    assert wind.heads == (
        "at", "from the left: right, in", "in the face: up, in", "from behind: up, in",
    )  # fmt: skip
    assert high.title == "slope: with the level pin it hits high by, in"
    assert high.heads == ("at", "20° down", "20° up")
    assert level.title == "slope: shoot it as if level at, yd"
    assert level.cells[0] == ("10 yd", "no pin", "no pin")
    assert not any("+" in cell for cell in level.cells[1])
    assert crooked.heads[:2] == ("at", "bow canted 2°: right, in")
    assert crooked.heads[2] == "level 1° off, 20° down: right, in"
    assert air.heads == ("at", "5000 ft (1524 m)", "86 °F (30 °C)")
    first, *_ = holds.words(US)
    assert re.fullmatch(
        r"at 40 yd: 10 mph from the left carries the arrow (\S+) in right \(.*\): hold \1 in left; "
        r"20° down: shoot it as 37\.\d yd",
        first,
    )
    said = " ".join(holds.words(US))
    for words in (
        "hold the other way", "against the wind", "backstop", "most bows like yours (9 of 10)",
        "no pin: no sight setting for level ground hits that near",
    ):  # fmt: skip
        assert words in said
    assert "grows with height" not in said


def test_metric_is_another_usual_wind_and_other_units():
    asked = FindHolds.read(
        {"setup": vireton.load(), "draws": 8, "distances": "30 m"}, system="metric"
    )
    wind, *_ = asked.answer().tables(METRIC)
    assert wind.title == "wind of 5 m/s: where it hits"
    assert wind.heads[1:3] == ("from the left: right, cm", "in the face: up, cm")


def test_a_wind_profile_of_the_setup_file_counts_and_is_told(tmp_path):
    text = template_text()
    for line in ('speed = "10 mph"', "from_clock = 3", "profile_exponent = 0.14"):
        assert f"# {line}" in text
        text = text.replace(f"# {line}", line)
    text = text.replace("# [wind]", "[wind]")
    text = text.replace('# reference_height = "2 m"', 'reference_height = "10 m"')
    file = tmp_path / "windy.toml"
    file.write_text(text, encoding="utf-8")
    grown, plain = (
        vireton.find_holds(setup, "40 yd", slopes="10 deg", draws=8)
        for setup in (file, vireton.load())
    )
    assert any("grows with height" in line for line in grown.words(US))
    less, more = (float(one.shifts.crosswind.nominal[0, 0]) for one in (grown, plain))
    assert 0.7 < less / more < 0.8


def test_picture_and_names(holds):
    assert len(holds.figure("metric").axes) == 4
    assert slope_name(-0.3490658504) == "20° down"
    assert repr(holds) == "<Holds of Mill bow at 2 distances>"


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"slopes": "80 deg"}, "slopes: .* is outside"),
        ({"wind_speed": "0 mph"}, "wind_speed: .* is outside"),
        ({"cant": "90 deg"}, "cant: .* is outside"),
        ({"third_axis": "30 deg"}, "third_axis: .* is outside"),
        ({"altitudes": "20 km"}, "altitudes: .* is outside"),
        ({"altitudes": 5000}, "5000 has no unit; write '5000 ft' or '5000 m'"),
        ({"temperatures": "30"}, "temperatures: .* no unit"),
        ({"temperatures": 20}, "temperatures: 20 K is outside"),
        ({"distances": "1500 yd"}, "never reached"),
    ],
)
def test_what_cannot_be_is_refused(given, says):
    with pytest.raises(vireton.InputProblem, match=says):
        vireton.find_holds(vireton.load(), **{"distances": "20 yd", "draws": 8, **given})
