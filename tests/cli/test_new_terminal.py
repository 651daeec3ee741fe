"""``vireton new`` at a real terminal, and with bytes that are no text."""

import os
import select
import subprocess
import sys
import time
import tomllib

import pytest

from vireton.setup.intake import QUESTIONS

MAIN = [sys.executable, "-m", "vireton_cli.main"]
#: As on a machine whose language is set, where Python is strict with bytes.
STRICT = {"PYTHONIOENCODING": "utf-8:strict", "TERM": "dumb"}

posix = pytest.mark.skipif(sys.platform == "win32", reason="terminals of POSIX")


def said_at(terminal, typed):
    """Type an answer whenever a prompt waits; all that was shown until the other side closed.

    A key that should end it is pressed again, as anybody would: Python's line editor does not see
    one that comes after its prompt and before it listens.
    """
    shown, answered, left, last, idle = b"", 0, list(typed), b"", 0
    give_up = time.monotonic() + 120.0  # a hang must end; nothing is measured
    while time.monotonic() < give_up:
        idle += 1
        if select.select([terminal], [], [], 0.1)[0]:
            idle = 0
            try:
                piece = os.read(terminal, 65536)
            except OSError:  # how Linux tells that the other side is closed
                break
            if not piece:
                break
            shown += piece
        if shown[answered:].endswith(b"]: ") and left:
            answered = len(shown)
            last = left.pop(0)
            os.write(terminal, last)
        elif not left and last in (b"\x03", b"\x04") and idle == 20:
            os.write(terminal, last)
            idle = 0
    else:
        pytest.fail(f"it did not end: {shown!r}")
    assert not left, shown
    return shown.decode("utf-8", "replace").replace("\r\n", "\n")


@pytest.fixture
def typed(tmp_path):
    """Run ``vireton new bow.toml`` at a terminal: exit code, what it shows, the file."""
    import pty  # POSIX alone has it

    def run(*answers):
        path = tmp_path / "bow.toml"
        child, terminal = pty.fork()
        if child == 0:
            os.execve(sys.executable, [*MAIN, "new", str(path)], {**os.environ, **STRICT})
        try:
            shown = said_at(terminal, answers)
        except BaseException:
            os.close(terminal)  # whoever still waits is hung up on
            os.waitpid(child, 0)
            raise
        # it closed its side, and ends: hung up on now it would tell of that
        ended = os.waitpid(child, 0)[1]
        os.close(terminal)
        return os.waitstatus_to_exitcode(ended), shown, path

    return run


@posix
def test_a_whole_dialog(typed):
    answers = [b"?", b"-", b"62#", b"<", b"", b"500 in", b'28 1/2"', b"", b"400", b"", b"410"]
    answers += [b"", b"left", b"-", b"0.8"]
    asked_again = 5  # ? and - at the first, back to it and Enter, and a bad one
    answers += [b""] * (len(QUESTIONS) + asked_again - len(answers))
    code, shown, path = typed(*(one + b"\n" for one in answers))
    assert code == 0, shown
    for said in (
        "Peak draw weight on a bow scale",
        "Nothing runs without it",
        "[62 lbf]",
        '"500 in" is outside 12 in to 40 in',
        "Left open",
        f"vireton rest {path}",
    ):
        assert said in shown
    bow = tomllib.loads(path.read_text(encoding="utf-8"))["bow"]
    assert (bow["draw_weight"], bow["hand"], bow["let_off"]) == ("62 lbf", "left", "80 %")
    assert "brace_height" not in bow


@posix
@pytest.mark.parametrize("end", [b"\x03", b"\x04"])
def test_ctrl_c_and_ctrl_d_give_back_what_was_typed(typed, end):
    code, shown, path = typed(b"62#\n", end)
    assert code == 130
    assert not path.exists()
    assert "nothing was written" in shown
    assert 'draw_weight = "62 lbf"' in shown
    assert "Traceback" not in shown


@posix
def test_arrow_keys_move_in_the_line(typed):
    pytest.importorskip("readline")
    code, shown, _ = typed(b"2#\x1b[D\x1b[D6\n", b"\x03")
    assert code == 130
    assert 'draw_weight = "62 lbf"' in shown


@posix
def test_bytes_that_are_no_text_are_refused_and_asked_again(typed):
    code, shown, _ = typed(b"x\xfc\n", b"62#\n", b"\x03")
    assert code == 130
    assert 'draw_weight = "62 lbf"' in shown
    assert "Traceback" not in shown


SIX = b"60#\n29\n280\n340\n28 1/2\n415\n"


@pytest.mark.parametrize(
    ("given", "code", "said"),
    [(SIX + b"Gr\xfcn\n", 2, b"line 7"), (b"\xef\xbb\xbf" + SIX, 0, b"")],
)
def test_piped_bytes_never_pass_for_no_answers(tmp_path, given, code, said):
    done = subprocess.run(
        [*MAIN, "new", "bow.toml"],
        input=given,
        capture_output=True,
        check=False,
        cwd=tmp_path,
        env={**os.environ, **STRICT},
    )
    assert done.returncode == code, done.stderr
    assert said in done.stderr
    assert (tmp_path / "bow.toml").exists() == (code == 0)
    assert b"invented" not in done.stdout
