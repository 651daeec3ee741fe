"""Junk in every option of every command: numbers or a reason, never a traceback, never a hang."""

import json
import time

import pytest
import typer.main

from vireton_cli.main import app

#: Nothing that an option may take, or else something that it takes at once.
JUNK = ["", "nan", "1e400 in", "9" * 400, ":::", "1:1000000:0.0001 yd", "\x1b[31m", "\udcff"]
#: These run for long, or need a screen.
_NOT_HERE = {"validate", "demo", "bench"}

COMMANDS = {
    name: command
    for name, command in typer.main.get_command(app).commands.items()
    if name not in _NOT_HERE
}
OPTIONS = [
    (name, option.opts[0])
    for name, command in COMMANDS.items()
    for option in command.params
    if option.param_type_name == "option" and not option.is_flag
]


_ARGUMENTS = {"log": "log.toml", ("new", "file"): "new.toml", "kind": "tear", "folder": "."}
_NEEDED = {
    "marks": ["--radius", "30 in"],
    "report": ["-o", "page.html"],
    "target": ["-o", "card.svg"],
    "animate": ["-o", "film.gif", "--frames", "2"],
}


def usual_arguments(name: str) -> list[str]:
    """What the command cannot do without."""
    found = [
        _ARGUMENTS.get((name, one.name), _ARGUMENTS.get(one.name, "bow.toml"))
        for one in COMMANDS[name].params
        if one.param_type_name == "argument"
    ]
    options = {one.opts[0] for one in COMMANDS[name].params}
    return [*found, *_NEEDED.get(name, []), *(["--draws", "8"] if "--draws" in options else [])]


@pytest.mark.parametrize(("name", "option"), OPTIONS)
def test_junk_in_an_option_is_refused_or_harmless(call, name, option):
    values = {"--tear": ["bare"], "--group": ["bare", "20 yd"], "--center": ["bare", "20 yd"]}
    for junk in JUNK:
        started = time.process_time()
        code, out, err = call(name, *usual_arguments(name), option, *values.get(option, []), junk)
        assert time.process_time() - started < 10.0
        assert code in (0, 2), (junk, code)
        if code == 2:
            assert out == ""
            assert err.replace("\n", "").isprintable(), ascii(err)
        else:
            assert option in {"--note", "--seed", "--find"}, (junk, out)


@pytest.mark.parametrize("name", COMMANDS)
def test_junk_for_a_file_is_refused(call, name):
    if not usual_arguments(name) or name == "new":
        return
    # no NUL: the argument of a process cannot hold one
    for junk in ["", "none", "9" * 400, "a\nb", "\x1b[31m", "\udcff", "/", "/dev/null"]:
        if (name, junk) == ("jobs", "/"):
            continue  # the one command that takes a folder
        code, out, err = call(name, junk, *usual_arguments(name)[1:])
        assert code == 2, junk
        assert out == ""
        assert err.replace("\n", "").isprintable(), ascii(err)
        assert len(err) < 1000


#: What is not there in a script, ``--wind "$WIND"``, must not pass for what was not asked for.
EMPTY = [
    ("fly", "--wind"),
    ("fly", "--distances"),
    ("fly", "--up"),
    ("rest", "--up"),
    ("rest", "--distances"),
    ("compare", "--distances"),
    ("holds", "--wind-speed"),
    ("spine", "--point"),
    ("spine", "--length"),
    ("record", "--at"),
    ("jobs", "--find"),
]


@pytest.mark.parametrize(("name", "option"), EMPTY)
def test_an_empty_value_is_not_the_usual_one(call, name, option):
    more = {"compare": ["--vary", "vanes.count=3,4"], "record": ["--tear", "bare", "clean"]}
    code, out, err = call(name, *usual_arguments(name), *more.get(name, []), option, "")
    assert (code, out) == (2, "")
    assert option in err


BOMBS = [
    ["fly", "bow.toml", "--distances", "2:1000000:0.001 yd"],
    ["fly", "bow.toml", "--distances", "2:1000:1e-300 yd"],
    ["fly", "bow.toml", "--distances", ",".join(["20"] * 100_000) + " yd"],
    ["fly", "bow.toml", "--distances", ":".join(["20"] * 100_000) + " yd"],
    ["fly", "bow.toml", "--wind", "1 " * 50_000 + "mph from 3"],
    ["fly", "bow.toml", "--draws", "1000000000"],
    ["rest", "bow.toml", "--up", "-1/2:1/2:1/1000000 in"],
    ["spine", "bow.toml", "--spine", "0.2:0.7:0.0000001 in"],
    ["compare", "bow.toml", "--vary", "vanes.count=" + ",".join(["3"] * 100_000)],
    ["compare", "bow.toml", *(["--vary", "vanes.length=1 in,2 in"] * 1000)],
    ["marks", "bow.toml", "--radius", "30in", "--shot", "20yd=" + "1" * 100_000],
    ["record", "log.toml", "--group", "bare", "20yd", "1,1 " * 50_000],
    ["record", "log.toml", "--rest", "right 1/32 in, " * 20_000],
    ["record", "log.toml", "--walkback", "20yd 0.1in, " * 20_000],
    ["record", "log.toml", "--note", "x" * 1_000_000],
]


@pytest.mark.parametrize("arguments", BOMBS, ids=lambda one: f"{one[0]} {one[2]}")
def test_a_bomb_is_refused_at_once_and_in_few_words(call, arguments):
    started = time.process_time()
    code, out, err = call(*arguments)
    assert time.process_time() - started < 5.0
    assert (code, out) == (2, "")
    assert len(err) < 2000


NUMBERS = [
    *("１０ yd", "٣٠ yd", "²0 yd", "20\u200b yd", "20 yd yd", "1/0 yd", "3/2 3 yd", "1 3/2 yd"),
    *("0x14 yd", "1_0 yd", "1e400 yd", "--20 yd", "–20 yd", "—20 yd", "20,5 yd", "∞ yd", "½½ yd"),
]


@pytest.mark.parametrize("text", NUMBERS)
def test_numbers_that_are_none(call, text):
    code, out, err = call("fly", "bow.toml", "--draws", "8", "--sight-in", text)
    assert (code, out) == (2, "")
    assert "--sight-in" in err


@pytest.mark.parametrize("text", ["20½ yd", "20\u202f1/2\u2009yd", "20 1⁄2 yd", "+20.5 yd"])
def test_numbers_as_phones_type_them(call, text):
    arguments = ("fly", "bow.toml", "--draws", "8", "--distances", "20.5 yd", "--json")
    code, out, err = call(*arguments, "--sight-in", text)
    assert (code, err) == (0, "")
    # sighted in there, the fletched arrow hits there
    assert json.loads(out)["flights"]["fletched"][0]["up_in"] == pytest.approx(0.0, abs=1e-3)
    assert out == call(*arguments, "--sight-in", "20.5 yd")[1]
