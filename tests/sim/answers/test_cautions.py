"""What can hurt someone is known to the question, so that every face of its answer says it."""

from dataclasses import replace

import pytest

import vireton
from vireton.answers.broadhead import AimBroadhead
from vireton.answers.holds import FindHolds
from vireton.answers.marks import FindMarks
from vireton.answers.rules import CheckRules
from vireton.answers.scatter import ScatterShots
from vireton.setup import parse_setup
from vireton.studies.rules import Rule

RULE = Rule("a rule", "a place", "a date", {"least_energy": 50.0})
GRAIN, POUND_FORCE = 6.479891e-5, 4.4482216152605
ASKED = {
    vireton.check_rules: (CheckRules, {}),
    vireton.aim_broadhead: (AimBroadhead, {"distances": "20 yd", "draws": 8}),
    vireton.find_holds: (FindHolds, {"distances": "20 yd", "draws": 8}),
    vireton.find_marks: (FindMarks, {"radius": "33 in", "distances": "20 yd", "draws": 8}),
    vireton.scatter_shots: (ScatterShots, {"distances": "20 yd", "draws": 8, "arrows": 256}),
}


@pytest.fixture(scope="module")
def text(pytestconfig):
    path = pytestconfig.rootpath / "examples" / "mill_broadhead.toml"
    return path.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def light(text):
    """A bow that asks for more than its broadhead arrow, the only one that is too light."""
    setup = parse_setup(text)
    head = replace(setup.parts.broadhead, mass=60.0 * GRAIN)
    asks = replace(setup.bow, minimum_mass_per_draw_weight=6.4 * GRAIN / POUND_FORCE)
    return replace(setup, bow=asks, parts=replace(setup.parts, broadhead=head), rules=(RULE,))


@pytest.mark.parametrize("ask", ASKED, ids=lambda one: one.__name__)
def test_a_light_broadhead_is_danger_to_every_question(light, ask):
    question, given = ASKED[ask]
    (warning,) = question.read({"setup": light, **given}).warnings
    assert warning.startswith("DANGER")
    with pytest.warns(vireton.Caution, match="DANGER"):
        found = ask(light, **given)
    assert found.to_dict()["warnings"] == [warning]


def test_a_variant_warns_under_its_label_and_by_itself(text, tmp_path):
    path = tmp_path / "bow.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.warns(vireton.Caution, match=r"^minimum_arrow_mass 8 gr/lbf: DANGER"):
        found = vireton.scatter_shots(
            path, "20 yd", vary="minimum_arrow_mass=8 gr/lbf,5 gr/lbf", arrows=256, draws=8
        ).to_dict()
    light, heavy = found["variants"]
    assert light["warnings"][0].startswith("DANGER")
    assert heavy["warnings"] == []
    assert found["warnings"] == [f"minimum_arrow_mass 8 gr/lbf: {one}" for one in light["warnings"]]
