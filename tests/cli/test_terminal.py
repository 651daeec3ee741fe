"""What the command does with its terminal."""

import errno
import io
import sys
from pathlib import Path

import pytest

from vireton_cli.terminal import as_argument, leave_output, prepare_streams, tell


def plain(text: str, encoding: str) -> str:
    stream = io.TextIOWrapper(io.BytesIO(), encoding=encoding)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "stdout", stream)
        prepare_streams()
        print(text, end="")
        stream.flush()
    return stream.buffer.getvalue().decode(encoding)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("−1.2 (−1.4…−1.0)", "-1.2 (-1.4~-1.0)"),
        ("28½ in", "28 1/2 in"),
        ("± 3 °, 5 ft·lbf, 2 × 4, 3 m²", "+- 3 deg, 5 ft*lbf, 2 x 4, 3 m^2"),
        ("+0.3 ↔", "+0.3 ?"),
        ("na\udcffme", "na?me"),
    ],
)
def test_an_ascii_terminal_gets_plain_signs(text, shown):
    assert plain(text, "ascii") == shown


def test_what_a_terminal_can_show_it_shows():
    text = "−1.2 … 28½ ± ↔"
    assert plain(text, "utf-8") == text
    assert plain("28½ in ± 3 °", "latin-1") == "28½ in ± 3 °"


def test_a_stream_that_is_not_there_takes_anything(monkeypatch):
    monkeypatch.setattr(sys, "stdout", None)
    prepare_streams()
    print("−")
    assert not sys.stdout.isatty()


def test_messages_cannot_steer_the_terminal(capsys):
    tell("a file \x1b[31m\x07\udcff\nand more")
    assert capsys.readouterr().err == "vireton: a file ?[31m??\nand more\n"


def test_only_trouble_with_the_output_is_told_so(capsys):
    with pytest.raises(SystemExit) as end:
        leave_output(OSError(errno.ENOSPC, "No space left on device"))
    assert end.value.code == 2
    assert "No space left" in capsys.readouterr().err
    with pytest.raises(SystemExit) as end:
        leave_output(BrokenPipeError(errno.EPIPE, "Broken pipe"))
    assert end.value.code == 141
    for bug in (FileNotFoundError(errno.ENOENT, "No such file", "x"), OSError("odd")):
        with pytest.raises(OSError, match=r"x|odd"):
            leave_output(bug)


@pytest.mark.parametrize(
    ("name", "shown"),
    [("bow.toml", "bow.toml"), ("my bow.toml", "'my bow.toml'"), ("-x.toml", "./-x.toml")],
)
def test_files_in_commands_can_be_copied(name, shown):
    assert as_argument(Path(name)) == shown
