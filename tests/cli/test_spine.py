"""``vireton spine``."""

import json

import pytest


def test_table_names_the_turning_point_and_the_load(vireton, setup_file):
    done = vireton("spine", setup_file, "--spine", "0.3:0.7:0.2 in", "--draws", "8")
    assert done.code == 0, done.err
    for words in ("0.300", "0.700", "passes through 0", "buckle", "other way", "open until"):
        assert words in done.out


def test_json(vireton, setup_file):
    done = vireton("spine", setup_file, "--spine", "0.3,0.5 in", "--draws", "8", "--json")
    answer = json.loads(done.out)
    strong, weak = answer["shafts"]
    assert strong["spine_in"] == pytest.approx(0.3)
    assert strong["bending_stiffness_n_m2"] == pytest.approx(8.487, abs=1e-3)
    assert strong["rest_right"]["yaw_rate_rad_s"] > weak["rest_right"]["yaw_rate_rad_s"]
    low, high = weak["rest_up"]["separation_20yd_in_range"]
    assert low <= weak["rest_up"]["separation_20yd_in"] <= high


def test_points_and_lengths_show_where_they_differ(vireton, setup_file):
    done = vireton(
        "spine", setup_file, "--spine", "0.34 in", "--point", "100,150 gr", "--draws", "8"
    )
    assert "point gr" in done.out
    assert "length in" not in done.out


def test_a_picture_is_written(vireton, setup_file, tmp_path):
    picture = tmp_path / "spine.png"
    done = vireton("spine", setup_file, "--spine", "0.3,0.4 in", "--draws", "8", "--plot", picture)
    assert done.code == 0, done.err
    assert picture.stat().st_size > 20_000


@pytest.mark.parametrize("bad", ["0.01 in", "20 gr", "0.3"])
def test_spines_that_cannot_be(vireton, setup_file, bad):
    done = vireton("spine", setup_file, "--spine", bad)
    assert done.code == 2
    assert "--spine" in done.err


def test_a_shaft_that_falls_off_the_rest_is_refused(vireton, setup_file):
    for length in ("26 in", "15 in", "10 in"):
        done = vireton("spine", setup_file, "--spine", "0.34 in", "--length", length)
        assert done.code == 2
        assert "DANGER" in done.err
        assert done.out == ""


def test_a_light_shaft_of_the_sweep_is_named(vireton, setup_file):
    done = vireton(
        "spine", setup_file, "--spine", "0.34 in", "--point", "1 gr", "--length", "27.5 in",
        "--draws", "16",
    )  # fmt: skip
    assert done.code == 0
    assert "DANGER" in done.err
