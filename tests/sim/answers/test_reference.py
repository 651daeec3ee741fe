"""The JSON reference is read from the columns, and holds every key that an answer prints."""

import re

import pytest

import vireton
from vireton.answers.reference import QUESTIONS, questions, reference

MILL, LOG = "examples/mill_bow.toml", "examples/mill_log.toml"
EVERYWHERE = {"schema", "warnings", "notes", "arrow", "broadhead", "flights", "moves", "rows"}
#: Objects whose keys are names of inputs or of causes, not of columns.
BY_NAME = {"variance_shares_right", "variance_shares_up", "probabilities", "flights", "sizes"}


def keys(value, found):
    """Every key that is a column's."""
    if isinstance(value, dict):
        for key, inner in value.items():
            found.add(key)
            if key in {"flights", "sizes"}:
                for one in inner.values():
                    keys(one, found)
            elif key not in BY_NAME:
                keys(inner, found)
    elif isinstance(value, list):
        for one in value:
            keys(one, found)
    return found


def test_the_page_is_the_reference(pytestconfig):
    page = (pytestconfig.rootpath / "examples" / "json.md").read_text(encoding="utf-8")
    assert page == reference()


@pytest.mark.parametrize(
    "ask",
    [
        lambda: vireton.fly(MILL, "20 yd", draws=8),
        lambda: vireton.move_rest(MILL, right="1/32 in", distances="20 yd", draws=8),
        lambda: vireton.read_walkback(LOG),
    ],
    ids=["fly", "rest", "walkback"],
)
def test_every_key_of_an_answer_is_in_it(ask, monkeypatch, pytestconfig):
    monkeypatch.chdir(pytestconfig.rootpath)
    told = set(re.findall(r"[a-z][a-z0-9_]+", reference()))
    assert keys(ask().to_dict(), set()) - told - EVERYWHERE == set()


def test_every_question_is_a_command_and_a_function():
    from vireton_cli.main import app

    commands = {one.name for one in app.registered_commands}
    for question, _ in questions():
        assert question.command in commands
        assert callable(getattr(vireton, question.function))
    assert len(list(questions())) == len(QUESTIONS) == 13


def test_one_key_means_one_thing_in_tune_and_record():
    tune, record = re.findall(r"^\| `advice` \| (.+) \|$", reference(), re.MULTILINE)
    assert record.startswith(tune)
