"""Small mistakes drawn from a seed, for ``mutants.py --drawn``: what a slip of the hand makes.

One comparison, sign, number, word of a side or order of two arms is exchanged for its opposite or
neighbor. Nobody chose them, so their share that the tests see is no praise of the chooser.
"""

import ast
import random
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

#: Where they are made: files of the library by their folders.
ROOMS = "sim/vireton/tuning sim/vireton/job sim/vireton/units sim/vireton/answers/*words.py"

_OPERATORS: dict[type, str] = {
    ast.Lt: "<=", ast.LtE: "<", ast.Gt: ">=", ast.GtE: ">", ast.Eq: "!=", ast.NotEq: "==",
    ast.In: "not in", ast.NotIn: "in", ast.Is: "is not", ast.IsNot: "is",
    ast.Add: "-", ast.Sub: "+", ast.Mult: "/", ast.Div: "*", ast.And: "or", ast.Or: "and",
}  # fmt: skip
_PAIRS = (
    "right left|up down|high low|above below|better worse|farther nearer|more fewer|"
    "higher lower|bare fletched|before after|first last|min max"
)
_WORDS = {
    a: b
    for pair in _PAIRS.split("|")
    for a, b in (pair.split(), pair.split()[::-1])
}  # fmt: skip


class Mistake(NamedTuple):
    """What one line, with as many before it as tell it apart, says, and then says instead."""

    file: Path
    line: int
    text: str
    instead: str


def drawn_mistakes(root: Path, count: int, seed: int) -> list[Mistake]:
    """So many, from one file after the other. The same seed and source give the same."""
    draw = random.Random(seed)
    files = sorted(file for room in ROOMS.split() for file in _files(root, room))
    left = {file: draw.sample(found, len(found)) for file in files if (found := _all_of(file))}
    made: list[Mistake] = []
    order = draw.sample(sorted(left), len(left))
    while len(made) < count and any(left.values()):
        made += [left[file].pop() for file in order if left[file]]
    return made[:count]


def _files(root: Path, room: str) -> list[Path]:
    return list(root.glob(room if room.endswith(".py") else f"{room}/**/*.py"))


def _all_of(file: Path) -> list[Mistake]:
    source = file.read_text(encoding="utf-8")
    lines = source.splitlines(keepends=True)
    made = []
    for node in _code(ast.parse(source)):
        for row, start, end, instead in _exchanges(node, lines):
            line = lines[row]
            wrong = line.encode()[:start].decode() + instead + line.encode()[end:].decode()
            before = _telling(source, lines, row)
            if before is not None and wrong != line:
                made.append(Mistake(file, row + 1, before + line, before + wrong))
    return made


def _telling(source: str, lines: list[str], row: int) -> str | None:
    """The lines before this one that tell it from others like it, None where five do not."""
    for count in range(5):
        before = "".join(lines[max(0, row - count) : row])
        if source.count(before + lines[row]) == 1:
            return before
    return None


def _code(tree: ast.AST) -> Iterator[ast.AST]:
    """Every node but docstrings, annotations and what only forbids."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            continue
        if isinstance(node, ast.keyword) and node.arg in ("frozen", "strict", "slots"):
            continue
        if isinstance(node, ast.Subscript) and getattr(node.value, "id", "") == "Literal":
            continue
        yield node
        yield from _code(node)


def _exchanges(node: ast.AST, lines: list[str]) -> Iterator[tuple[int, int, int, str]]:
    """(row, from, to, what instead) on one line each, in bytes of the line."""
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        yield from _between(node.left, node.ops[0], node.comparators[0], lines)
    elif isinstance(node, ast.BinOp):
        yield from _between(node.left, node.op, node.right, lines)
    elif isinstance(node, ast.BoolOp):
        yield from _between(node.values[0], node.op, node.values[1], lines)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub | ast.Not):
        row, start, end = node.lineno - 1, node.col_offset, node.operand.col_offset
        if node.lineno == node.operand.lineno and b"(" not in lines[row].encode()[start:end]:
            yield row, start, end, ""
    elif isinstance(node, ast.IfExp) and node.lineno == node.end_lineno:
        text = lines[node.lineno - 1].encode()
        a, b = (
            text[one.col_offset : one.end_col_offset].decode() for one in (node.body, node.orelse)
        )
        test = text[node.test.col_offset : node.test.end_col_offset].decode()
        yield node.lineno - 1, node.col_offset, node.end_col_offset or 0, f"{b} if {test} else {a}"
    elif isinstance(node, ast.Constant) and (instead := _constant(node.value, lines, node)):
        yield node.lineno - 1, node.col_offset, node.end_col_offset or 0, instead


def _between(
    left: ast.expr, operator: ast.AST, right: ast.expr, lines: list[str]
) -> Iterator[tuple[int, int, int, str]]:
    instead = _OPERATORS.get(type(operator))
    if instead and left.end_lineno == right.lineno:
        row, start, end = right.lineno - 1, left.end_col_offset or 0, right.col_offset
        said = lines[row].encode()[start:end].decode()
        if said.strip("() ") and not set("[]") & set(said):
            yield row, start, end, said.replace(said.strip("() "), instead)


def _constant(value: object, lines: list[str], node: ast.Constant) -> str | None:
    if node.lineno != node.end_lineno:
        return None
    said = lines[node.lineno - 1].encode()[node.col_offset : node.end_col_offset].decode()
    if isinstance(value, bool):
        return repr(not value)
    if isinstance(value, int):
        return str(value + 1)
    if isinstance(value, float):
        return repr(2.0 * value if value else 1.0)
    if isinstance(value, str) and said[:1] in "\"'":
        for word in value.split():
            if word in _WORDS:
                return said.replace(word, _WORDS[word], 1)
    return None
