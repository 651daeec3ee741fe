"""The tuning log: what was seen at the bench, round by round, in one TOML file.

``format`` says which keys there are, ``read`` turns a file into a :class:`TuningLog`, ``write``
appends rounds and takes the last one back. What is in a log is never rewritten.
"""

from vireton.job.errors import LogError
from vireton.job.read import TuningLog, parse_log, read_log
from vireton.job.write import NewRound, append_round, check_round, create_log, undo_last

__all__ = [
    "LogError",
    "NewRound",
    "TuningLog",
    "append_round",
    "check_round",
    "create_log",
    "parse_log",
    "read_log",
    "undo_last",
]
