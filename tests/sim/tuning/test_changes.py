"""The rows of what is changed, and a change in words."""

import pytest

from demo import INCH
from vireton.tuning.changes import (
    CHANGE_KINDS,
    CURES_CONTACT,
    Change,
    Loosens,
    turns_words,
)

KINDS = list(CHANGE_KINDS)


@pytest.mark.parametrize("what", KINDS)
def test_a_row_is_whole(what):
    kind = CHANGE_KINDS[what]
    assert kind.words
    assert kind.usually
    assert not kind.number or any(
        kind.number == one or kind.number.startswith(f"{one}.") for one in kind.sets
    )
    # what grows with an amount can be told one, and has one where it is not told
    how = kind.loosens
    if how.right[0] or how.up[0] or how.moves_up:
        assert kind.takes
        assert how.unsaid > 0.0
    assert not kind.per_turn or "turns" in kind.takes
    for size in (*how.right, *how.up, how.errors, how.gains):
        assert size >= 0.0
    assert 0.0 <= how.sign <= 0.5


def test_vanes_are_no_matter_of_bare_shafts_and_a_shaft_of_both():
    assert CHANGE_KINDS["vanes"].usually.startswith("bare shafts")
    assert "sideways most of all" in CHANGE_KINDS["arrow"].usually


def test_no_word_means_two_kinds():
    words = [word for what, kind in CHANGE_KINDS.items() for word in {what, *kind.aliases}]
    assert len(words) == len(set(words))


def test_a_sight_leaves_nothing_open():
    assert CHANGE_KINDS["sight"].loosens == Loosens()
    assert set(KINDS) >= CURES_CONTACT


def test_how_large_it_is():
    assert Change("cam spacer", right=-INCH / 32).amount == INCH / 32
    assert Change("yoke", turns=-0.5).amount == 0.5
    assert Change("cam spacer").amount == CHANGE_KINDS["cam spacer"].loosens.unsaid


def test_taken_back_it_goes_the_other_way():
    there = Change("draw weight", turns=-1.0, sets=(("bow.draw_weight", "58 lbf"),), note="both")
    assert there.back() == Change("draw weight", turns=1.0, note="both")
    assert Change("loop", up=INCH / 16).back().back() == Change("loop", up=INCH / 16)


@pytest.mark.parametrize(
    ("turns", "words"),
    [
        (1.0, "1 turn in"),
        (-1.0, "1 turn out"),
        (-0.5, "1/2 turn out"),
        (0.25, "1/4 turn in"),
        (1.75, "1 3/4 turns in"),
        (-2.0, "2 turns out"),
        (0.1, "0.1 turn in"),
        (-1.3, "1.3 turns out"),
    ],
)
def test_turns(turns, words):
    assert turns_words(turns) == words


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (Change("cam spacer", right=INCH / 32), "cam spacer moved: right 1/32 in"),
        (Change("new string"), "string replaced"),
        (
            Change("draw weight", turns=-1.0, sets=(("bow.draw_weight", "58 lb"),)),
            "draw weight changed: 1 turn out, 58 lb",
        ),
        (
            Change("cable", turns=1.0, sets=(("bow.draw_weight", "61 lb"),), note="left"),
            "cable twisted: 1 turn in, bow.draw_weight 61 lb, left",
        ),
        (
            Change("sight", right=-INCH / 8, up=INCH / 4),
            "sight moved: left 1/8 in, up 1/4 in",
        ),
    ],
)
def test_in_words(change, words):
    assert change.words("us") == words
