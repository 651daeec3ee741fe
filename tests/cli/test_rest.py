"""``vireton rest``: the main job."""

import json

import pytest


@pytest.fixture
def moved(vireton, setup_file):
    def call(*options):
        done = vireton("rest", setup_file, "--json", "--draws", "8", *options)
        assert done.code == 0, done.err
        return json.loads(done.out)["moves"]

    return call


def test_json_has_the_keys_that_others_rely_on(moved):
    (move,) = moved("--up", "1/32in", "--distances", "20 yd")
    assert move["up_in"] == 1 / 32
    assert move["right_in"] == 0.0
    (row,) = move["rows"]
    for kind in ("fletched", "bare", "separation"):
        assert f"{kind}_right_in" in row
        low, high = row[f"{kind}_up_in_range"]
        assert low <= row[f"{kind}_up_in"] <= high
    assert len(move["tear_bare_in"]) == len(move["tear_fletched_in"]) == 2
    assert row["separation_up_in"] - row["separation_before_up_in"] == pytest.approx(
        row["bare_up_in"] - row["fletched_up_in"], abs=1e-9
    )


def test_the_demo_bow_does_what_the_trade_expects(moved):
    # common practice, no source: 1/16 in up opens about an inch and moves the group about two
    (move,) = moved("--up", "1/16 in", "--distances", "20 yd")
    (row,) = move["rows"]
    assert 0.1 < row["separation_up_in"] < 3.0
    assert 1.0 < row["fletched_up_in"] < 4.0
    assert move["tear_bare_in"][1] < 0.0


def test_without_a_move_one_step_of_the_rest_up(moved):
    (move,) = moved("--distances", "20 yd")
    assert (move["right_in"], move["up_in"]) == (0.0, 1 / 32)


def test_several_moves_and_sweeps_are_paired(moved):
    moves = moved("--right", "0,1/32 in", "--up", "-1/32:1/32:1/32 in", "--distances", "20 yd")
    assert [(m["right_in"], m["up_in"]) for m in moves] == [
        (r, u) for r in (0.0, 1 / 32) for u in (-1 / 32, 0.0, 1 / 32)
    ]


def test_sideways_is_open_and_says_so(moved, vireton, setup_file):
    (move,) = moved("--right", "1/32in", "--distances", "20 yd")
    assert move["sideways_direction"] == "open"
    assert 0.0 <= move["share_of_draws_bare_right"] <= 1.0
    text = vireton("rest", setup_file, "--right", "1/32in", "--draws", "8").out
    assert "sideways direction OPEN" in text
    assert "↔" in text


def test_up_is_not_open(moved, vireton, setup_file):
    (move,) = moved("--up", "1/32in", "--distances", "20 yd")
    assert move["sideways_direction"] == "not moved"
    assert move["share_of_draws_bare_right"] is None
    text = vireton("rest", setup_file, "--up", "1/32in", "--draws", "8").out
    assert "OPEN" not in text
    assert "↔" not in text
    assert "tail-low" in text
    assert "above" in text


def test_many_moves_become_one_table(vireton, setup_file):
    done = vireton("rest", setup_file, "--up", "-2/32:2/32:1/32 in", "--draws", "8")
    assert done.code == 0
    for words in ("down 1/16 in", "up 1/16 in", "where it is", "tail-high", "tail-low"):
        assert words in done.out


def test_paper_distance_and_metric(vireton, setup_file):
    done = vireton(
        "rest", setup_file, "--up", "1 mm", "--paper", "2 m", "--units", "metric", "--draws", "8"
    )
    assert "paper at 2.00 m" in done.out
    assert "mm tail-low" in done.out


def test_a_picture_is_written(vireton, setup_file, tmp_path):
    picture = tmp_path / "rest.svg"
    done = vireton("rest", setup_file, "--right", "1/32in", "--draws", "8", "--plot", picture)
    assert done.code == 0
    assert b"<svg" in picture.read_bytes()


def test_a_light_arrow_is_named_before_any_result(vireton, edited):
    light = edited(
        ('# mass = "415 gr"', 'mass = "280 gr"'),
        ("280 fps", "300 fps"),
    )
    done = vireton("rest", light, "--up", "1/32in", "--draws", "8", "--json")
    assert done.code == 0
    assert "DANGER" in done.err
    assert "DANGER" in json.loads(done.out)["warnings"][0]
