"""A recorded round in words and in JSON."""

import re
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


def _move(log: TuningLog, done: Round) -> BowSetting:
    """How the bow was set otherwise for this round."""
    before = AT_START
    for one in log.rounds.all:
        if one.number == done.number:
            break
        before = one.setting
    move = before.move_to(done.setting)
    return BowSetting(*(tidy(part) for part in vars(move).values()))


def rest_move(log: TuningLog, done: Round) -> tuple[float, float]:
    """How the rest moved for this round, m."""
    return _move(log, done).rest


def _nock_words(height: float, units: UnitSystem) -> str:
    """``"down 1/16 in"``, or nothing."""
    return "".join(sides((0.0, height), MOVE_SIDES, units))


def two_things(log: TuningLog, done: Round) -> list[str]:
    """Warnings that this round changed more than the rest, so that its effect has two causes."""
    if done.undoes is not None:
        return []
    moved = rest_move(log, done)
    named = _OTHER_THINGS.search(done.note)
    if not any(moved) or not named:
        return []
    return [
        f'round {done.number} moves the rest and its note speaks of "{named[0]}": if that changed '
        "too, what is seen has two causes. Change one thing a round. It is recorded all the same"
    ]


def round_lines(log: TuningLog, done: Round, units: UnitSystem) -> list[str]:
    """What was recorded, and where the rest stands now."""
    move = _move(log, done)
    moved = sides(move.rest, MOVE_SIDES, units)
    nock = _nock_words(move.nock_height, units)
    if done.undoes is None:
        lines = [f"round {done.number}: rest moved {', '.join(moved)}" if moved else ""]
        lines[0] = lines[0] or f"round {done.number}: rest as before"
    else:
        lines = [f"round {done.number} takes back round {done.undoes}: it no longer counts"]
        if moved:
            lines.append(f"PUT THE REST BACK: move it {', '.join(moved)}")
        if nock:
            lines.append(f"PUT THE NOCKING POINT BACK: move it {nock}")
    if nock and done.undoes is None:
        lines.append(f"nocking point moved {nock}")
    lines += [one.words(units) for one in done.observations]
    if done.note:
        lines.append(f"note: {' '.join(done.note.split())}")
    stands = sides(done.setting.rest, MOVE_SIDES, units)
    where = f"{', '.join(stands)} of where" if stands else "where"
    lines.append(f"the rest now stands {where} it was at the start of the log")
    nock = _nock_words(tidy(done.setting.nock_height), units)
    return [*lines, f"the nocking point now stands {nock} of where it was"] if nock else lines


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
        "nock_height_in": number(done.setting.nock_height / INCH),
        "note": done.note,
    } | {kind.json_key: [one.to_dict() for one in done.seen(kind)] for kind in OBSERVATION_KINDS}
