"""What is wrong with a tuning log, or with what was to be recorded in it."""

from vireton.files.problems import FileError, FileKind


class LogError(FileError):
    """A log that cannot be used or changed. Whenever it is raised, the file is as it was."""


LOG_FILE = FileKind(
    name="job file",
    error=LogError,
    largest=1 << 24,  # a round takes some 300 bytes
    begin="there is no such job; `vireton record JOB --setup FILE` begins one",
    kept="nothing was recorded",
)
