"""The questions of the intake, and the short file that their answers make."""

import tomllib

import pytest

from vireton.setup.intake import BY_KEY, QUESTIONS, left_open, misfit, setup_text, written
from vireton.setup.load import parse_setup
from vireton.setup.reading import single_kinds
from vireton.units.problems import InputProblem

NEEDED = {one.key: one.usual for one in QUESTIONS if one.needed}


def test_every_question_is_a_key_that_reads_its_own_words() -> None:
    assert len(BY_KEY) == len(QUESTIONS)
    for one in QUESTIONS:
        kind = single_kinds()[one.key]
        assert one.kind is kind
        for typed in (one.like, one.usual):
            if typed:
                kind.read(written(one.key, typed))
        assert one.usual or not one.needed
        assert one.allowed in one.help
        assert one.like in one.help
        assert not one.ask.endswith((".", ":", "?"))


def test_the_six_numbers_come_first_and_alone_they_run() -> None:
    assert {one.key for one in QUESTIONS[:6]} == {*NEEDED, "arrow.shaft.spine"}
    parse_setup(setup_text(NEEDED))


@pytest.mark.parametrize(
    ("key", "typed", "value"),
    [
        ("bow.draw_weight", "60#", "60 lbf"),
        ("bow.draw_weight", "60 lb", "60 lb"),
        ("bow.draw_weight", " 270 N ", "270 N"),
        ("bow.draw_length", "28 1/2", "28 1/2 in"),
        ("bow.draw_length", '28-1/2"', "28-1/2 in"),
        ("bow.draw_length", "72 cm", "72 cm"),
        ("bow.arrow_speed", "280", "280 fps"),
        ("arrow.shaft.spine", "340", "0.340 in"),
        ("arrow.shaft.spine", "1000", "1.000 in"),
        ("arrow.shaft.spine", ".34", ".34 in"),
        ("arrow.vanes.count", "4", 4),
        ("bow.hand", "Left", "left"),
        ("bow.let_off", "80", "80 %"),
        ("bow.let_off", "0.8", "80 %"),
        ("bow.let_off", "0", "0 %"),
        ("bow.rest.type", "Drop away", "drop-away"),
        ("bow.name", ' The "old" bow ', 'The "old" bow'),
    ],
)
def test_answers_read_as_the_trade_writes_them(key: str, typed: str, value: object) -> None:
    assert written(key, typed) == value
    single_kinds()[key].read(value)
    # what was read once is read the same once more
    assert written(key, str(value)) == value


@pytest.mark.parametrize(
    ("key", "typed", "said"),
    [
        ("bow.draw_weight", "900#", '"900 lbf" is outside 1 lbf to 200 lbf'),
        ("bow.draw_length", "28,5", "allowed: 12 in to 40 in"),
        ("bow.arrow_speed", "fast", "allowed: 20 fps to 650 fps"),
        ("arrow.vanes.count", "three", "allowed: 2 to 6"),
        ("arrow.vanes.count", "9", "9 is outside 2 to 6"),
        ("bow.rest.type", "magnet", "allowed: drop-away, launcher or containment"),
        ("bow.draw_weight", "", "allowed: 1 lbf to 200 lbf"),
        ("bow.draw_weight", "#", "allowed: 1 lbf to 200 lbf"),
    ],
)
def test_a_bad_answer_is_told_in_one_line_with_what_is_allowed(
    key: str, typed: str, said: str
) -> None:
    with pytest.raises(InputProblem) as caught:
        written(key, typed)
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


def test_the_file_is_short_and_holds_what_was_answered() -> None:
    answers = NEEDED | {"arrow.vanes.count": "4", "bow.rest.step": "1/64", "bow.name": "Été 4"}
    text = setup_text(answers)
    lines = text.splitlines()
    assert [one for one in lines if one.startswith("#")] == [lines[0]]
    data = tomllib.loads(text)
    assert data["bow"]["rest"] == {"step": "1/64 in"}
    assert data["arrow"]["vanes"] == {"count": 4}
    assert sum(" = " in one for one in lines) == len(answers)
    headers = [one for one in lines if one.startswith("[")]
    assert headers == ["[bow]", "[bow.rest]", "[arrow]", "[arrow.vanes]"]
    assert parse_setup(text).bow.name == "Été 4"


def test_every_answer_at_once_makes_a_setup() -> None:
    text = setup_text({one.key: one.usual or one.like for one in QUESTIONS})
    assert "brace height" not in left_open(text)
    assert "insert" in left_open(text)


def test_answers_that_cannot_belong_together() -> None:
    assert misfit({}) == ""
    assert misfit(NEEDED) == ""
    assert misfit(NEEDED | {"arrow.length": "25 in"}).startswith('arrow.length: DANGER: "25 in"')
    said = misfit(NEEDED | {"arrow.point.mass": "400 gr"})
    assert said.startswith('arrow.mass: "415 gr" leaves ')
