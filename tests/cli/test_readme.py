"""What the README and the tour show is what the command prints."""

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


def test_the_readme_is_short(readme):
    assert len(readme.encode()) < 6_500


def bare_lines(text):
    return [line.rstrip() for line in text.strip("\n").splitlines()]


@pytest.mark.parametrize(
    ("page", "fewest"), [("README.md", 1), ("examples/tour.md", 17), ("examples/job.md", 17)]
)
def test_shown_output_is_real(vireton, page, fewest, pytestconfig, monkeypatch, tmp_path):
    text = (pytestconfig.rootpath / page).read_text(encoding="utf-8")
    # one after the other in one folder: some build on what others recorded
    shutil.copytree(pytestconfig.rootpath / "examples", tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    found = examples(text)
    assert len(found) >= fewest
    for command, shown in found:
        done = vireton(*shlex.split(command.removeprefix("$ "))[1:])
        assert done.code == 0, done.err
        real, told = bare_lines(done.out.rstrip()), bare_lines(shown.rstrip())
        if told[-1] == "…":  # the page stops here, the output does not
            told.pop()
            assert len(told) >= 3
            assert len(real) > len(told)
            real = real[: len(told)]
        assert real == told, command


def test_the_job_says_what_it_takes_to_type(pytestconfig):
    text = (pytestconfig.rootpath / "examples" / "job.md").read_text(encoding="utf-8")
    typed = [re.sub(r" --date \S+", "", one[0][2:]) for one in examples(text)]
    told = f"{len(typed)} commands and {sum(map(len, typed)):,} characters without the dates"
    assert told in text


def test_the_pictures_are_the_commands(vireton, pytestconfig, tmp_path):
    demand_their_renderer()
    shown = pytestconfig.rootpath / "examples" / "pictures"
    setup = pytestconfig.rootpath / "examples" / "mill_bow.toml"
    moved = ("--right", "1/32in", "--up", "1/32in", "--distances", "10:60:10yd")
    spines = ("--spine", "0.25:0.60:0.05in")
    for name, options in (("rest", moved), ("spine", spines)):
        made = tmp_path / f"{name}.png"
        assert vireton(name, setup, *options, "--plot", made).code == 0
        assert look_alike(shown / f"{name}.png", made)
    assert not look_alike(shown / "rest.png", tmp_path / "spine.png")


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
