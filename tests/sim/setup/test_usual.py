"""What stands in for the keys that a setup file leaves open."""

import tomllib
from typing import Any

import pytest

from six_numbers import SIX
from vireton.bow.arrow import assemble
from vireton.setup.errors import SetupError
from vireton.setup.load import parse_setup
from vireton.setup.reading import single_kinds
from vireton.setup.template import template_text
from vireton.setup.usual import ROWS, fill
from vireton.uncertain.left_open import LEFT_OPEN
from vireton.units.numbers import INCH
from vireton.units.text import parse

GRAIN = parse("1 gr", "mass")


def filled(text: str) -> dict[str, Any]:
    return fill(tomllib.loads(text)).data


def problems(text: str) -> list[tuple[str, str]]:
    with pytest.raises(SetupError) as caught:
        parse_setup(text)
    return [(one.key, one.text) for one in caught.value.problems]


def test_six_numbers_are_a_setup() -> None:
    setup = parse_setup(SIX)
    assert setup.name == "The bow with its arrow"
    assert setup.bow.draw_weight == parse("60 lbf", "force")
    assert setup.bow.brace_height == pytest.approx(6.5 * INCH)
    assert setup.sight.sight_in == parse("20 yd", "length")
    assert setup.parts.vanes is not None
    assert setup.parts.insert is not None
    assert setup.left_open == (
        *("let-off", "brace height", "kind of rest", "where the rest lets go"),
        *("how far ahead the rest sits", "nock", "shaft diameter", "shaft wall", "point weight"),
        *("point shape", "insert", "vane count and size", "vane weight and place", "vane offset"),
        *("air", "sight distance", "sight height"),
    )


def test_the_parts_add_up_to_the_weighed_arrow() -> None:
    for mass in (250, 415, 700):
        arrow = assemble(parse_setup(SIX.replace("415", str(mass))).parts)
        assert arrow.mass == pytest.approx(mass * GRAIN, rel=1e-12)
        assert sum(one.mass for one in arrow.lumps) == pytest.approx(mass * GRAIN, rel=1e-12)
        assert arrow.notes == ()
        assert 0.08 < arrow.foc < 0.16


def test_what_is_given_stays() -> None:
    data = filled(template_text())
    assert data == tomllib.loads(template_text())
    assert fill(data).put_in == {}
    text = SIX + '[arrow.point]\nmass = "150 gr"\n[bow.rest]\ntype = "launcher"\n'
    setup = parse_setup(text)
    assert setup.parts.point.mass == pytest.approx(150 * GRAIN)
    assert assemble(setup.parts).mass == pytest.approx(415 * GRAIN)
    assert setup.bow.rest.lets_go == 0.95
    assert "point_mass" not in setup.uncertainty
    assert setup.uncertainty["rest_lets_go"] == (0.8, 1.0)


def test_tables_are_not_changed_in_place() -> None:
    data = tomllib.loads(SIX)
    fill(data)
    assert data == tomllib.loads(SIX)


def test_a_file_that_lists_its_parts_has_no_others() -> None:
    text = SIX.replace('spine = "0.340 in"', 'spine = "0.340 in"\nmass_per_length = "9.6 gr/in"')
    setup = parse_setup(text)
    assert setup.parts.insert is None
    assert setup.parts.vanes is None
    assert setup.sight.sight_in is None
    assert "air_density" not in setup.uncertainty
    setup = parse_setup(f"{text}[arrow.vanes]\ncount = 4\n")
    assert setup.parts.vanes is not None
    assert (setup.parts.vanes.count, setup.parts.vanes.offset) == (4, 0.0)


def test_vanes_weigh_by_their_size() -> None:
    small = parse_setup(SIX + '[arrow.vanes]\nlength = "1 in"\nheight = "0.25 in"\n').parts.vanes
    assert small is not None
    assert small.mass == pytest.approx(6.5 / 4.0 * GRAIN, rel=0.05)
    assert small.count == 3


def test_usual_values_follow_what_is_given() -> None:
    arrow = filled(SIX + 'inside_diameter = "0.3 in"\n')["arrow"]
    assert arrow["shaft"]["outside_diameter"] == "0.342 in"
    bow = filled(SIX.replace("[bow]", '[bow]\nbrace_height = "7 1/4 in"'))["bow"]
    assert bow["rest"]["ahead_of_string"] == "7.25 in"
    band = '[uncertainty]\nrest_lets_go = ["85 %", "100 %"]\n'
    assert filled(SIX + band)["bow"]["rest"]["lets_go"] == "92.5 %"
    assert parse_setup(SIX + band).uncertainty["rest_lets_go"] == (0.85, 1.0)


def test_an_arrow_that_leaves_no_shaft() -> None:
    ((key, said),) = problems(SIX.replace("415", "180") + '[arrow.point]\nmass = "150 gr"\n')
    assert key == "arrow.mass"
    assert said.startswith('"180 gr" leaves ')
    assert "which no shaft has" in said


def test_a_check_says_which_value_is_only_usual() -> None:
    ((key, said),) = problems(SIX.replace("28 1/2 in", "27 in"))
    assert key == "arrow.length"
    assert said.startswith('DANGER: "27 in" is too short for this bow')
    ((key, said),) = problems(SIX.replace("29 in", "12 in"))
    assert key == "bow.brace_height"
    assert said.startswith('"6.5 in" (taken as usual; give the bow\'s own) leaves a power stroke')


@pytest.mark.parametrize(
    ("old", "new", "keys"),
    [
        ('mass = "415 gr"', "mass = 415", ["arrow.mass"]),
        ('length = "28 1/2 in"', "", ["arrow.length"]),
        ('mass = "415 gr"', "", ["arrow.mass"]),
        ('[arrow.shaft]\nspine = "0.340 in"', "shaft = 3", ["arrow.shaft"]),
        ("[bow]", "[[bow]]", ["bow"]),
    ],
)
def test_one_slip_stays_one_problem(old: str, new: str, keys: list[str]) -> None:
    assert old in SIX
    assert [key for key, _ in problems(SIX.replace(old, new))] == keys


def test_every_row_is_a_key_and_every_open_number_has_its_row() -> None:
    keys = {row.key for row in ROWS}
    assert keys - set(single_kinds()) == {"air"}
    own = {row.own for row in LEFT_OPEN}
    assert own <= keys
    counted = {row.key for row in ROWS if row.words}
    # the rest's kind widens where it lets go; where the sight is set is a choice, not a measure
    assert counted - own == {"bow.rest.type", "bow.rest.lets_go", "sight.sight_in"}
