"""Looks at what may have gone wrong."""

import pytest

from vireton.tuning.observations import Looked, parse_looked
from vireton.tuning.observations.looked import MISHAPS, LookedTable, mishap_words
from vireton.units.problems import InputProblem


@pytest.mark.parametrize("into", MISHAPS)
@pytest.mark.parametrize("found", [True, False])
def test_there_and_back_through_the_file(into, found):
    one = Looked(into, 3, found)
    assert Looked.from_table(LookedTable.model_validate(one.to_table("us"))) == one


@pytest.mark.parametrize(
    ("text", "one"),
    [
        ("reversed 3 no", Looked("reversed", 3, False)),
        ("Slipped 12 YES", Looked("slipped", 12, True)),
        ("contact yes", Looked("contact", 1, True)),
    ],
)
def test_as_it_is_typed(text, one):
    assert parse_looked(text) == one


@pytest.mark.parametrize(
    "text", ["", "reversed no", "bent 3 no", "slipped 0 yes", "slipped 3 maybe"]
)
def test_what_is_no_look(text):
    with pytest.raises(InputProblem, match=": write what you looked at, which round"):
        parse_looked(text, "--looked")


def test_words_and_json():
    one = Looked("slipped", 4, True)
    assert one.words("us") == ("looked whether the rest slipped after its move in round 4: yes")
    assert one.to_dict() == {"into": "slipped", "round": 4, "found": True}
    assert one.measurement(1.0) is None
    assert mishap_words("contact", 0) == "something touches the arrow"
