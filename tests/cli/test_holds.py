"""``vireton holds``."""

import json

import pytest


@pytest.fixture
def held(vireton, setup_file):
    def call(*options):
        done = vireton("holds", setup_file, "--json", "--draws", "8", *options)
        assert done.code == 0, done.err
        return json.loads(done.out)

    return call


def test_json(held):
    found = held("--distances", "20,40 yd", "--slopes", "-20,20 deg")
    assert found["schema"] == 1
    assert found["wind_mph"] == pytest.approx(10.0)
    near, far = found["rows"]
    assert (near["distance_yd"], far["distance_yd"]) == (20, 40)
    assert far["wind_from_left"]["right_in"] > near["wind_from_left"]["right_in"] > 0.0
    assert far["wind_in_the_face"]["up_in"] < 0.0 < far["wind_from_behind"]["up_in"]
    assert [one["slope_deg"] for one in far["slopes"]] == pytest.approx([-20.0, 20.0])
    for one in far["slopes"]:
        low, high = one["shoot_as_yd_range"]
        assert low <= one["shoot_as_yd"] <= high < 40.0
        assert one["up_in"] > 1.0
        assert one["slope_deg"] * one["third_axis"]["right_in"] > 0.0
    assert [one["name"] for one in far["other_air"]] == ["5000 ft (1524 m)", "86 °F (30 °C)"]
    assert all(one["up_in"] > 0.0 for one in far["other_air"])  # thinner air
    low, high = far["canted"]["right_in_range"]
    assert low <= far["canted"]["right_in"] <= high


def test_the_table_is_for_people(vireton, setup_file):
    done = vireton("holds", setup_file, "--draws", "8")
    assert done.code == 0, done.err
    for words in ("wind of 10 mph", "20° up", "shoot it as", "canted 2°", "5000 ft", "backstop"):
        assert words in done.out
    assert "nan" not in done.out
    assert "no pin" in done.out  # 10 yd on a steep slope
    assert "safe" not in done.out


def test_metric(vireton, setup_file):
    done = vireton("holds", setup_file, "--draws", "8", "--units", "metric", "--distances", "30 m")
    assert "wind of 5 m/s" in done.out
    assert "right, cm" in done.out


def test_a_wind_profile_of_the_setup_file_counts_and_is_told(vireton, edited, setup_file):
    profile = edited(
        ("# [wind]", "[wind]"),
        ('# speed = "10 mph"', 'speed = "10 mph"'),
        ("# from_clock = 3", "from_clock = 3"),
        ("# profile_exponent = 0.14", "profile_exponent = 0.14"),
        ('# reference_height = "2 m"', 'reference_height = "10 m"'),
    )
    at = ("--distances", "40 yd", "--draws", "8")
    grown = vireton("holds", profile, *at)
    assert "grows with height" in grown.out
    less, more = (
        json.loads(vireton("holds", file, *at, "--json").out)["rows"][0]["wind_from_left"][
            "right_in"
        ]
        for file in (profile, setup_file)
    )
    assert 0.7 < less / more < 0.8


def test_a_picture_is_written(vireton, setup_file, tmp_path):
    picture = tmp_path / "holds.png"
    done = vireton(
        "holds", setup_file, "--draws", "8", "--distances", "20,40 yd", "--plot", picture
    )
    assert done.code == 0, done.err
    assert picture.stat().st_size > 20_000


@pytest.mark.parametrize(
    ("option", "value"),
    [
        ("--slopes", "80 deg"),
        ("--wind-speed", "0 mph"),
        ("--cant", "90 deg"),
        ("--altitude", "20 km"),
        ("--temperature", "30"),
    ],
)
def test_what_cannot_be_is_refused(vireton, setup_file, option, value):
    done = vireton("holds", setup_file, option, value)
    assert done.code == 2
    assert option in done.err
    assert done.out == ""
