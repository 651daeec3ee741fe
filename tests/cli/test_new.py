"""``vireton new``."""

import builtins
import io
import sys
import tomllib

import pytest

from vireton.setup import load_setup, template_text
from vireton.setup.intake import QUESTIONS
from vireton_cli import new


def test_it_writes_a_file_that_runs(vireton, tmp_path):
    path = tmp_path / "my bow é.toml"
    done = vireton("new", path)
    assert done.code == 0
    assert str(path) in done.out
    assert vireton("rest", path, "--up", "1/32in", "--draws", "8").code == 0


def test_it_never_overwrites(vireton, tmp_path):
    path = tmp_path / "bow.toml"
    path.write_text("mine", encoding="utf-8")
    done = vireton("new", path)
    assert done.code == 2
    assert "bow.toml" in done.err
    assert path.read_text(encoding="utf-8") == "mine"
    assert list(tmp_path.iterdir()) == [path]


def test_a_folder_that_is_not_there(vireton, tmp_path):
    done = vireton("new", tmp_path / "nowhere" / "bow.toml")
    assert done.code == 2
    assert len(done.err.strip().splitlines()) == 1
    assert not (tmp_path / "nowhere").exists()


def test_the_template_is_asked_for(vireton, tmp_path):
    path = tmp_path / "bow.toml"
    assert vireton("new", path, "--template").code == 0
    assert path.read_text(encoding="utf-8") == template_text()
    assert vireton("new", "--template").out == template_text()
    done = vireton("new")
    assert done.code == 2
    assert "FILE is missing" in done.err


@pytest.fixture
def piped(vireton, monkeypatch, tmp_path):
    def run(text):
        monkeypatch.setattr(sys, "stdin", io.StringIO(text))
        path = tmp_path / "piped.toml"
        return vireton("new", path), path

    return run


SIX = ["62#", '28 1/2"', "285", "340", "28 1/2 in", "412 gr"]


def test_answers_may_be_piped(piped):
    done, path = piped("\n".join(SIX))
    assert done.code == 0
    assert "Left open; usual values stand in" in done.out
    assert "brace height" in done.out
    assert tomllib.loads(path.read_text(encoding="utf-8")) == {
        "bow": {"draw_weight": "62 lbf", "draw_length": "28 1/2 in", "arrow_speed": "285 fps"},
        "arrow": {"length": "28 1/2 in", "mass": "412 gr", "shaft": {"spine": "0.340 in"}},
    }


def test_nothing_piped_is_the_template(piped):
    done, path = piped("")
    assert done.code == 0
    assert path.read_text(encoding="utf-8") == template_text()


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (["62#", "28 1/2"], "line 3, Arrow speed by chronograph: Nothing runs without it"),
        (["900#"], 'line 1, Draw weight: "900 lbf" is outside 1 lbf to 200 lbf; nothing was'),
        (["60#", "29", "280", "340", "20 in"], 'DANGER: "20 in" is too short for this bow'),
        ([*SIX, *["-"] * 13], "there are 19 answers to 18 questions"),
    ],
)
def test_a_bad_piped_answer_writes_nothing(piped, lines, said):
    done, path = piped("\n".join(lines))
    assert done.code == 2
    assert said in done.err
    assert len(done.err.strip().splitlines()) == 1
    assert not path.exists()


@pytest.fixture
def asked(vireton, monkeypatch, tmp_path):
    """The dialog with these answers; what is raised among them is raised at that question."""

    def run(*answers, name="bow.toml"):
        left, prompts = list(answers), []

        def answer(prompt):
            prompts.append(prompt)
            one = left.pop(0) if left else ""
            if isinstance(one, BaseException):
                raise one
            return one

        monkeypatch.setattr(new, "_at_terminal", lambda: True)
        monkeypatch.setattr(builtins, "input", answer)
        path = tmp_path / name
        return vireton("new", path), path, prompts

    return run


def test_enter_takes_what_is_in_brackets(asked):
    done, path, prompts = asked()
    assert done.code == 0
    assert len(prompts) == len(QUESTIONS)
    assert prompts[0] == "1 of 18  Draw weight, such as 62# [60 lbf]: "
    assert prompts[8] == "9 of 18  Brace height, such as 6 1/2 in [Enter leaves it open]: "
    text = path.read_text(encoding="utf-8")
    assert text in done.out
    assert text.count("#") == 1
    assert "brace_height" not in text
    assert f"wrote {path}" in done.out
    assert "vireton rest" in done.out
    assert load_setup(path).bow.name == "The bow"


def test_help_bad_answers_unknown_and_back(asked):
    done, path, prompts = asked("<", "?", "900#", "62#", "<", "", "30", "-", "285", "-")
    assert done.code == 0
    assert "This is the first question." in done.out
    assert "Peak draw weight on a bow scale. Allowed: 1 lbf to 200 lbf" in done.out
    assert '"900 lbf" is outside 1 lbf to 200 lbf' in done.out
    assert "Nothing runs without it." in done.out
    # gone back, what was answered is in the brackets and Enter keeps it
    assert prompts[5] == "1 of 18  Draw weight, such as 62# [62 lbf]: "
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    assert data["bow"]["draw_weight"] == "62 lbf"
    assert data["bow"]["draw_length"] == "30 in"
    assert "shaft" not in data["arrow"]


def test_what_was_answered_later_does_not_block_an_earlier_answer(asked):
    # a longer draw, gone back for, makes the arrow too short: it is asked about once more
    there = ["60#", "28", "280", "340", "27"]
    done, path, _ = asked(*there, "<", "<", "<", "<", "31", "280", "340", "", "31")
    assert done.code == 0
    assert done.out.count("DANGER") == 1
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    assert (data["bow"]["draw_length"], data["arrow"]["length"]) == ("31 in", "31 in")


@pytest.mark.parametrize("end", [KeyboardInterrupt(), EOFError()])
def test_stopped_half_way_nothing_is_written_and_nothing_lost(asked, end):
    done, path, _ = asked("62#", "28 1/2 in", end)
    assert done.code == 130
    assert not path.exists()
    assert "nothing was written" in done.err
    assert 'draw_weight = "62 lbf"\ndraw_length = "28 1/2 in"\n' in done.err
    assert "Traceback" not in done.err


def test_a_file_that_cannot_be_written_loses_no_answer(asked, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("vireton.setup.template.create_whole", full)
    done, path, _ = asked("62#")
    assert done.code == 2
    assert "cannot be written: No space left on device" in done.err
    assert 'draw_weight = "62 lbf"' in done.err
    assert not path.exists()


def test_nothing_is_asked_for_a_file_that_is_there(asked, tmp_path):
    (tmp_path / "bow.toml").write_text("mine", encoding="utf-8")
    done, path, prompts = asked("62#")
    assert (done.code, prompts) == (2, [])
    assert path.read_text(encoding="utf-8") == "mine"
