"""What the command does with its terminal: old encodings, closed streams, Ctrl-C, full disks."""

import codecs
import errno
import io
import os
import shlex
import sys
from pathlib import Path
from typing import Any, NoReturn, TextIO

from typer.core import TyperGroup

#: What a shell reports of a command that a signal ended: 128 and the signal's number.
INTERRUPTED, PIPE_BROKEN = 130, 141

#: Columns of a pipe or a file where ``COLUMNS`` does not say otherwise, so that output is the same
#: anywhere.
PIPED_WIDTH = 80

#: In the place of what an old terminal cannot show. No sign, half or dot may be lost: −½ is no ½.
_PLAIN = {
    **{"−": "-", "–": "-", "—": "-", "…": "~", "≈": "~", "·": "*", "•": "*", "°": "deg"},
    **{"±": "+-", "×": "x", "÷": "/", "√": "sqrt", "²": "^2", "³": "^3", "µ": "u", "→": "->"},
    **{"≤": "<=", "≥": ">=", "“": '"', "”": '"', "‘": "'", "’": "'", "⁄": "/"},
    **{"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "\u2009": " ", "\u00a0": " ", "\u202f": " "},
    **{"─": "-", "━": "-", "│": "|", "╭": "+", "╮": "+", "╰": "+", "╯": "+"},
}
_HANDLER = "vireton.plain"

#: Why writing to a terminal, a pipe or a redirected file fails.
_OUTPUT_FAILS = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO, errno.EBADF, errno.EPIPE}


def _plainly(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    odd = error.object[error.start : error.end]
    return "".join(_PLAIN.get(one, "?") for one in odd), error.end


def as_argument(path: Path) -> str:
    """A file's name as a shell takes it, in a command that is shown to be copied."""
    text = str(path)
    return shlex.quote(f"./{text}" if text.startswith("-") else text)


def piped_width() -> int:
    """Columns of output that no terminal shows."""
    wanted = os.environ.get("COLUMNS", "")
    return int(wanted) if wanted.isdecimal() and int(wanted) > 0 else PIPED_WIDTH


def prepare_streams() -> None:
    """Make both streams take any text, and be there at all.

    A terminal that cannot show "−" gets "-" rather than a traceback; what has no plain spelling is
    "?". A stream that was closed is read by nobody.
    """
    codecs.register_error(_HANDLER, _plainly)
    for name in ("stdout", "stderr"):
        stream: TextIO | None = getattr(sys, name)
        if stream is None:
            setattr(sys, name, io.TextIOWrapper(io.BytesIO(), encoding="utf-8"))
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=_HANDLER)


def tell(text: str) -> None:
    """One message on stderr, nothing in it that could steer the terminal."""
    shown = "".join(c if c.isprintable() or c == "\n" else "?" for c in text)
    try:
        print(f"vireton: {shown}", file=sys.stderr, flush=True)
    except OSError:
        _forget(sys.stderr)  # the exit code still tells


def _forget(stream: TextIO) -> None:
    """Let what is left in the stream go, so that the end of the process does not try once more."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
    except (OSError, ValueError):  # no file at all
        return


def leave_output(problem: OSError) -> NoReturn:
    """End after output that could not be written; an OSError of anything else is raised again."""
    if problem.filename is not None or problem.errno not in _OUTPUT_FAILS:
        raise problem
    _forget(sys.stdout)
    if problem.errno == errno.EPIPE:
        sys.exit(PIPE_BROKEN)  # the reader of our output (head, less) has had enough
    tell(f"the output could not be written: {problem.strerror}")
    sys.exit(2)


class Commands(TyperGroup):
    """The commands; what typer would end in its own way ends here in ours."""

    def invoke(self, ctx: Any) -> Any:
        """Run the command; Ctrl-C ends it with one line and 130, a broken pipe in silence."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            tell("stopped")
            sys.exit(INTERRUPTED)
        except BrokenPipeError as problem:
            leave_output(problem)
