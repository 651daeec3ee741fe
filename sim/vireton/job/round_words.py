"""A recorded round in words and in JSON."""

import re
from itertools import pairwise
from typing import Any

from vireton.bow.setting import AT_START, BowSetting
from vireton.job.read import TuningLog
from vireton.tuning.observations import OBSERVATION_KINDS
from vireton.tuning.rounds import Round
from vireton.units.move_names import MOVE_SIDES, sides
from vireton.units.numbers import INCH, number
from vireton.units.spelling import tidy
from vireton.units.text import UnitSystem

#: Other things on a bow that one changes; a note that names one beside a rest move is asked about.
_OTHER_THINGS = re.compile(
    r"\b(nock|peep|loop|limb|weight|point|insert|vane|fletching|shaft|spine|sight|cam|string|"
    r"cable|stabili[sz]er|grip)s?\b",
    re.IGNORECASE,
)


def _tidy_move(before: BowSetting, after: BowSetting) -> tuple[float, float]:
    right, up = before.move_to(after).rest
    return tidy(right), tidy(up)


def rest_move(log: TuningLog, done: Round) -> tuple[float, float]:
    """How the rest moved for this round, m."""
    for before, after in pairwise(log.rounds.all):
        if after.number == done.number:
            return _tidy_move(before.setting, done.setting)
    return _tidy_move(AT_START, done.setting)


def two_things(log: TuningLog, done: Round, units: UnitSystem) -> list[str]:
    """Warnings that this round changed more than one thing, so that its effect has two causes."""
    if done.undoes is not None:
        return []
    moved = sides(rest_move(log, done), MOVE_SIDES, units)
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
    moved = sides(_tidy_move(last.setting, done.setting), MOVE_SIDES, units)
    if len(moved) < 2:
        return []
    return [
        f"since round {last.number}, where something was seen last, the rest has moved "
        f"{' and '.join(moved)}, so what is seen now has two causes. {advice}"
    ]


def round_lines(log: TuningLog, done: Round, units: UnitSystem) -> list[str]:
    """What was recorded, and where the rest stands now."""
    moved = sides(rest_move(log, done), MOVE_SIDES, units)
    if done.undoes is None:
        lines = [f"round {done.number}: rest moved {', '.join(moved)}" if moved else ""]
        lines[0] = lines[0] or f"round {done.number}: rest as before"
    else:
        lines = [f"round {done.number} takes back round {done.undoes}: it no longer counts"]
        if moved:
            lines.append(f"PUT THE REST BACK: move it {', '.join(moved)}")
    lines += [one.words(units) for one in done.observations]
    if done.note:
        lines.append(f"note: {' '.join(done.note.split())}")
    stands = sides(done.setting.rest, MOVE_SIDES, units)
    where = f"{', '.join(stands)} of where" if stands else "where"
    return [*lines, f"the rest now stands {where} it was at the start of the log"]


def round_json(log: TuningLog, done: Round) -> dict[str, Any]:
    """The round with stable keys, inches and yards, signs as in the log."""
    moved = rest_move(log, done)
    return {
        "number": done.number,
        "undoes": done.undoes,
        "rest_right_in": number(done.setting.rest_right / INCH),
        "rest_up_in": number(done.setting.rest_up / INCH),
        "moved_right_in": number(moved[0] / INCH),
        "moved_up_in": number(moved[1] / INCH),
        "note": done.note,
    } | {kind.json_key: [one.to_dict() for one in done.seen(kind)] for kind in OBSERVATION_KINDS}
