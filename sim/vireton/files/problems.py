"""What is wrong with a file that a user owns, said so that the next keystroke is clear."""

from collections.abc import Sequence
from dataclasses import dataclass

from vireton.units.problems import InputProblem, named

_MOST_SHOWN = 40


@dataclass(frozen=True)
class Problem:
    """One thing wrong: ``key`` is a path such as ``arrow.vanes.length``, empty for the whole file.

    ``line`` counts from 1; None where the file has no such line.
    """

    key: str
    text: str
    line: int | None = None

    def said(self, file: str) -> str:
        """One line: file, line, key, what is wrong and what is right."""
        where = file if self.line is None else f"{file}, line {self.line}"
        return f"{where}: {self.key}: {self.text}" if self.key else f"{where}: {self.text}"


class FileError(InputProblem):
    """A file that cannot be used. ``problems`` holds all that was found, in file order."""

    def __init__(self, file: str, problems: Sequence[Problem]) -> None:
        self.file = file
        self.problems = tuple(
            sorted(problems, key=lambda one: one.line if one.line is not None else 1 << 30)
        )
        shown = named(file)
        lines = [one.said(shown) for one in self.problems[:_MOST_SHOWN]]
        left = len(self.problems) - len(lines)
        if left:
            lines.append(f"{shown}: and at least {left} more problems")
        super().__init__("\n".join(lines))


@dataclass(frozen=True)
class FileKind:
    """One kind of file that users own, and the words for it.

    ``name`` as in "is no ``name``"; ``error`` is raised for whatever is wrong with one; ``largest``
    bytes; ``begin``: what to say where there is none; ``kept``: that nothing was changed.
    """

    name: str
    error: type[FileError]
    largest: int
    begin: str
    kept: str

    def refused(self, file: object, text: str, line: int | None = None) -> FileError:
        """The error of one problem with the whole file."""
        return self.error(str(file), [Problem("", text, line)])
