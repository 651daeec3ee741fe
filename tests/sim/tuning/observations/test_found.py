"""What was found without a shot."""

import pytest

from vireton.tuning.observations import Found, parse_found
from vireton.tuning.observations.found import CURES, FINDINGS, FoundTable
from vireton.units.problems import InputProblem


@pytest.mark.parametrize("what", FINDINGS)
@pytest.mark.parametrize("where", ["", "lower left vane"])
def test_there_and_back_through_the_file(what, where):
    one = Found(what, where, "powder" if where else "")
    assert Found.from_table(FoundTable.model_validate(one.to_table("us"))) == one


@pytest.mark.parametrize("what", FINDINGS)
def test_a_finding_alone(what):
    assert parse_found(what.upper()) == Found(what)


@pytest.mark.parametrize(
    ("text", "one"),
    [
        ("contact, lower left vane, powder", Found("contact", "lower left vane", "powder")),
        ("Contact lower left vane", Found("contact", "lower left vane")),
        ("contact gone", Found("contact gone")),
        ("loose part, rest screw", Found("loose part", "rest screw")),
        ("timing off top cam late", Found("timing off", "top cam late")),
        ("cracked arrow bare", Found("cracked arrow", arrow="bare")),
        ("cracked arrow, Fletched", Found("cracked arrow", arrow="fletched")),
        ("cracked arrow, bare, flexed", Found("cracked arrow", "flexed", arrow="bare")),
        (
            "cracked arrow bare at the nock, flexed, twice",
            Found("cracked arrow", "at the nock", "flexed, twice", "bare"),
        ),
        ("contact bare side", Found("contact", "bare side")),
    ],
)
def test_as_it_is_typed(text, one):
    assert parse_found(text) == one


@pytest.mark.parametrize("text", ["", "bent", "contacts", "a crack"])
def test_what_is_no_finding(text):
    with pytest.raises(InputProblem, match="is nothing that can be found; write it like"):
        parse_found(text, "--found")


def test_words_and_json():
    one = Found("cracked arrow", "at the nock", "flexed", "bare")
    assert one.words("us") == "found: cracked arrow, bare, at the nock, flexed"
    assert one.to_dict() == {
        "what": "cracked arrow", "where": "at the nock", "how": "flexed", "arrow": "bare",
    }  # fmt: skip
    assert one.measurement(1.0) is None


def test_what_stands_in_the_way_has_a_cure():
    assert set(CURES) == {"contact", "cracked arrow", "loose part", "timing off"}
