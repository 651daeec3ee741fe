"""How problems of a log are put together."""

from vireton.job.errors import LogError, refused
from vireton.setup.errors import Problem
from vireton.units.problems import InputProblem


def test_problems_are_in_file_order_each_in_one_line() -> None:
    error = LogError("a.toml", [Problem("", "whole"), Problem("b", "two", 2), Problem("a", "x", 1)])
    assert isinstance(error, InputProblem)
    assert str(error).split("\n") == [
        "a.toml, line 1: a: x",
        "a.toml, line 2: b: two",
        "a.toml: whole",
    ]


def test_very_many_problems_are_counted() -> None:
    error = LogError("a.toml", [Problem("k", "x", line) for line in range(1, 101)])
    assert len(error.problems) == 100
    assert str(error).split("\n")[-1] == "a.toml: and at least 60 more problems"


def test_one_problem_with_the_whole_file() -> None:
    assert str(refused("a.toml", "is full")) == "a.toml: is full"
    assert str(refused("a.toml", "is odd", 3)) == "a.toml, line 3: is odd"
