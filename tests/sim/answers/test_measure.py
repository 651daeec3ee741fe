"""Which measurement would narrow this bow's answer most, as an answer."""

import pytest

import vireton
from vireton.setup import parse_setup, template_text
from vireton.uncertain.measurements import MEASUREMENTS
from vireton.units.display import METRIC, US

MEASURED = """
[measured]
string_mass = "8.2 g"
lets_go = "40 % ± 5 %"
"""
CONTRADICTS = """
[measured]
string_mass = "30 g"
"""


@pytest.fixture(scope="module")
def plan():
    return vireton.plan_measurements(parse_setup(template_text() + MEASURED), draws=8)


def test_the_best_is_said_first_and_how_to_do_it_safely(plan):
    words = plan.words(US)
    best = next(one for one in MEASUREMENTS if one.key == plan.order[0])
    assert best.verb in words[0]
    assert f"{best.minutes:.0f} minutes" in words[0]
    said = " ".join(words)
    for line in best.how:
        assert line in said
    assert best.typed[0] in said
    assert "Never dry-fire; never let a weight hang on a drawn bow" in words[-1]


def test_what_is_measured_is_said_so_and_not_asked_for(plan):
    assert set(plan.question.setup.measured) == {"string_mass", "lets_go"}
    assert not {"string_mass", "lets_go"} & set(plan.order)
    assert any(
        "measured already: string on a grain scale, rest's let-go from film" in line
        for line in plan.words(US)
    )


def test_the_numbers_of_json_and_table_are_one(plan):
    found = plan.to_dict()
    assert [one["measurement"] for one in found["measurements"]] == list(plan.order)
    row = found["measurements"][0]
    assert len(row["how"]) == 3
    assert row["width_right_in"] > 0.0
    assert 0.0 < row["left_right"] <= 1.0
    low, high = found["change_right_in_range"]
    assert row["width_right_in"] == pytest.approx(row["left_right"] * (high - low), rel=1e-6)
    assert found["measured"] == ["string_mass", "lets_go"]
    assert found["together"][-1]["measurements"] == list(plan.order)
    (table,) = plan.tables(US)
    assert table.heads[2:] == ("sideways, in", "up, in")
    assert float(table.cells[0][2]) == pytest.approx(row["width_right_in"], abs=0.006)
    assert plan.tables(METRIC)[0].heads[2] == "sideways, cm"


def test_no_word_calls_a_bow_safe(plan):
    assert "safe" not in " ".join(plan.words(US)).lower()


def test_a_contradiction_is_told_by_every_answer():
    setup = parse_setup(template_text() + CONTRADICTS)
    found = vireton.move_rest(setup, up="1/32 in", distances="20 yd", draws=8)
    (note,) = [one for one in found.notes if "measured.string_mass" in one]
    assert "The measurement counts" in note
    assert any(note in line for line in found.words(US))


def test_an_arrow_without_vanes_is_asked_for_some():
    text = template_text()
    table = text[text.index("[arrow.vanes]") : text.index("# [arrow.wrap]")]
    with pytest.raises(vireton.InputProblem, match=r"give arrow\.vanes"):
        vireton.plan_measurements(parse_setup(text.replace(table, "")), draws=8)


def test_what_is_measured_narrows_the_rest_everywhere():
    plain, known = (
        vireton.move_rest(parse_setup(text), right="1/16 in", distances="20 yd")[0]
        for text in (template_text(), template_text() + MEASURED)
    )
    wide, narrow = (
        float(one.separation_change.high[0, 0] - one.separation_change.low[0, 0])
        for one in (plain, known)
    )
    assert narrow < 0.9 * wide


def test_measured_speeds_are_the_speed_and_its_spread():
    text = template_text() + '\n[measured]\nspeeds = ["276 fps", "281 fps", "280 fps"]\n'
    setup = parse_setup(text)
    assert setup.bow.arrow_speed / 0.3048 == pytest.approx(279.2, abs=0.5)
    assert setup.scatter.speed / 0.3048 == pytest.approx(2.65, abs=0.01)
    own = parse_setup(text + '\n[scatter]\nspeed = "1 fps"\n')
    assert own.scatter.speed / 0.3048 == pytest.approx(1.0)
