"""Rest moves from Python."""

from dataclasses import replace

import numpy as np
import pytest

import vireton
from vireton.units.display import METRIC, US

INCH = 0.0254


@pytest.fixture(scope="module")
def pairs():
    return vireton.move_rest(
        vireton.load(), right="0,1/32 in", up=[0.0, INCH / 32], distances="20,40 yd", draws=8
    )


def test_every_pair_is_run(pairs):
    moves = [(one.right, one.up) for one in pairs.moves]
    assert np.array(moves) * 32 / INCH == pytest.approx(np.array([[0, 0], [0, 1], [1, 0], [1, 1]]))
    assert len(pairs.rows()) == 8
    assert len(pairs.to_dict()["moves"]) == 4


def test_no_move_does_nothing(pairs):
    assert pairs[0].fletched.nominal == pytest.approx(np.zeros((2, 2)), abs=1e-12)


def test_sideways_is_called_open_only_where_it_is_moved(pairs):
    told = [row["sideways_direction"] for row in pairs.rows()]
    assert told == ["not moved"] * 4 + ["open"] * 4


def test_without_a_move_it_is_a_step_of_this_rest():
    setup = vireton.load()
    moved = vireton.move_rest(setup, distances="20 yd", draws=8)
    assert [(one.right, one.up) for one in moved.moves] == [(0.0, setup.rest_step)]
    assert repr(moved) == "<RestMoves of Mill bow: rest up 1/32 in>"


def test_pictures(pairs):
    assert pairs.figure().axes


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"up": "2 in"}, 'up: "2 in" is outside -1/2 in to 1/2 in'),
        ({"up": 0.03125}, "up: 0.03125 m is outside"),
        ({"paper": "100 m"}, 'paper: "100 m" is outside'),
        ({"distances": "1500 yd"}, "never reaches"),
        ({"distances": 18.0}, "distances: 18 has no unit; write '18 yd' or '18 m'"),
    ],
)
def test_what_cannot_be_is_refused(given, says):
    with pytest.raises(vireton.InputProblem, match=says):
        vireton.move_rest(vireton.load(), draws=8, **given)


def test_the_keys_that_others_rely_on(pairs):
    move = pairs.to_dict()["moves"][1]
    assert (move["right_in"], move["up_in"]) == (0.0, 1 / 32)
    assert len(move["tear_bare_in"]) == len(move["tear_fletched_in"]) == 2
    assert move["sideways_direction"] == "not moved"
    assert move["share_of_draws_bare_right"] is None
    row = move["rows"][0]
    low, high = row["bare_up_in_range"]
    assert low <= row["bare_up_in"] <= high
    assert row["separation_up_in"] - row["separation_before_up_in"] == pytest.approx(
        row["bare_up_in"] - row["fletched_up_in"], abs=1e-9
    )


def test_the_demo_bow_does_what_the_trade_expects():
    # common practice, no source: 1/16 in up opens about an inch and moves the group about two
    (move,) = vireton.move_rest(vireton.load(), up="1/16 in", distances="20 yd").to_dict()["moves"]
    assert 0.1 < move["rows"][0]["separation_up_in"] < 3.0
    assert 1.0 < move["rows"][0]["fletched_up_in"] < 4.0
    assert move["tear_bare_in"][1] < 0.0


def test_the_page_tells_few_moves_in_full_and_many_in_one_table(pairs):
    (summary,) = pairs.tables(US)
    assert [row[0] for row in summary.cells] == [
        "where it is", "up 1/32 in", "right 1/32 in", "right 1/32 in, up 1/32 in",
    ]  # fmt: skip
    few = vireton.move_rest(vireton.load(), up="1 mm", paper="2 m", distances="20 yd", draws=8)
    words = " ".join(few.words(METRIC))
    assert "on paper at 2.00 m" in words
    assert "`vireton tune` knows its own answer better" in words
    assert "mm tail-low" in words
    assert "open" not in words
    (table,) = few.tables(METRIC)
    assert "↔" not in str(table)
    aside = vireton.move_rest(vireton.load(), right="1/32 in", draws=8)
    assert "WHICH WAY the bare shaft goes is open" in " ".join(aside.words(US))
    sideways, up = aside.tables(US)
    assert (sideways.title, up.title) == ("sideways (plus: right)", "up and down (plus: up)")
    assert all("↔" in head for head in sideways.heads[1:])
    assert "↔" not in str(up)


def test_a_bare_arrow_has_nothing_to_be_read_against():
    setup = vireton.load()
    naked = replace(setup, parts=replace(setup.parts, vanes=None))
    with pytest.raises(vireton.InputProblem, match="give the arrow vanes"):
        vireton.move_rest(naked, up="1/32 in", draws=8)


def moves_of(**typed):
    from vireton.answers.rest import MoveRest

    return np.array(MoveRest.read({"setup": vireton.load(), **typed}).moves) * 32 / INCH


def test_left_and_down_are_right_and_up_turned_round():
    assert moves_of(left="1/32 in", down="1/16 in") == pytest.approx(np.array([[-1, -2]]))
    assert moves_of(left="1/32,1/16 in") == pytest.approx(np.array([[-1, 0], [-2, 0]]))
    assert moves_of(left=INCH / 32, up='1/32"') == pytest.approx(np.array([[-1, 1]]))


def test_a_move_goes_one_way():
    with pytest.raises(vireton.InputProblem, match="up and down are one move, two ways"):
        moves_of(up="1/32 in", down="1/32 in")


def test_clicks_are_of_this_rest():
    assert moves_of(up="two clicks") == pytest.approx(np.array([[0, 2]]))
    assert moves_of(left="1,2 clicks") == pytest.approx(np.array([[-1, 0], [-2, 0]]))


def test_a_bare_number_has_all_its_readings_told():
    with pytest.raises(vireton.InputProblem, match='"5/32 in", "5 mm" or "5 clicks"'):
        moves_of(up="5")
