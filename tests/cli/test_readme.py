"""What the README shows is what the command prints."""

import doctest
import re
import shlex
import shutil

import pytest

from pictures import demand_their_renderer, look_alike


def examples(text):
    blocks = re.findall(r"^```\n(\$ vireton .*?)^```$", text, flags=re.DOTALL | re.MULTILINE)
    return [block.split("\n", 1) for block in blocks]


@pytest.fixture
def readme(pytestconfig):
    return (pytestconfig.rootpath / "README.md").read_text(encoding="utf-8")


def bare_lines(text):
    return [line.rstrip() for line in text.strip("\n").splitlines()]


def test_shown_output_is_real(vireton, readme, pytestconfig, monkeypatch, tmp_path):
    # one after the other in one folder: some build on what others recorded
    shutil.copytree(pytestconfig.rootpath / "examples", tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    found = examples(readme)
    assert len(found) >= 10
    for command, shown in found:
        done = vireton(*shlex.split(command.removeprefix("$ "))[1:])
        assert done.code == 0, done.err
        real, told = bare_lines(done.out.rstrip()), bare_lines(shown.rstrip())
        if told[-1] == "…":  # the README stops here, the output does not
            told.pop()
            assert len(told) >= 3
            assert len(real) > len(told)
            real = real[: len(told)]
        assert real == told, command


def test_its_picture_is_the_commands(vireton, pytestconfig, tmp_path):
    shown = pytestconfig.rootpath / "examples" / "pictures" / "spine.png"
    demand_their_renderer()
    setup = pytestconfig.rootpath / "examples" / "mill_bow.toml"
    options = ("--spine", "0.25:0.60:0.05in", "--plot")
    assert vireton("spine", setup, *options, tmp_path / "now.png").code == 0
    assert look_alike(shown, tmp_path / "now.png")
    vireton("spine", setup, "--seed", "2", *options, tmp_path / "other.png")
    assert not look_alike(shown, tmp_path / "other.png")


def test_every_command_is_in_the_table(readme):
    from vireton_cli.main import app

    for command in app.registered_commands:
        assert f"| `vireton {command.name}" in readme


def test_python_in_it_runs_and_answers_what_is_shown(readme, pytestconfig, monkeypatch):
    blocks = re.findall(r"^```python\n(>>> .*?)^```$", readme, flags=re.DOTALL | re.MULTILINE)
    assert blocks
    monkeypatch.chdir(pytestconfig.rootpath)
    parser, runner = doctest.DocTestParser(), doctest.DocTestRunner(optionflags=doctest.ELLIPSIS)
    # one after the other in one session, as a reader would
    told = parser.get_doctest("\n".join(blocks), {}, "README.md", "README.md", 0)
    assert runner.run(told).failed == 0
