"""What is wrong with a tuning log, or with what was to be recorded in it."""

from collections.abc import Sequence

from vireton.problems import InputProblem
from vireton.setup.errors import Problem

_MOST_SHOWN = 40


class LogError(InputProblem):
    """A log that cannot be used or changed. ``problems`` holds all that was found, in file order.

    Whenever it is raised, the file is as it was.
    """

    def __init__(self, file: str, problems: Sequence[Problem]) -> None:
        self.file = file
        self.problems = tuple(
            sorted(problems, key=lambda one: one.line if one.line is not None else 1 << 30)
        )
        lines = [one.said(file) for one in self.problems[:_MOST_SHOWN]]
        left = len(self.problems) - len(lines)
        if left:
            lines.append(f"{file}: and at least {left} more problems")
        super().__init__("\n".join(lines))


def refused(file: object, text: str, line: int | None = None) -> LogError:
    """A LogError of one problem with the whole file."""
    return LogError(str(file), [Problem("", text, line)])
