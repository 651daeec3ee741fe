"""``vireton fly``: what it prints, its JSON, its options."""

import json

import pytest

KEYS = {
    "distance_yd",
    "time_s",
    "speed_fps",
    "right_in",
    "up_in",
    "yaw_deg",
    "pitch_deg",
    "spin_rev_s",
}


@pytest.fixture
def flown(vireton, setup_file):
    def call(*options):
        done = vireton("fly", setup_file, "--json", "--draws", "8", *options)
        assert done.code == 0, done.err
        return json.loads(done.out)

    return call


def column(answer, kind, key):
    return [row[key] for row in answer["flights"][kind]]


def test_json_has_the_keys_that_others_rely_on(flown):
    answer = flown()
    assert answer["schema"] == 1
    assert answer["reference"] == "sight"
    assert {"mass_grains", "foc_percent", "transverse_inertia_kg_m2"} <= set(answer["arrow"])
    for kind in ("fletched", "bare"):
        assert all(set(row) >= KEYS for row in answer["flights"][kind])
        assert column(answer, kind, "distance_yd") == [10, 20, 30, 40, 50, 60, 70, 80, 90, 100]


def test_numbers_are_those_of_the_bow(flown):
    answer = flown()
    assert answer["arrow"]["mass_grains"] == pytest.approx(414.7, abs=0.1)
    assert column(answer, "fletched", "up_in")[1] == pytest.approx(0.0, abs=1e-4)
    speeds = column(answer, "fletched", "speed_fps")
    assert speeds == sorted(speeds, reverse=True)
    assert 270 < speeds[0] < 280
    spins = column(answer, "fletched", "spin_rev_s")
    assert spins[1] > 20
    assert column(answer, "bare", "spin_rev_s")[1] == pytest.approx(0.0, abs=1e-6)


def test_ranges_hold_the_value(flown):
    for row in flown()["flights"]["bare"]:
        low, high = row["up_in_range"]
        assert low <= row["up_in"] <= high


def test_distances_are_sorted_and_once_each(flown):
    answer = flown("--distances", "60,20,60 yd")
    assert column(answer, "bare", "distance_yd") == [20, 60]


def test_rest_moves_wind_and_launch_options_have_the_right_sign(flown):
    at = ("--distances", "20,40 yd")
    plain = flown(*at)

    def shift(kind, key, *options):
        changed = flown(*at, *options)
        return column(changed, kind, key)[1] - column(plain, kind, key)[1]

    assert shift("fletched", "up_in", "--up", "1/32in") > 0.3
    assert shift("fletched", "right_in", "--wind", "10 mph from 3") < -1.0
    assert shift("bare", "right_in", "--yaw-rate", "0.5 rad/s") > 3.0
    assert shift("bare", "up_in", "--pitch-rate", "20 deg/s") > 1.0
    assert shift("fletched", "up_in", "--slope", "30 deg") > 0.5
    assert shift("fletched", "right_in", "--cant", "5 deg") > 0.5
    assert shift("fletched", "up_in", "--sight-in", "40 yd") > 5.0
    assert abs(shift("fletched", "right_in", "--yaw", "1 deg")) < 2.0
    assert shift("bare", "up_in", "--pitch", "-1 deg") < 0.0


def test_without_a_sight_in_impacts_are_from_the_bore_line(flown):
    answer = flown("--sight-in", "none")
    assert answer["reference"] == "bore"
    assert column(answer, "fletched", "up_in")[1] < -5.0


def test_the_same_seed_gives_the_same_bands(flown):
    assert flown("--seed", "7") == flown("--seed", "7")
    assert flown("--seed", "7") != flown("--seed", "8")


def test_the_table_is_for_people(vireton, setup_file):
    done = vireton("fly", setup_file, "--draws", "8")
    assert done.code == 0
    for words in ("Mill bow", "Maple 340", "FOC", "gr/lbf", "sighted in at 20 yd", "20 yd", "bare"):
        assert words in done.out
    assert "backstop" in done.out
    assert "↔" not in done.out
    assert "-0.00 " not in done.out


def test_metric_tables(vireton, setup_file):
    done = vireton("fly", setup_file, "--draws", "8", "--units", "metric")
    assert "m/s" in done.out
    assert "right cm" in done.out
    assert "100 m" in done.out


def test_a_moved_rest_marks_sideways_as_open(vireton, setup_file):
    moved = vireton("fly", setup_file, "--draws", "8", "--right", "1/32in")
    assert "↔" in moved.out
    own = vireton(
        "fly",
        setup_file,
        "--draws",
        "8",
        "--right",
        "1/32in",
        "--yaw",
        "0 deg",
        "--yaw-rate",
        "0.2 rad/s",
    )
    assert "↔" not in own.out


def test_a_picture_is_written(vireton, setup_file, tmp_path):
    picture = tmp_path / "flight.png"
    assert vireton("fly", setup_file, "--draws", "8", "--plot", picture).code == 0
    assert picture.read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"


def test_left_handed_and_metric_setup(vireton, pytestconfig):
    orchard = pytestconfig.rootpath / "examples" / "orchard_bow.toml"
    done = vireton("fly", orchard, "--draws", "8", "--json")
    assert done.code == 0, done.err
    assert json.loads(done.out)["warnings"] == []
