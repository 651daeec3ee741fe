"""Line numbers of keys in a TOML text with lists of tables, for error messages.

The path of the first tear's ``right`` in the third round is ``("round", "2", "tear", "0",
"right")``, as pydantic counts. As in :mod:`vireton.setup.places`, a key inside an inline table
takes the line of the key that holds it.
"""

import re

from vireton.setup.places import KeyPath, _lines_inside_values

_KEY = r"""(?:[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*')"""
_PATH = rf"{_KEY}(?:[ \t]*\.[ \t]*{_KEY})*"
_HEADER = re.compile(rf"[ \t]*(?P<open>\[\[?)[ \t]*(?P<path>{_PATH})[ \t]*\]")
_ASSIGN = re.compile(rf"[ \t]*(?P<path>{_PATH})[ \t]*=")
_ONE_KEY = re.compile(_KEY)


def element_lines(text: str) -> dict[KeyPath, int]:
    """The line, from 1, on which each table, entry of a list of tables, and key begins."""
    found: dict[KeyPath, int] = {}
    latest: dict[KeyPath, int] = {}
    table: KeyPath = ()
    inside = _lines_inside_values(text)
    for number, line in enumerate(text.split("\n"), start=1):
        if number in inside:
            continue
        if header := _HEADER.match(line):
            table = _counted(_keys(header["path"]), header["open"] == "[[", latest)
            found.setdefault(table, number)
        elif assign := _ASSIGN.match(line):
            found.setdefault(table + _keys(assign["path"]), number)
    return found


def _keys(path: str) -> KeyPath:
    return tuple(key.strip("\"'") for key in _ONE_KEY.findall(path))


def _counted(keys: KeyPath, is_list: bool, latest: dict[KeyPath, int]) -> KeyPath:
    """The path of a header with the place of each list of tables that it runs through."""
    path: KeyPath = ()
    for depth, key in enumerate(keys, start=1):
        path = (*path, key)
        if is_list and depth == len(keys):
            latest[path] = latest.get(path, -1) + 1
        if path in latest:
            path = (*path, str(latest[path]))
    return path
