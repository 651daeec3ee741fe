"""Angles as archers say them: an inch at twenty yards."""

import re

from vireton.units.text import UnitError, parse

_AT = re.compile(r"^(?P<across>.+?)\s+at\s+(?P<away>.+)$", re.IGNORECASE | re.DOTALL)


def parse_seen_angle(text: str, *, where: str = "", like: str = "1 in at 20 yd") -> float:
    """Read ``"1 in at 20 yd"``, a length seen at a distance, or a plain angle such as ``"2 moa"``.

    Args:
        text: as typed.
        where: what the value is for (a key, an option); put before the message of an error.
        like: a right spelling to show in an error.

    Returns:
        rad: the length over the distance, for small angles.

    Raises:
        UnitError: if it is neither, or the distance is not above 0.
    """
    match = _AT.match(text.strip())
    if match is None:
        return parse(text, "angle", where=where, like=like)
    across = parse(match["across"], "length", where=where, like="1 in")
    away = parse(match["away"], "length", where=where, like="20 yd")
    if not away > 0.0:
        said = f"{where}: " if where else ""
        raise UnitError(f'{said}the distance after "at" must be above 0; write it like "{like}"')
    return across / away
