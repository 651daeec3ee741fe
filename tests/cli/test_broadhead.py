"""``vireton broadhead``: what it prints and its JSON."""

import json

import pytest

HEAD = """
[arrow.broadhead]
mass = "100 gr"
length = "1.2 in"
blades = 3
cutting_diameter = "1 1/16 in"
blade_length = "0.9 in"
blade_thickness = "0.7 mm"
ferrule_diameter = "0.25 in"
blades_ahead = "0.1 in"
"""
QUICK = ("--draws", "8", "--distances", "20,40 yd")


@pytest.fixture
def headed(edited):
    def write(*changes):
        head = HEAD
        for old, new in changes:
            assert old in head
            head = head.replace(old, new)
        return edited(("\n[arrow.vanes]", f"{head}\n[arrow.vanes]"))

    return write


@pytest.fixture
def answer(vireton, headed):
    def call(*options, file=None):
        done = vireton("broadhead", file or headed(), "--json", *QUICK, *options)
        assert done.code == 0, done.err
        return json.loads(done.out)

    return call


def test_json_keys_and_their_ranges(answer):
    found = answer()
    assert found["schema"] == 1
    assert found["warnings"] == []
    assert found["broadhead"]["blades"] == 3
    assert found["broadhead"]["mass_grains"] == pytest.approx(414.7, abs=0.1)
    names = {
        "separation_right_in",
        "separation_up_in",
        "straight_separation_up_in",
        "separation_per_yaw_rate_in_s_per_rad",
        "separation_per_yaw_in_per_deg",
    }
    for row in found["rows"]:
        assert names < set(row)
        for name in names:
            low, high = row[f"{name}_range"]
            assert low <= row[name] <= high
    vanes = found["vanes"]
    assert vanes["distance_yd"] == pytest.approx(40.0)
    assert 1.0 < vanes["height_factor_to_halve"] < 2.0
    assert found["broadhead_static_margin_in"] < found["point_static_margin_in"]


def test_a_launch_error_opens_what_the_sensitivity_says(answer):
    straight = ("--yaw", "0 deg", "--pitch", "0 deg", "--pitch-rate", "0 rad/s", "--yaw-rate")
    still, turning = (answer(*straight, rate)["rows"] for rate in ("0 rad/s", "0.02 rad/s"))
    for before, after in zip(still, turning, strict=True):
        opened = after["separation_right_in"] - before["separation_right_in"]
        slope = before["separation_per_yaw_rate_in_s_per_rad"]
        assert opened == pytest.approx(0.02 * slope, rel=0.05)


def test_the_table_is_for_people(vireton, headed):
    done = vireton("broadhead", headed(), *QUICK)
    assert done.code == 0, done.err
    for words in (
        "3 blades 1.06 in across",
        "broadhead − field point",
        "1 in by a nose rate of, rad/s",
        "behind the balance point",
        "4 vanes instead of 3",
        "razor-sharp",
        "backstop",
        "40 yd",
    ):
        assert words in done.out, words
    assert "PLANES" not in done.out
    assert "nan" not in done.out


def test_metric(vireton, headed):
    done = vireton("broadhead", headed(), "--draws", "8", "--units", "metric")
    assert "1 cm by a nose rate of" in done.out
    assert "2.70 cm across" in done.out
    assert "100 m" in done.out


def test_a_head_that_planes_is_named_before_the_numbers(vireton, answer, headed):
    wide = headed(('"1 1/16 in"', '"1 3/4 in"'))
    assert "PLANES" in answer(file=wide)["warnings"][0]
    done = vireton("broadhead", wide, *QUICK)
    assert done.out.index("PLANES") < done.out.index("broadhead − field point")
    flown = vireton("fly", wide, *QUICK)
    assert "PLANES" in flown.out


def test_fly_shows_the_broadhead_too(vireton, headed):
    done = vireton("fly", headed(), "--json", *QUICK)
    assert list(json.loads(done.out)["flights"]) == ["fletched", "bare", "broadhead"]
    text = vireton("fly", headed(), *QUICK).out
    assert "razor-sharp" in text


def test_two_blades_without_an_angle(answer, headed):
    two = headed(("blades = 3", "blades = 2"))
    found = answer(file=two)
    low, high = found["rows"][1]["separation_per_yaw_in_per_deg_range"]
    assert high - low > 0.2


def test_a_setup_without_a_broadhead(vireton, setup_file):
    done = vireton("broadhead", setup_file, *QUICK)
    assert done.code == 2
    assert "[arrow.broadhead]" in done.err
    assert done.out == ""


def test_distances_that_are_never_reached(vireton, headed):
    done = vireton("broadhead", headed(), "--draws", "8", "--distances", "1900 yd")
    assert done.code == 2
    assert "never reaches" in done.err


def test_a_picture_is_written(vireton, headed, tmp_path):
    picture = tmp_path / "broadhead.png"
    assert vireton("broadhead", headed(), *QUICK, "--plot", picture).code == 0
    assert picture.read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"
