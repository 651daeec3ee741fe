"""What a page says: commands as code, no backticks, no keys of a file."""

import pytest

from vireton.report.said import in_words, said


def test_what_stands_in_backticks_is_code():
    assert (
        said("then `vireton record LOG --back` & shoot")
        == "then <code>vireton record LOG --back</code> &amp; shoot"
    )


def test_a_backtick_alone_is_somebodys_own_and_nothing_runs():
    assert said("a ` in a note <b>") == "a ` in a note &lt;b&gt;"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("without arrow.shaft.spine it is rigid", "without the shaft spine it is rigid"),
        ("check arrow.mass and bow.arrow_speed", "check the arrow mass and the arrow speed"),
        ("bow.release.kick_up does nothing", "the release kick up does nothing"),
        ("widen uncertainty.string_mass", "widen the range of the string's mass"),
        ("see [uncertainty] in the file", "see “uncertainty” in the file"),
        ("see [arrow.broadhead]", "see “arrow, broadhead”"),
        ("what [somebody] wrote", "what [somebody] wrote"),
        ("60.4 in at 20.5 yd. Then stop", "60.4 in at 20.5 yd. Then stop"),
    ],
)
def test_keys_of_a_file_are_said_in_words(text, words):
    assert in_words(text) == words


def test_a_command_keeps_what_is_typed():
    assert "arrow.mass" in said("type `--vary arrow.mass=400,420gr`, or weigh")
