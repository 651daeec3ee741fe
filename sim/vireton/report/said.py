"""Texts of answers as a page shows them: commands as code, keys of a file in words."""

import re

from vireton.report.markup import Markup, element, joined
from vireton.uncertain.inputs import words_of

#: A key of a setup file, with the tables that it stands in; or such a table in brackets.
_TABLES = "bow|arrow|air|sight|scatter|wind|measured|uncertainty"
_KEY = re.compile(rf"\b(?:{_TABLES})(?:\.[a-z0-9_]+)+\b")
_TABLE = re.compile(rf"\[((?:{_TABLES})(?:\.[a-z_]+)*)\]")


def said(text: str) -> Markup:
    """The text as HTML: what stands between two backticks is code, the rest has no file keys."""
    pieces = text.split("`")
    if len(pieces) % 2 == 0:  # a backtick alone is one that somebody typed
        return joined(in_words(text))
    return joined(
        *(element("code", one) if k % 2 else in_words(one) for k, one in enumerate(pieces))
    )


def in_words(text: str) -> str:
    """``the shaft spine`` for ``arrow.shaft.spine``, ``the range of …`` for an uncertain input."""
    text = _TABLE.sub(lambda found: f"“{found[1].replace('_', ' ').replace('.', ', ')}”", text)
    return _KEY.sub(lambda found: _words(found[0]), text)


def _words(key: str) -> str:
    table, *names = key.split(".")
    if table == "uncertainty":
        try:
            return f"the range of {words_of(names[0])}"
        except KeyError:
            return f"the range of {names[0].replace('_', ' ')}"
    # "arrow" says whose mass or length it is; where a part is named, that says it
    kept = [table, *names] if table == "arrow" and len(names) == 1 else names
    return f"the {' '.join(kept).replace('_', ' ')}"
