"""The message of what is wrong with a file."""

from vireton.files.problems import FileError, FileKind, Problem
from vireton.units.problems import InputProblem


def test_one_line_a_problem_in_file_order() -> None:
    error = FileError(
        "bow.toml",
        [
            Problem("arrow", "the table is missing"),
            Problem("bow.hand", "later", 18),
            Problem("bow.name", "first", 3),
            Problem("", "the whole file", 1),
        ],
    )
    assert str(error) == (
        "bow.toml, line 1: the whole file\n"
        "bow.toml, line 3: bow.name: first\n"
        "bow.toml, line 18: bow.hand: later\n"
        "bow.toml: arrow: the table is missing"
    )
    assert [one.key for one in error.problems] == ["", "bow.name", "bow.hand", "arrow"]
    assert isinstance(error, InputProblem)


def test_a_flood_is_cut() -> None:
    error = FileError("bow.toml", [Problem("x", "unknown", line) for line in range(1, 101)])
    lines = str(error).split("\n")
    assert len(lines) == 41
    assert lines[-1] == "bow.toml: and at least 60 more problems"
    assert len(error.problems) == 100


def test_one_problem_with_the_whole_file() -> None:
    kind = FileKind("list", FileError, 100, "there is none", "nothing was changed")
    assert str(kind.refused("a.toml", "is full")) == "a.toml: is full"
    assert str(kind.refused("a.toml", "is odd", 3)) == "a.toml, line 3: is odd"
