"""The one reader of TOML files: bytes, text and tables, or what is wrong with them in words."""

import os
import re
import tomllib
from pathlib import Path
from typing import Any

from vireton.files.problems import FileKind, Problem
from vireton.units.text import as_typed

#: A key path of twenty steps or more: tomllib's time and memory grow with the square of it.
_DEEP_PATH = re.compile(
    r"""(?:^|[{,\[])[ \t]*(?:(?:[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*')[ \t]*\.[ \t]*){20}""", re.M
)

#: tomllib's commonest messages, in words for people who have never heard of TOML.
_PLAIN_WORDS = (
    (r"Cannot declare \('(.*)',?\) twice", r"the table [\1] is there twice"),
    (r"Cannot overwrite a value", "the same key is there twice"),
    (r"Exceeds the limit .*", "a number has far too many digits"),
    (r"Illegal character '\\n'", "a quote is opened and not closed on this line"),
    (r"Expected newline or end of document after a statement", "the value ends too early"),
)


def read_bytes(path: Path, kind: FileKind) -> bytes:
    """The bytes of a file of this kind. Raises the kind's error."""
    if os.path.isdir(path):  # noqa: PTH112 (a name that is too long is no folder)
        raise kind.refused(path, f"is a folder; give the {kind.name} in it")
    try:
        with path.open("rb") as stream:
            raw = stream.read(kind.largest + 1)
    except FileNotFoundError:
        raise kind.refused(path, kind.begin) from None
    except PermissionError:
        raise kind.refused(path, "may not be read; check the file's permissions") from None
    except (OSError, ValueError) as problem:  # ValueError: a NUL in the name
        reason = getattr(problem, "strerror", None) or problem
        raise kind.refused(path, f"cannot be read: {reason}") from None
    if len(raw) > kind.largest:
        mebibytes = kind.largest >> 20
        raise kind.refused(path, f"is larger than {mebibytes} MiB, so it is no {kind.name}")
    return raw


def as_text(raw: bytes, file: object, kind: FileKind) -> str:
    """The text in these bytes, without a byte order mark and with plain line ends."""
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as problem:
        line = raw.count(b"\n", 0, problem.start) + 1
        column = problem.start - raw.rfind(b"\n", 0, problem.start)
        raise kind.refused(
            file, f"is not UTF-8 text at column {column}; save it as UTF-8 in your editor", line
        ) from None
    return plain_lines(text)


def plain_lines(text: str) -> str:
    """The text without a byte order mark, its lines ending as on Unix."""
    return text.removeprefix("\ufeff").replace("\r\n", "\n")


def parse_toml(text: str, file: object, kind: FileKind) -> dict[str, Any]:
    """The tables of a text with plain line ends, not yet checked. Raises the kind's error."""
    too_deep = f"lists or tables are nested too deeply for a {kind.name}"
    if _DEEP_PATH.search(text):
        raise kind.refused(file, too_deep)
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise kind.refused(file, too_deep) from None
    except ValueError as problem:  # TOMLDecodeError is one; so is a number of 5000 digits
        raise kind.error(str(file), [_syntax_problem(str(problem), text)]) from None


def _syntax_problem(message: str, text: str) -> Problem:
    """What tomllib says of a text that is no TOML, with its line and column."""
    place = re.search(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$", message)
    said = message[: place.start()] if place else message
    for pattern, words in _PLAIN_WORDS:
        said = re.sub(rf"^{pattern}$", words, said).replace("', '", ".")
    if place is None:
        return Problem("", f"not valid TOML: {said}")
    lines = text.split("\n") if place[1] else text.rstrip().split("\n")
    line = int(place[1] or len(lines))
    # a file that was cut off ends at a place too
    where = place[2] or f"{len(lines[-1]) + 1}, the end of the file"
    hint = _quote_hint(lines[line - 1])
    return Problem("", f"not valid TOML at column {where}: {said}{hint}", line)


def _quote_hint(line: str) -> str:
    """For the commonest slip, a quantity without quotes."""
    match = re.match(r"\s*([A-Za-z0-9_-]+)\s*=\s*([^\s\"'#\[\]{}][^\"'#\[\]{}]*)(?:#.*)?$", line)
    if match is None:
        return ""
    return f"; put the value in quotes: {match[1]} = {as_typed(match[2].strip())}"
