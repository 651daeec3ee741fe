"""Rest moves from Python."""

from dataclasses import replace

import numpy as np
import pytest

import vireton

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
    ],
)
def test_what_cannot_be_is_refused(given, says):
    with pytest.raises(vireton.InputProblem, match=says):
        vireton.move_rest(vireton.load(), draws=8, **given)


def test_a_bare_arrow_has_nothing_to_be_read_against():
    setup = vireton.load()
    naked = replace(setup, parts=replace(setup.parts, vanes=None))
    with pytest.raises(vireton.InputProblem, match="give the arrow vanes"):
        vireton.move_rest(naked, up="1/32 in", draws=8)
