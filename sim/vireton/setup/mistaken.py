"""Which of the two kinds of file a text looks like, so that one given for the other is named.

It looks at how lines begin, not at the tables: a damaged file has a kind too. A text of several
lines inside a file may look like a line of the other kind, so ask only about files that could not
be read as what they were given for.
"""

import re

_OF_LOGS = re.compile(r"^[ \t]*(?:\[\[[ \t]*round[ \t]*\]\]|setup[ \t]*=)", re.MULTILINE)
_KEEPS_ONE = re.compile(r"^[ \t]*setup_text[ \t]*=", re.MULTILINE)
_OF_SETUPS = re.compile(r"^[ \t]*\[[ \t]*(?:bow|arrow)[ \t]*[.\]]", re.MULTILINE)


def has_log_keys(text: str) -> bool:
    """Whether it holds rounds or names a setup file, as tuning logs do."""
    return _OF_LOGS.search(text) is not None


def is_log(text: str) -> bool:
    """Whether it looks like a job file and in nothing like a setup file but one that it keeps."""
    keeps_one = _KEEPS_ONE.search(text) is not None
    return has_log_keys(text) and (keeps_one or _OF_SETUPS.search(text) is None)


def is_setup(text: str) -> bool:
    """Whether it looks like a setup file and in nothing like a tuning log."""
    return _OF_SETUPS.search(text) is not None and not has_log_keys(text)
