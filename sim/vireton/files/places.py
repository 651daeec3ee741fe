"""Line numbers of the keys of a TOML text, for error messages.

tomllib says nothing about places. This reads table headers and ``key =`` at the start of lines of
a text that tomllib has already accepted, skipping strings and lists of several lines. A key that it
does not find (one inside an inline table) takes the line of the table or key that holds it.
"""

import re

KeyPath = tuple[str, ...]

#: No key of a file lies deeper; a longer path is cut here.
_DEEPEST = 6

_KEY = r"""(?:[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*')"""
_PATH = rf"{_KEY}(?:[ \t]*\.[ \t]*{_KEY})*"
_HEADER = re.compile(rf"[ \t]*(?P<open>\[\[?)[ \t]*(?P<path>{_PATH})[ \t]*\]")
_ASSIGN = re.compile(rf"[ \t]*(?P<path>{_PATH})[ \t]*=")
_ONE_KEY = re.compile(_KEY)
_STRINGS = re.compile(
    r'"""(?:[^\\]|\\.)*?"""|\'\'\'.*?\'\'\'|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'|#[^\n]*', re.S
)


def _key_path(text: str) -> KeyPath:
    """The keys of a dotted path, without their quotes."""
    return tuple(key.strip("\"'") for key in _ONE_KEY.findall(text))


def key_lines(text: str) -> dict[KeyPath, int]:
    """The line, from 1, on which each table and key of ``text`` is written first.

    The tables of a list are numbered from 1 in its path: ``("round", "2", "tear", "1", "right")``.
    """
    found: dict[KeyPath, int] = {}
    table: KeyPath = ()
    latest: dict[KeyPath, int] = {}
    inside = _lines_inside_values(text)
    for number, line in enumerate(text.split("\n"), start=1):
        if number in inside:
            continue
        if header := _HEADER.match(line):
            table = _numbered(_key_path(header["path"])[:_DEEPEST], header["open"] == "[[", latest)
            path = table
        elif assign := _ASSIGN.match(line):
            path = (table + _key_path(assign["path"]))[:_DEEPEST]
        else:
            continue
        for end in range(1, len(path) + 1):
            found.setdefault(path[:end], number)
        if header:
            # [bow.rest] may come before [bow]: the header itself is the better place
            found[path] = number
    return found


def _numbered(keys: KeyPath, is_list: bool, latest: dict[KeyPath, int]) -> KeyPath:
    """The path of a header with the number of each list of tables that it runs through."""
    path: KeyPath = ()
    for depth, key in enumerate(keys, start=1):
        path = (*path, key)
        if is_list and depth == len(keys):
            latest[path] = latest.get(path, 0) + 1
        if path in latest:
            path = (*path, str(latest[path]))
    return path


def _lines_inside_values(text: str) -> set[int]:
    """Lines that begin inside a string or a list that an earlier line has opened."""

    def same_lines_of_blanks(match: re.Match[str]) -> str:
        marks = match.group()
        if marks.startswith(('"""', "'''")):
            # brackets that no line of the string can be mistaken for a key between
            return "[" + "\n" * marks.count("\n") + "]"
        return ""

    inside: set[int] = set()
    depth = 0
    for number, line in enumerate(_STRINGS.sub(same_lines_of_blanks, text).split("\n"), start=1):
        if depth > 0:
            inside.add(number)
        depth += line.count("[") + line.count("{") - line.count("]") - line.count("}")
    return inside


def line_of(lines: dict[KeyPath, int], path: KeyPath) -> int | None:
    """The line of the key, or of the nearest table above it that is written."""
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return None
