"""The message of a setup error."""

from vireton.setup.errors import Problem, SetupError
from vireton.units.problems import InputProblem


def test_one_line_a_problem_in_file_order() -> None:
    error = SetupError(
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
    error = SetupError("bow.toml", [Problem("x", "unknown", line) for line in range(1, 101)])
    lines = str(error).split("\n")
    assert len(lines) == 41
    assert lines[-1] == "bow.toml: and at least 60 more problems"
    assert len(error.problems) == 100
