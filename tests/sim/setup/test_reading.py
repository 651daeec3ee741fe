"""Problems of single keys: named, placed, all at once."""

import pytest

from vireton.setup.errors import SetupError
from vireton.setup.load import parse_setup
from vireton.setup.reading import single_kinds
from vireton.setup.template import template_text

#: The head of the template holds examples of spellings; edits start below it.
HEAD, MARK, BODY = template_text().partition("schema = 1")


def edited(*pairs: tuple[str, str]) -> str:
    """The template with each first text replaced by the second."""
    body = MARK + BODY
    for old, new in pairs:
        assert old in body, old
        body = body.replace(old, new, 1)
    return HEAD + body


def problems(text: str) -> list[tuple[str, str]]:
    with pytest.raises(SetupError) as caught:
        parse_setup(text)
    return [(one.key, one.text) for one in caught.value.problems]


@pytest.mark.parametrize(
    ("old", "new", "key", "said"),
    [
        (
            'hand = "right"',
            'hand = "rihgt"',
            "bow.hand",
            '"rihgt" is not "right" or "left"; did you mean "right"?',
        ),
        (
            'draw_weight = "60 lbf"',
            'draw_wieght = "60 lbf"',
            "bow.draw_wieght",
            'unknown key; did you mean "draw_weight"?',
        ),
        (
            'draw_weight = "60 lbf"',
            "",
            "bow.draw_weight",
            'is missing; write it under [bow], such as draw_weight = "60 lbf" '
            "(Peak draw weight on a bow scale)",
        ),
        (
            'length = "28 1/2 in"',
            "length = 28.5",
            "arrow.length",
            '28.5 has no unit; write it like "28.5 in"',
        ),
        (
            'arrow_speed = "280 fps"',
            'arrow_speed = "0 fps"',
            "bow.arrow_speed",
            '"0 fps" is outside 20 fps to 650 fps',
        ),
        (
            "count = 3",
            "count = 1",
            "arrow.vanes.count",
            "1 is outside 2 to 6",
        ),
        (
            'offset = "1.5 deg"',
            'offset = "-1.5 deg"',
            "arrow.vanes.offset",
            '"-1.5 deg" is outside 0 deg to 15 deg; turn says which way, "left" or "right"',
        ),
        (
            'type = "drop-away"',
            'type = "drop-away"\nspine = "0.340 in"',
            "bow.rest.spine",
            "unknown key here; it belongs under [arrow.shaft] or [scatter]",
        ),
        (
            'type = "drop-away"',
            'type = "drop-away"\nschema = 1',
            "bow.rest.schema",
            "unknown key here; it belongs under the top of the file",
        ),
        (
            'type = "drop-away"',
            'type = "drop-away"\ncolor = "red"',
            "bow.rest.color",
            "unknown key; known here: type, lets_go, ahead_of_string, offset_right, offset_up, "
            "step, stiffness",
        ),
        (
            "[arrow.point]",
            "[[arrow.point]]",
            "arrow.point",
            "a list of 1 where a table is needed: write [arrow.point] on a line of its own and its "
            "keys below",
        ),
        (
            "[sight]",
            "[sigth]",
            "sigth",
            'unknown key; did you mean "sight"?',
        ),
        (
            "schema = 1",
            "schema = 2",
            "schema",
            "2 is no layout that this version of Vireton reads; it reads 1",
        ),
    ],
)
def test_one_slip_is_one_problem(old: str, new: str, key: str, said: str) -> None:
    assert problems(edited((old, new))) == [(key, said)]


def test_a_table_that_is_missing() -> None:
    text = edited(("[arrow.nock]", "[arrow.knock]"))
    assert problems(text) == [("arrow.knock", 'unknown key; did you mean "nock"?')]
    start, _, rest = BODY.partition("[arrow.nock]")
    text = HEAD + MARK + start + rest[rest.index("[arrow.shaft]") :]
    assert parse_setup(text).left_open == ("nock",)


def test_a_misspelt_table_hides_what_is_missing_in_it() -> None:
    text = edited(("[bow]", "[bwo]"))
    assert ("bwo", 'unknown key; did you mean "bow"?') in problems(text)
    assert not any(said.startswith("is missing") for _, said in problems(text))


def test_an_empty_file_names_what_it_needs() -> None:
    needed = ["bow.draw_weight", "bow.draw_length", "bow.arrow_speed", "arrow.length", "arrow.mass"]
    found = dict(problems(""))
    assert list(found) == needed
    assert all(said.startswith("is missing; write it under [") for said in found.values())
    assert found["arrow.mass"].endswith(
        "; or list the arrow's parts, with arrow.shaft.mass_per_length"
    )


def test_a_misspelt_mass_is_not_missing() -> None:
    text = '[bow]\ndraw_weight = "60 lbf"\ndraw_length = "29 in"\narrow_speed = "280 fps"\n'
    text += '[arrow]\nlength = "28 1/2 in"\nmas = "415 gr"\n'
    assert problems(text) == [("arrow.mas", 'unknown key; did you mean "mass"?')]


def test_all_problems_come_at_once_in_file_order() -> None:
    text = edited(
        ('inside_diameter = "0.204 in"', 'inside_diameter = "0.3 in"'),
        ('hand = "right"', 'hand = "both"'),
        ('# rest_lets_go = ["30 %", "60 %"]', 'rest_lets_go = ["50 %", "60 %"]'),
        ('length = "28 1/2 in"', 'length = "28,5 in"'),
        ("count = 3", "count = 9"),
        ('altitude = "500 ft"', 'altitude = "500 ft"\npressure = "29 inHg"'),
    )
    with pytest.raises(SetupError) as caught:
        parse_setup(text)
    found = caught.value.problems
    assert [one.key for one in found] == [
        "bow.hand",
        "arrow.length",
        "arrow.shaft.inside_diameter",
        "arrow.vanes.count",
        "air.altitude",
        "uncertainty.rest_lets_go",
    ]
    lines = text.split("\n")
    for one in found:
        assert one.line is not None
        assert lines[one.line - 1].startswith(one.key.split(".")[-1])
    assert len(str(caught.value).split("\n")) == 6


def test_a_wrong_key_does_not_hide_the_danger_of_a_short_arrow() -> None:
    text = edited(('hand = "right"', 'hand = "both"'), ('length = "28 1/2 in"', 'length = "27 in"'))
    found = dict(problems(text))
    assert set(found) == {"bow.hand", "arrow.length"}
    assert found["arrow.length"].startswith(
        'DANGER: "27 in" is too short for this bow: at full draw the rest is 27.25 in (692 mm)'
    )


def test_nothing_unprintable_reaches_the_terminal() -> None:
    text = edited(('name = "Mill bow"', 'name = "a\\u001b[31m"')) + '\n"\\u001b[2J" = 1\n'
    with pytest.raises(SetupError) as caught:
        parse_setup(text)
    assert len(caught.value.problems) == 2
    assert str(caught.value).replace("\n", "").isprintable()


def test_every_single_value_has_its_kind() -> None:
    kinds = single_kinds()
    assert kinds["arrow.vanes.length"].example == '"2 in"'
    assert kinds["bow.string.cam_mass"].example == '"200 g"'
    assert "schema" in kinds
    assert not any(key in kinds for key in ("bow", "arrow.vanes", "uncertainty"))


RULE = '[[rules]]\nname = "a"\nplace = "b"\ndate = "c"\nmost_speed = "300 fps"\n'


def test_rules_are_a_list_of_tables() -> None:
    setup = parse_setup(f"{template_text()}\n{RULE}{RULE}")
    assert [rule.limits for rule in setup.rules] == [{"most_speed": pytest.approx(91.44)}] * 2


@pytest.mark.parametrize(
    ("text", "key", "said"),
    [
        (
            RULE + RULE.replace("most_speed", "most_sped"),
            "rules.2.most_sped",
            'unknown key; did you mean "most_speed"?',
        ),
        (
            RULE + RULE.replace('place = "b"', ""),
            "rules.2.place",
            'is missing; write it under [[rules]], such as place = "Maple County" '
            "(Where it holds, or whose rule it is)",
        ),
        (
            RULE.replace('"300 fps"', '"3000 fps"'),
            "rules.1.most_speed",
            '"3000 fps" is outside 20 fps to 650 fps',
        ),
        (
            RULE.replace("[[rules]]", "[rules]"),
            "rules",
            "a table where a list of tables is needed: write [[rules]] on a line of its own and "
            "its keys below",
        ),
        (
            RULE.replace('"c"', "2026-09-01"),
            "rules.1.date",
            'a date is no text; write it like "1 September 2026"',
        ),
    ],
)
def test_what_is_wrong_with_a_rule(text: str, key: str, said: str) -> None:
    assert (key, said) in problems(f"{template_text()}\n{text}")


def test_a_rule_without_a_limit() -> None:
    ((key, said),) = problems(template_text() + "\n" + RULE.replace('most_speed = "300 fps"', ""))
    assert key == "rules.1"
    assert said.startswith("gives no limit; write at least one of least_energy")


def test_a_wrong_rule_is_found_on_its_line() -> None:
    text = f"{template_text()}\n{RULE}{RULE.replace('300 fps', '3 fps')}"
    with pytest.raises(SetupError) as caught:
        parse_setup(text)
    wrong = text.split("\n").index('most_speed = "3 fps"') + 1
    assert [one.line for one in caught.value.problems] == [wrong]


def test_a_limit_at_the_top_is_sent_to_the_rules() -> None:
    ((_, said),) = problems('most_speed = "300 fps"\n' + template_text())
    assert said == "unknown key here; it belongs under [[rules]]"
