"""What is wrong with a tuning log, or with what was to be recorded in it."""

from vireton.setup.errors import FileError, Problem


class LogError(FileError):
    """A log that cannot be used or changed. Whenever it is raised, the file is as it was."""


def refused(file: object, text: str, line: int | None = None) -> LogError:
    """A LogError of one problem with the whole file."""
    return LogError(str(file), [Problem("", text, line)])
