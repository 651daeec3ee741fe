"""Clicks of a rest, as people count them: ``"2 clicks"``, ``"up two clicks"``, ``"-2:2:1 clicks"``.

They become lengths before anything else reads the text, so that one reader knows lengths alone.
"""

import re

from vireton.units.bench_words import problem
from vireton.units.spelling import spelled, tidy
from vireton.units.text import as_typed

_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_COUNTS = {"a": 1, **{word: count for count, word in enumerate(_WORDS, start=1)}}
_COUNT = rf"(?<![0-9./a-z])(?<!half )(?<!quarter )(?P<count>[0-9]{{1,3}}|{'|'.join(_COUNTS)})"
_CLICKS = re.compile(rf"{_COUNT}\s*clicks?(?![a-z])", re.IGNORECASE)
_BARE = re.compile(rf"{_COUNT}(?=\s*[,:])", re.IGNORECASE)
_SAID = re.compile(r"(?<![a-z])clicks?(?![a-z])", re.IGNORECASE)
_AT_END = re.compile(r"[-+−0-9a-z\s,:]+clicks?\s*", re.IGNORECASE)


def says_clicks(text: object) -> bool:
    """Whether clicks are counted in it."""
    return isinstance(text, str) and _SAID.search(text) is not None


def without_clicks(text: str, click: float | None, where: str = "") -> str:
    """The text with a length in the place of each count of clicks.

    In a list or a sweep that ends in ``clicks`` every number is a count. ``click`` m is one of
    them, None where nobody said how far that moves the rest. Raises InputProblem with ``where`` in
    front for that, and for what is no whole number of clicks.
    """
    if not says_clicks(text):
        return text
    if click is None:
        raise problem(
            where,
            f"{as_typed(text)}: the setup file does not say how far one click moves the rest. Give "
            'the length, such as "1/32 in", or write step under [bow.rest] in that file',
        )

    def length(found: re.Match[str]) -> str:
        said = found["count"].lower()
        count = _COUNTS[said] if said in _COUNTS else int(said)
        return spelled(tidy(count * click), "bench")

    counted = _BARE.sub(length, text) if _AT_END.fullmatch(text) else text
    counted = _CLICKS.sub(length, counted)
    if says_clicks(counted):
        raise problem(where, f'{as_typed(text)}: clicks are counted in whole ones, like "2 clicks"')
    return counted
