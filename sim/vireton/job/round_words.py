"""A recorded round in words and in JSON."""

import re
from typing import Any

from vireton.bow.setting import AT_START, BowSetting
from vireton.job.intake import MEASURES, SAFETY, Paperwork
from vireton.job.read import TuningLog
from vireton.tuning.changes_typed import change_json
from vireton.tuning.observations import OBSERVATION_KINDS
from vireton.tuning.rounds import Round
from vireton.units.move_names import MOVE_SIDES, place_words, rest_words, sides
from vireton.units.numbers import INCH, number
from vireton.units.spelling import tidy
from vireton.units.text import UnitSystem, capital

#: Things on a bow that one changes; a note that names one is asked whether that changed too.
_OTHER_THINGS = re.compile(
    r"\b(nock|peep|loop|limb|weight|point|insert|vane|fletching|shaft|spine|sight|cam|string|"
    r"cable|stabili[sz]er|grip)s?\b",
    re.IGNORECASE,
)


def _move(log: TuningLog, done: Round) -> BowSetting:
    """How the bow was set otherwise for this round."""
    place = log.rounds.place(done.number)
    before = log.rounds.all[place - 1].setting if place else AT_START
    move = before.move_to(done.setting)
    return BowSetting(*(tidy(part) for part in vars(move).values()))


def rest_move(log: TuningLog, done: Round) -> tuple[float, float]:
    """How the rest moved for this round, m."""
    return _move(log, done).rest


def _nock_words(height: float, units: UnitSystem) -> str:
    """``"down 1/16 in"``, or nothing."""
    return "".join(sides((0.0, height), MOVE_SIDES, units))


def two_things(log: TuningLog, done: Round) -> list[str]:
    """Warnings of what asks for care: a note that may speak of a change, a look-over not passed."""
    if done.undoes is not None:
        return []
    paper = paperwork_of(log, done)
    said = [
        f"{SAFETY[key].partition(':')[0].lower()}: {text}. Have it put right by a qualified "
        "technician before anybody draws this bow"
        for key, text in paper.not_fine.items()
    ]
    moved = rest_move(log, done)
    named = _OTHER_THINGS.search(done.note)
    if any(moved) and named and not done.changes:
        said.append(
            f'round {done.number} moves the rest and its note speaks of "{named[0]}": if that '
            "changed too, what is seen has two causes. Record it with --changed. It is recorded "
            "all the same"
        )
    return said


def paperwork_of(log: TuningLog, done: Round) -> Paperwork:
    """What stands in a round beside what the tuning reads."""
    place = log.rounds.place(done.number)
    return log.paperwork[place] if place < len(log.paperwork) else Paperwork()


def round_lines(
    log: TuningLog, done: Round, units: UnitSystem, *, standing: bool = True
) -> list[str]:
    """What was recorded; with ``standing`` where the rest is now, once it was ever moved."""
    move = _move(log, done)
    moved = sides(move.rest, MOVE_SIDES, units)
    nock = _nock_words(move.nock_height, units)
    stage = {"visit": ", a return visit", "done": ", handed over", None: ""}[done.stage]
    begin = f"Round {done.number}{stage}"
    told = []
    if done.undoes is not None:
        begin = f"Round {done.number} takes back round {done.undoes}, which no longer counts"
    else:
        told += [f"rest moved {', '.join(moved)}"] if moved else []
        told += [f"nocking point moved {nock}"] if nock else []
    told += [one.words(units) for one in done.changes]
    told += [one.words(units) for one in done.observations]
    told += paper_lines(paperwork_of(log, done))
    if done.note:
        told.append(f"note: {' '.join(done.note.split())}")
    first, *more = told or [""]
    lines = [f"{begin}. {capital(first)}" if first else begin, *map(capital, more)]
    return [*lines, *_standing_lines(log, units)] if standing else lines


def _standing_lines(log: TuningLog, units: UnitSystem) -> list[str]:
    """Where rest and nocking point are now, each once it was ever moved.

    Now, and not in the round that was recorded: an old one may have been corrected.
    """
    now = log.setting
    lines = []
    if any(any(one.setting.rest) for one in log.rounds.all):
        lines.append(rest_words(now.rest, units))
    if nock := place_words((0.0, tidy(now.nock_height)), units):
        lines.append(f"The nocking point is {nock} at the start")
    return lines


def paper_lines(paper: Paperwork) -> list[str]:
    """Measures and look-over in words."""
    lines = []
    if paper.complaint:
        lines.append(f"complaint: {paper.complaint}")
    if paper.measures:
        told = ", ".join(f"{MEASURES[key].words} {text}" for key, text in paper.measures.items())
        lines.append(f"measured: {told}")
    if paper.look_over:
        told = ", ".join(f"{key} {text}" for key, text in paper.look_over.items())
        lines.append(f"looked over: {told}")
    return lines


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
        "stage": done.stage,
        "puts_back": done.puts_back,
        "changes": [change_json(one) for one in done.changes],
        "measures": dict(paperwork_of(log, done).measures),
        "look_over": dict(paperwork_of(log, done).look_over),
    } | {kind.json_key: [one.to_dict() for one in done.seen(kind)] for kind in OBSERVATION_KINDS}
