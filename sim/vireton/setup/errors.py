"""What is wrong with a setup file."""

from vireton.files.problems import FileError, FileKind


class SetupError(FileError):
    """A setup file that cannot be used."""


SETUP_FILE = FileKind(
    name="setup file",
    error=SetupError,
    largest=1 << 20,
    begin="there is no such file; `vireton new FILE` writes one",
    kept="nothing was written",
)
