"""A recorded round in words and in JSON."""

import re
from itertools import pairwise
from typing import Any

from vireton.job.read import TuningLog
from vireton.job.spelling import spelled, tidy
from vireton.tuning.observations import Group, Observation, Round, Tear, WalkbackPoint
from vireton.units.numbers import INCH, YARD, number
from vireton.units.text import UnitSystem

Pair = tuple[float, float]

_START: Pair = (0.0, 0.0)
_REST = (("right", "left"), ("up", "down"))
_HOLE = (("right", "left"), ("high", "low"))

#: Other things on a bow that one changes; a note that names one beside a rest move is asked about.
_OTHER_THINGS = re.compile(
    r"\b(nock|peep|loop|limb|weight|point|insert|vane|fletching|shaft|spine|sight|cam|string|"
    r"cable|stabili[sz]er|grip)s?\b",
    re.IGNORECASE,
)


def sides(
    pair: Pair, names: tuple[tuple[str, str], tuple[str, str]], units: UnitSystem
) -> list[str]:
    """``["left 1/16 in", "up 1/8 in"]`` of the axes that are not 0."""
    found = []
    for value, (positive, negative) in zip(pair, names, strict=True):
        if value:
            name = positive if value > 0.0 else negative
            found.append(f"{name} {spelled(abs(value), 'bench', units)}")
    return found


def _rest_before(log: TuningLog, done: Round) -> Pair:
    for before, after in pairwise(log.rounds.all):
        if after.number == done.number:
            return before.rest_right, before.rest_up
    return _START


def rest_move(log: TuningLog, done: Round) -> Pair:
    """How the rest moved for this round, m."""
    right, up = _rest_before(log, done)
    return tidy(done.rest_right - right), tidy(done.rest_up - up)


def two_things(log: TuningLog, done: Round, units: UnitSystem) -> list[str]:
    """Warnings that this round changed more than one thing, so that its effect has two causes."""
    if done.undoes is not None:
        return []
    moved = sides(rest_move(log, done), _REST, units)
    advice = "Change one thing a round. It is recorded all the same"
    warnings = []
    if len(moved) == 2:
        warnings.append(
            f"two things changed in round {done.number}: the rest moved {' and '.join(moved)}, so "
            f"what is seen has two causes. {advice}"
        )
    else:
        warnings += _two_since_seen(log, done, units, advice)
    named = _OTHER_THINGS.search(done.note)
    if moved and named:
        warnings.append(
            f'round {done.number} moves the rest and its note speaks of "{named[0]}": if that '
            f"changed too, what is seen has two causes. {advice}"
        )
    return warnings


def _two_since_seen(log: TuningLog, done: Round, units: UnitSystem, advice: str) -> list[str]:
    """The same of moves in several rounds between which nothing was seen."""
    earlier = [one for one in log.rounds.counting if one.number < done.number and one.observations]
    if not earlier or not done.observations:
        return []
    last = earlier[-1]
    change = (tidy(done.rest_right - last.rest_right), tidy(done.rest_up - last.rest_up))
    moved = sides(change, _REST, units)
    if len(moved) < 2:
        return []
    return [
        f"since round {last.number}, where something was seen last, the rest has moved "
        f"{' and '.join(moved)}, so what is seen now has two causes. {advice}"
    ]


def round_lines(log: TuningLog, done: Round, units: UnitSystem) -> list[str]:
    """What was recorded, and where the rest stands now."""
    moved = sides(rest_move(log, done), _REST, units)
    if done.undoes is None:
        lines = [f"round {done.number}: rest moved {', '.join(moved)}" if moved else ""]
        lines[0] = lines[0] or f"round {done.number}: rest as before"
    else:
        lines = [f"round {done.number} takes back round {done.undoes}: it no longer counts"]
        if moved:
            lines.append(f"PUT THE REST BACK: move it {', '.join(moved)}")
    lines += [observation_words(one, units) for one in done.observations]
    if done.note:
        lines.append(f"note: {' '.join(done.note.split())}")
    stands = sides((done.rest_right, done.rest_up), _REST, units)
    where = f"{', '.join(stands)} of where" if stands else "where"
    return [*lines, f"the rest now stands {where} it was at the start of the log"]


def observation_words(one: Observation, units: UnitSystem) -> str:
    """One observation as it was understood: both axes said, zero or not."""
    at = spelled(one.distance, "distance", units)
    match one:
        case Tear():
            return f"{one.arrow} tear at {at}: {_tear((one.right, one.up), units)}"
        case Group():
            return f"{one.arrow} group at {at}: {_group(one, units)}"
        case WalkbackPoint():
            where = f"{_middle(one.right, _HOLE[0], units)} the plumb line"
            return f"walk-back at {at}: {where}"


def _tear(pair: Pair, units: UnitSystem) -> str:
    said = sides(pair, _HOLE, units)
    if not said:
        return "clean"
    if len(said) == 1:
        said.append("level" if pair[0] else "not sideways")
    return f"tail {', '.join(said)}"


def _group(group: Group, units: UnitSystem) -> str:
    shots = f"{group.count} shot{'s' if group.count > 1 else ''}"
    middle = " and ".join(
        _middle(value, names, units) for value, names in zip(group.center, _HOLE, strict=True)
    )
    spread = "" if group.spread is None else f", one arrow's spread {_rounded(group.spread, units)}"
    return f"{shots}, middle {middle} where you aimed{spread}"


def _middle(value: float, names: tuple[str, str], units: UnitSystem) -> str:
    prepositions = {"right": "right of", "left": "left of", "high": "above", "low": "below"}
    size = _rounded(abs(value), units)
    return f"{size} {prepositions[names[0] if value >= 0.0 else names[1]]}"


def _rounded(value: float, units: UnitSystem) -> str:
    size, unit = (INCH, "in") if units == "us" else (0.01, "cm")
    return f"{value / size:.2f} {unit}"


def round_json(log: TuningLog, done: Round) -> dict[str, Any]:
    """The round with stable keys, inches and yards, signs as in the log."""
    moved = rest_move(log, done)
    seen = done.observations
    return {
        "number": done.number,
        "undoes": done.undoes,
        "rest_right_in": number(done.rest_right / INCH),
        "rest_up_in": number(done.rest_up / INCH),
        "moved_right_in": number(moved[0] / INCH),
        "moved_up_in": number(moved[1] / INCH),
        "note": done.note,
        "tears": [_tear_json(one) for one in seen if isinstance(one, Tear)],
        "groups": [_group_json(one) for one in seen if isinstance(one, Group)],
        "walkback": [
            {
                "distance_yd": number(one.distance / YARD),
                "right_in": number(one.right / INCH),
            }
            for one in seen
            if isinstance(one, WalkbackPoint)
        ],
    }


def _tear_json(tear: Tear) -> dict[str, Any]:
    return {
        "arrow": tear.arrow,
        "distance_yd": number(tear.distance / YARD),
        "right_in": number(tear.right / INCH),
        "up_in": number(tear.up / INCH),
    }


def _group_json(group: Group) -> dict[str, Any]:
    return {
        "arrow": group.arrow,
        "distance_yd": number(group.distance / YARD),
        "center_right_in": number(group.center[0] / INCH),
        "center_up_in": number(group.center[1] / INCH),
        "count": group.count,
        "spread_in": None if group.spread is None else number(group.spread / INCH),
        "shots_in": [[number(right / INCH), number(up / INCH)] for right, up in group.shots],
    }
