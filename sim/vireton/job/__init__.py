"""The job file: a bow from intake to hand-over, round by round, in one TOML file.

``format`` says which keys there are, ``intake`` those of what stands beside the rounds. ``read``
turns a file into a :class:`TuningLog`, with ``building`` (from tables to rounds) and ``problems``
(what is wrong, in words). ``write`` appends rounds, ``amend`` corrects and puts back; what is in a
job is never rewritten. ``setups`` gives the numbers of bow and arrow as they were, ``edits`` says
what an edited setup file means for the rounds. ``round_words`` and ``visits`` tell a round and a
visit; ``folder`` lists a whole folder of jobs, a ``line`` each.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from vireton.job.amend import correct, put_back, withdraw_last
    from vireton.job.errors import LogError
    from vireton.job.intake import Intake
    from vireton.job.read import TuningLog, is_job_file, parse_log, read_log
    from vireton.job.setups import setup_of
    from vireton.job.write import (
        NewRound,
        append_round,
        check_round,
        create_log,
        recorded_as,
    )

# a module is imported when a name of it is first asked for (PEP 562): a list of jobs needs neither
# pydantic nor numpy, which take longer to import than two thousand jobs to list
_HOMES = {
    "Intake": "intake",
    "LogError": "errors",
    "NewRound": "write",
    "TuningLog": "read",
    "append_round": "write",
    "check_round": "write",
    "correct": "amend",
    "create_log": "write",
    "is_job_file": "read",
    "parse_log": "read",
    "put_back": "amend",
    "read_log": "read",
    "recorded_as": "write",
    "setup_of": "setups",
    "withdraw_last": "amend",
}

__all__ = [
    "Intake",
    "LogError",
    "NewRound",
    "TuningLog",
    "append_round",
    "check_round",
    "correct",
    "create_log",
    "is_job_file",
    "parse_log",
    "put_back",
    "read_log",
    "recorded_as",
    "setup_of",
    "withdraw_last",
]

if not TYPE_CHECKING:  # to mypy, a name that is not above is no name of ours

    def __getattr__(name: str) -> Any:
        if name not in _HOMES:
            raise AttributeError(f"module 'vireton.job' has no attribute {name!r}")
        found = getattr(import_module(f"vireton.job.{_HOMES[name]}"), name)
        globals()[name] = found
        return found
