"""Line numbers of keys in a TOML text with lists of tables, for error messages.

The path of the first tear's ``right`` in the third round is ``("round", "2", "tear", "0",
"right")``, as pydantic counts. As in :mod:`vireton.setup.places`, a key inside an inline table
takes the line of the key that holds it.
"""

from vireton.setup.places import ASSIGN, HEADER, KeyPath, key_path, lines_inside_values


def element_lines(text: str) -> dict[KeyPath, int]:
    """The line, from 1, on which each table, entry of a list of tables, and key begins."""
    found: dict[KeyPath, int] = {}
    latest: dict[KeyPath, int] = {}
    table: KeyPath = ()
    inside = lines_inside_values(text)
    for number, line in enumerate(text.split("\n"), start=1):
        if number in inside:
            continue
        if header := HEADER.match(line):
            table = _counted(key_path(header["path"]), header["open"] == "[[", latest)
            found.setdefault(table, number)
        elif assign := ASSIGN.match(line):
            found.setdefault(table + key_path(assign["path"]), number)
    return found


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
