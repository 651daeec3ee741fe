"""Changes as they are typed and as the file holds them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from demo import INCH
from vireton.tuning.changes import CHANGE_KINDS, Change
from vireton.tuning.changes_typed import (
    ChangeTable,
    change_from_table,
    change_json,
    change_table,
    parse_change,
)
from vireton.units.problems import InputProblem

WEIGHT = "bow.draw_weight"


def sets(what, key, value, **more):
    return Change(what, sets=((key, value),), **more)


@pytest.mark.parametrize(
    ("text", "change"),
    [
        ("cam spacer right 1/32 in", Change("cam spacer", right=INCH / 32)),
        ("Cam Spacers: 1/32 in left", Change("cam spacer", right=-INCH / 32)),
        ("d-loop down 1/16 in", Change("loop", up=-INCH / 16)),
        ("sight up 1/8 in and left 1/4 in", Change("sight", right=-INCH / 4, up=INCH / 8)),
        ("new string", Change("new string")),
        ("string", Change("new string")),
        ("draw weight 1 turn out", Change("draw weight", turns=-1.0)),
        ("draw weight 1 turn out, 58 lb", sets("draw weight", WEIGHT, "58 lb", turns=-1.0)),
        ("draw weight 1 turn in and 62 lb", sets("draw weight", WEIGHT, "62 lb", turns=1.0)),
        ("limb bolts one turn out", Change("draw weight", turns=-1.0)),
        ("draw weight down 1 turn", Change("draw weight", turns=-1.0)),
        ("draw weight up 1 turn", Change("draw weight", turns=1.0)),
        ("draw weight quarter turn out", Change("draw weight", turns=-0.25)),
        ("cable half a twist", Change("cable", turns=0.5)),
        ("cable a half twist", Change("cable", turns=0.5)),
        ("cable -1/2 twist", Change("cable", turns=-0.5)),
        ("cable -1 twist out", Change("cable", turns=-1.0)),
        ("cable 2 twists looser", Change("cable", turns=-2.0)),
        ("yoke 1 3/4 turns", Change("yoke", turns=1.75)),
        ("yoke 1½ turns in", Change("yoke", turns=1.5)),
        ("yoke 1 and 1/2 turns out", Change("yoke", turns=-1.5)),
        ("yoke two turns", Change("yoke", turns=2.0)),
        ("yoke twist", Change("yoke", turns=1.0)),
        ("left yoke 1/2 turn", Change("yoke", turns=0.5, note="left")),
        ("yoke left side 1 twist", Change("yoke", turns=1.0, note="left side")),
        ("yoke 1 turn, by feel", Change("yoke", turns=1.0, note="by feel")),
        ("point 125 gr", sets("point", "arrow.point.mass", "125 gr")),
        ("point mass=125 gr", sets("point", "arrow.point.mass", "125 gr")),
        ("point arrow.mass=420 gr", sets("point", "arrow.mass", "420 gr")),
        ("draw length 29.5 in", sets("draw length", "bow.draw_length", "29.5 in")),
        ("draw length let_off=85 %", sets("draw length", "bow.let_off", "85 %")),
        ("tape 19.5 gr", sets("bare shaft", "arrow.bare_tape.mass", "19.5 gr")),
        ("tape off", sets("bare shaft", "arrow.bare_tape", "none")),
        ("bare shaft another one", Change("bare shaft", note="another one")),
        ("arrow arrow.shaft.spine=0.300 in", sets("arrow", "arrow.shaft.spine", "0.300 in")),
        ("nock turned", Change("nock turned")),
        ("rest replaced", Change("new rest")),
        ("other cams turned over", Change("other", note="cams turned over")),
    ],
)  # fmt: skip
def test_as_it_is_typed(text, change):
    assert parse_change(text) == change


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "begin with what was changed"),
        ("wobble 1 turn", "begin with what was changed"),
        ("cam spacer up 1/32 in", "takes no way up or down; it takes right or left"),
        ("peep right 1/4 in", "takes no way right or left; it takes up or down"),
        ("new string left 1/8 in", "takes no way right or left$"),
        ("point 1 turn", "takes no turns"),
        ("draw weight down 2 lb", "takes no way up or down; it takes turns; say what it is now"),
        ("draw weight 1 turn out, 1 turn in", "says turns twice"),
        ("cam spacer right 1/32 in, left 1/32 in", "says right twice"),
        ("point 125 gr, 100 gr", "says arrow.point.mass twice"),
        ("vanes 7 gr", "say of what"),
        ("point weird=1", "nothing that this change sets: arrow.point"),
        ("draw weight 58,5 lb", "a comma in a number"),
        ("yoke 1/0 turn", "divides by zero"),
        ("yoke 100 turns", "100 turns; at most 50"),
        ("cam spacer right 20 in", "20 in; at most 10 in"),
        ("cam spacer right 1/32 lb", "not a length"),
        ("x" * 301, "301 characters; keep it to 300"),
    ],
)
def test_what_is_no_change(text, says):
    with pytest.raises(InputProblem, match=says) as wrong:
        parse_change(text, "--changed")
    assert str(wrong.value).startswith("--changed: ")


@pytest.mark.parametrize("what", list(CHANGE_KINDS))
def test_every_word_of_a_kind_is_read(what):
    for word in (what, *CHANGE_KINDS[what].aliases):
        assert parse_change(word.upper()).what == what


@given(
    st.sampled_from(list(CHANGE_KINDS)),
    st.integers(-640, 640),
    st.integers(-640, 640),
    st.integers(-200, 200),
    st.dictionaries(st.sampled_from([WEIGHT, "arrow.point.mass"]), st.just("58 lb")),
    st.sampled_from(["", "left yoke"]),
)
def test_there_and_back_through_the_file(what, right, up, turns, sets, note):
    one = Change(
        what, right * INCH / 64, up * INCH / 64, turns / 4.0, tuple(sorted(sets.items())), note
    )
    again = change_from_table(ChangeTable.model_validate(change_table(one, "us")))
    assert again.right == pytest.approx(one.right, abs=1e-12)
    assert again.up == pytest.approx(one.up, abs=1e-12)
    assert (again.what, again.turns, again.sets, again.note) == (what, one.turns, one.sets, note)


@given(
    st.sampled_from(["cam spacer", "sight", "other"]),
    st.integers(1, 640),
    st.sampled_from(["right", "left"]),
)
def test_words_are_read_back(what, many, side):
    one = Change(what, right=(1.0 if side == "right" else -1.0) * many * INCH / 64)
    size = one.words("us").partition(": ")[2]
    assert parse_change(f"{what} {size}").right == pytest.approx(one.right, abs=1e-9)


def test_in_json():
    one = Change("sight", right=-INCH / 8, note="pin")
    assert change_json(one) == {
        "what": "sight", "right_in": -0.125, "up_in": 0.0, "turns": 0.0, "sets": {}, "note": "pin",
    }  # fmt: skip
