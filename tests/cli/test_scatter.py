"""``vireton scatter``."""

import json
import os
import pty
import signal
import subprocess
import sys
import time

import pytest

FEW = ("--arrows", "512", "--draws", "8")


def test_tables_tell_groups_hits_and_sources(vireton, setup_file):
    done = vireton("scatter", setup_file, *FEW, "--distances", "20,60 yd", "--target", "10in")
    assert done.code == 0, done.err
    for words in (
        "fletched", "bare", "20 yd", "60 yd", "SD right, in", "hits", "10 in", "512 arrows",
        "aim, left and right", "several together", "steady wind: none", "not ours to say",
        "never dry-fire", "± ",
    ):  # fmt: skip
        assert words in done.out, words


def test_json(vireton, setup_file):
    done = vireton("scatter", setup_file, *FEW, "--distances", "20,60 yd", "--json")
    answer = json.loads(done.out)
    assert answer["schema"] == 1
    assert answer["arrows"] == 512
    assert answer["target_in"] == 8.0
    assert answer["scatter_sd"]["aim_right_mrad"] == pytest.approx(1000.0 / 720.0)
    near, far = answer["groups"]["fletched"]
    assert near["distance_yd"] == pytest.approx(20.0)
    assert near["sd_right_in"] == pytest.approx(1.0, abs=0.1)
    assert near["hit_probability"] > far["hit_probability"] > 0.2
    for row in (near, far):
        low, high = row["hit_probability_range"]
        assert low <= row["hit_probability"] <= high
        assert row["sd_up_in_error"] > 0.0
        for side in ("right", "up", "both"):
            assert sum(row[f"variance_shares_{side}"].values()) == pytest.approx(1.0, abs=1e-9)
    assert set(answer["groups"]) == {"fletched", "bare"}


def test_options_replace_the_setups_scatter(vireton, edited):
    # an edited table and options on top of it
    path = edited(("# [scatter]\n", '[scatter]\ngust_across = "3 mph"\nyaw = "0 deg"\n'))
    done = vireton(
        "scatter", path, *FEW, "--distances", "20yd", "--json", "--aim", "0.5 in at 20 yd",
        "--speed", "2 fps", "--yaw-rate", "0.3 rad/s", "--pitch-rate", "0 rad/s",
        "--pitch", "0.2 deg", "--mass", "2 gr", "--spine", "0 in",
    )  # fmt: skip
    used = json.loads(done.out)["scatter_sd"]
    assert used["gust_across_mph"] == pytest.approx(3.0)
    assert used["aim_up_mrad"] == used["aim_right_mrad"] == pytest.approx(500.0 / 720.0)
    assert (used["yaw_deg"], used["pitch_rate_rad_s"], used["spine_in"]) == (0.0, 0.0, 0.0)
    assert used["speed_fps"] == pytest.approx(2.0)
    assert used["mass_grains"] == pytest.approx(2.0)
    shares = json.loads(done.out)["groups"]["bare"][0]["variance_shares_both"]
    assert "spine" not in shares
    assert "yaw_rate" in shares


def test_wind_moves_the_middle_and_is_named(vireton, setup_file):
    done = vireton(
        "scatter", setup_file, *FEW, "--distances", "40yd", "--wind", "10 mph from 9", "--json"
    )
    assert json.loads(done.out)["groups"]["fletched"][0]["center_right_in"] > 1.0
    done = vireton("scatter", setup_file, *FEW, "--distances", "40yd", "--wind", "10 mph from 9")
    assert "steady wind: 10 mph toward the right; nobody holds off" in done.out


def test_nothing_that_differs_is_a_single_hole(vireton, setup_file):
    off = []
    for name, zero in (
        ("--aim", "0 mrad"), ("--yaw-rate", "0 rad/s"), ("--pitch-rate", "0 rad/s"),
        ("--yaw", "0 deg"), ("--pitch", "0 deg"), ("--speed", "0 fps"), ("--gust", "0 mph"),
        ("--mass", "0 gr"), ("--spine", "0 in"),
    ):  # fmt: skip
        off += [name, zero]
    done = vireton("scatter", setup_file, *FEW, "--distances", "20yd", *off)
    assert done.code == 0, done.err
    assert "(SD): nothing" in done.out


def test_one_axis_alone_leaves_the_other_without_shares(vireton, setup_file):
    off = ("--yaw-rate", "0 rad/s", "--yaw", "0 deg", "--gust", "0 mph", "--aim", "0 mrad")
    done = vireton("scatter", setup_file, *FEW, "--distances", "20yd", *off)
    assert done.code == 0, done.err


def test_metric(vireton, setup_file):
    done = vireton("scatter", setup_file, *FEW, "--units", "metric", "--distances", "30 m")
    assert "SD right, cm" in done.out
    assert "30 m" in done.out
    assert " in at" not in done.out


def test_more_precision_than_allowed_says_how_many_arrows(vireton, setup_file):
    done = vireton(
        "scatter", setup_file, "--precision", "0.05 %", "--most", "2048", "--draws", "8",
        "--distances", "20yd",
    )  # fmt: skip
    assert done.code == 0
    assert "not as sure as asked" in done.out
    assert "--most" in done.out


def test_a_picture_is_written(vireton, setup_file, tmp_path):
    picture = tmp_path / "groups.png"
    done = vireton("scatter", setup_file, *FEW, "--distances", "20:90:10yd", "--plot", picture)
    assert done.code == 0, done.err
    assert picture.stat().st_size > 50_000


@pytest.mark.parametrize(
    "option, value",
    [
        ("--aim", "1 in"), ("--aim", "1 yd at 1 yd"), ("--speed", "100 fps"), ("--gust", "-1 mph"),
        ("--target", "0 in"), ("--precision", "2"), ("--yaw-rate", "1 deg"), ("--mass", "29 gr"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(vireton, setup_file, option, value):
    done = vireton("scatter", setup_file, option, value)
    assert done.code == 2
    assert option.removeprefix("--") in done.err
    assert done.out == ""


def test_a_cluster_that_is_not_there(vireton, setup_file, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    done = vireton("scatter", setup_file, *FEW, "--cluster", "tcp://127.0.0.1:1")
    assert done.code == 2
    assert "vireton[cluster]" in done.err


def test_a_cluster_gives_the_very_same_numbers(vireton, setup_file):
    distributed = pytest.importorskip("distributed")
    ask = ("scatter", setup_file, *FEW, "--distances", "20yd", "--json")
    here = vireton(*ask)
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0"
    ) as cluster:
        there = vireton(*ask, "--cluster", cluster.scheduler_address)
    assert there.code == 0, there.err
    assert there.out == here.out


def test_ctrl_c_ends_it_without_a_traceback(setup_file):
    # its error stream is a terminal, so that the count of arrows shows and we know that it shoots
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [
            sys.executable, "-m", "vireton_cli.main", "scatter", str(setup_file),
            "--precision", "0.01 %", "--most", "100000000",
        ],
        stdout=subprocess.PIPE,
        stderr=theirs,
    )  # fmt: skip
    os.close(theirs)
    said = b""
    try:
        began = time.monotonic()
        while b"arrows shot" not in said and time.monotonic() - began < 100.0:
            said += os.read(ours, 4096)
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=30.0) == 130
        while True:
            try:
                more = os.read(ours, 4096)
            except OSError:  # how a terminal says that nobody holds its other end
                break
            said += more
            if not more:
                break
    finally:
        process.kill()
        assert process.stdout is not None
        process.stdout.close()
        os.close(ours)
    assert b"stopped" in said
    assert b"Traceback" not in said


def test_vary_shoots_every_value_with_the_same_shots(vireton, setup_file):
    command = (
        "scatter",
        setup_file,
        "--arrows",
        "512",
        "--draws",
        "8",
        "--distances",
        "20yd",
        "--json",
    )
    done = vireton(*command, "--vary", "vanes.count=3,4")
    assert done.code == 0, done.err
    found = json.loads(done.out)["variants"]
    assert [one["label"] for one in found] == ["vanes.count 3", "vanes.count 4"]
    alone = json.loads(vireton(*command).out)
    first = {**found[0], "label": alone["label"]}
    assert first == alone
    words = vireton(*command[:-1], "--vary", "vanes.count=3,4").out
    assert words.index("vanes.count 3\n") < words.index("vanes.count 4\n")
    drawn = vireton(*command, "--vary", "vanes.count=3,4", "--plot", "cloud.png")
    assert drawn.code == 2
    assert "--plot draws one set-up" in drawn.err
