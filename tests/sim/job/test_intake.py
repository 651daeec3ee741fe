"""Measures and the look-over, as typed and as kept."""

import pytest

from vireton.job.intake import (
    MEASURES,
    SAFETY,
    Paperwork,
    measure_si,
    parse_look_over,
    parse_measures,
)
from vireton.units.problems import InputProblem

INCH = 0.0254


def test_measures_by_the_words_of_the_bench():
    said = parse_measures(
        "draw weight 61 lb, brace 6 7/8 in, ata 33 in, timing even, top tiller 8 in"
    )
    assert said == {
        "draw_weight": "61 lb",
        "brace_height": "6 7/8 in",
        "axle_to_axle": "33 in",
        "timing": "even",
        "tiller_top": "8 in",
    }
    assert measure_si("brace_height", said["brace_height"]) == pytest.approx(6.875 * INCH)
    assert measure_si("timing", "even") is None


@pytest.mark.parametrize("key", MEASURES)
def test_every_measure_is_found_by_its_own_words_and_aliases(key):
    row = MEASURES[key]
    value = row.kind.example.strip('"')
    for word in (row.words, *row.aliases):
        assert parse_measures(f"{word} {value}") == {key: value}
    assert row.moved, "what it usually does when it has moved"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("mood good", '"mood good" is no measure'),
        ("brace", "brace: how much?"),
        ("brace 20 in", 'brace height: "20 in" is outside 3 in to 12 in'),
        ("let-off 80", 'let-off: "80" has no unit'),
    ],
)
def test_what_is_no_measure_is_told(text, words):
    with pytest.raises(InputProblem) as caught:
        parse_measures(text, "--measured")
    assert words in str(caught.value)


def test_the_look_over():
    assert parse_look_over("OK") == dict.fromkeys(SAFETY, "ok")
    said = parse_look_over("limbs ok, string frayed at the loop")
    assert said == {"limbs": "ok", "strings": "frayed at the loop"}
    assert Paperwork(look_over=said).not_fine == {"strings": "frayed at the loop"}
    with pytest.raises(InputProblem, match="nothing that is looked over"):
        parse_look_over("seats ok")
