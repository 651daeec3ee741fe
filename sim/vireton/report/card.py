"""The card that goes home with a bow: what was measured, what was done, what is left."""

from dataclasses import dataclass

import numpy as np

from vireton.answers.hand_over import HandOver, hand_over, reset_words, uncured_lines
from vireton.answers.tune import Tune
from vireton.answers.walkback import verdict_of
from vireton.bow.cautions import SHOOTING_BARE
from vireton.job import TuningLog
from vireton.job.setups import BY_THE_FILE
from vireton.job.visits import unsafe_lines, visits_of
from vireton.report.card_work import Measured, again_words, done_lines, measured_rows
from vireton.setup import Setup
from vireton.tuning.observations import Group, WalkbackPoint
from vireton.tuning.outlook import Left
from vireton.units.display import BENCH, MASS, Display, digits_for
from vireton.units.move_names import HOLE_SIDES
from vireton.units.problems import InputProblem
from vireton.units.spelling import spelled, tidy
from vireton.units.text import sentence

NOT_DONE = "not handed over yet"
#: Changes after which the setup file's arrow may not be the one that is shot.
_OF_ARROW = ("arrow", "point", "vanes")


@dataclass(frozen=True)
class Card:
    """All of a card, in words and in the order of the sheet; empty where nothing is known.

    ``visit``: which one it is of, from 1. ``date_out``: empty until the bow is handed over.
    ``dangers``: of bow and arrow, never cut. ``warnings``: what the look-over did not pass, what is
    not cured; what was typed stands last in them. ``arrow``: name and value a row;
    ``arrow_note``: why the numbers may be others. ``marks``: distance and pin below that of
    ``first_mark``. ``sight``: the reset, where one is due. ``left``: distance, bare beside
    fletched arrows, one arrow's scatter; ``left_note``: why there is none. ``again``: when to look
    at the bow again.
    """

    bow: str
    owner: str
    visit: int
    date_in: str
    date_out: str
    is_done: bool
    complaint: str
    dangers: tuple[str, ...]
    warnings: tuple[str, ...]
    measured: tuple[Measured, ...]
    arrow: tuple[tuple[str, str], ...]
    arrow_note: str
    first_mark: str
    marks: tuple[tuple[str, str], ...]
    done: tuple[str, ...]
    sight: str
    left: tuple[tuple[str, str, str], ...]
    left_note: str
    walkback: str
    again: str
    caution: str

    @property
    def state(self) -> str:
        """``"handed over 2026-05-01"``, ``"not handed over yet"``."""
        return f"handed over {self.date_out}".rstrip() if self.is_done else NOT_DONE


def card_of(question: Tune, display: Display) -> Card:
    """The card of the last visit of a job, at round distances of this system.

    Raises InputProblem where the bow's setup cannot be used.
    """
    log, setup = question.log, question.setup
    visit = visits_of(log)[-1]
    end: HandOver | None = None
    left: tuple[tuple[str, str, str], ...] = ()
    note = "No arrow is on record that says how it shoots as it stands."
    try:
        end = hand_over(log, display)
        left = _left_rows(end, display)
    except InputProblem as problem:
        note = f"Not worked out: {problem}"
    return Card(
        bow=log.intake.bow or setup.bow.name,
        owner=log.intake.owner,
        visit=len(visits_of(log)),
        date_in=visit.date,
        date_out=_date_out(log),
        is_done=log.is_done,
        complaint=visit.complaint,
        dangers=question.warnings,
        warnings=(
            *unsafe_lines(log, visit),
            *(uncured_lines(end.tuned) if end is not None else ()),
        ),
        measured=measured_rows(log, visit),
        arrow=_arrow(question, setup, display),
        arrow_note=_arrow_note(log),
        first_mark=display.distance(end.marks[0][0]) if end is not None and end.marks else "",
        marks=_marks(end, display),
        done=done_lines(log, visit, display.name),
        sight=_sight(end, display),
        left=left,
        left_note=_clean_note(end, display) if end is not None and left else note,
        walkback=_walkback(log, visit.first, display),
        again=again_words(log, visit),
        caution=SHOOTING_BARE,
    )


def _date_out(log: TuningLog) -> str:
    if not log.is_done:
        return ""
    last = log.rounds.counting[-1].number
    return next(
        date for one, date in zip(log.rounds.all, log.dates, strict=True) if one.number == last
    )


def _arrow(question: Tune, setup: Setup, display: Display) -> tuple[tuple[str, str], ...]:
    parts = setup.parts
    unit, size = display.unit(MASS)
    digits = 0 if display.name == "us" else 1
    rows = [
        ("Name", parts.name),
        ("Length", spelled(tidy(parts.length), "bench", display.name)),
        ("Weight", f"{question.rig.fletched.mass / size:.{digits}f} {unit}"),
        ("Point", f"{parts.point.mass / size:.{digits}f} {unit}"),
    ]
    if parts.shaft.spine_deflection is not None:
        name, long = display.unit(BENCH)
        exact = 3 if display.name == "us" else 1
        rows.append(("Spine", f"{parts.shaft.spine_deflection / long:.{exact}f} {name}"))
    return tuple(rows)


def _arrow_note(log: TuningLog) -> str:
    """Where an arrow was changed without its numbers, and none came later."""
    for one in reversed(log.rounds.counting):
        for change in reversed(one.changes):
            if change.what in _OF_ARROW:
                told = bool(change.sets) or change.note == BY_THE_FILE
                said = f"{change.kind.words} since: no new numbers were recorded"
                return "" if told else said[:1].upper() + said[1:]
    return ""


def _marks(end: HandOver | None, display: Display) -> tuple[tuple[str, str], ...]:
    if end is None:
        return ()
    unit, size = display.unit(BENCH)
    digits = 2 if display.name == "us" else 1
    return tuple(
        (display.distance(far), f"{gap / size:.{digits}f} {unit}") for far, gap in end.marks[1:]
    )


def _sight(end: HandOver | None, display: Display) -> str:
    """The reset; empty where the sight is to be left, or no arrow was ever shot."""
    if end is None:
        return ""
    if end.reset is None:
        if not any(one.seen(Group) for one in end.tuned.question.log.rounds.counting):
            return ""
        return sentence(reset_words(None, display).removeprefix("Sight: "))
    said = reset_words(end.reset, display).removeprefix("Sight: ")
    return "" if said.startswith("leave it") else sentence(said)


def _left_rows(end: HandOver, display: Display) -> tuple[tuple[str, str, str], ...]:
    """A row a distance; none where nothing was shot."""
    if not end.tuned.turn.seen.count:
        return ()
    return tuple(
        (
            display.distance(one.distance),
            _beside(one, display),
            f"an arrow of yours scatters {scatter / display.small_size:.1f} {display.small}",
        )
        for one, scatter in zip(end.left, end.scatter, strict=True)
    )


def _clean_note(end: HandOver, display: Display) -> str:
    """Where a bare shaft belongs, so that nobody takes that for a fault."""
    high = [float(np.mean(end.tuned.turn.belief.clean(one.distance).imag)) for one in end.left]
    if min(high) <= 0.0:
        return ""
    said = ", ".join(
        f"{up / display.small_size:.1f} {display.small} high at {display.distance(one.distance)}"
        for up, one in zip(high, end.left, strict=True)
    )
    return f"A bare shaft is lighter and slicker: even from a clean launch it lands {said}."


def _beside(one: Left, display: Display) -> str:
    mean, low, high = (part / display.small_size for part in one.separation)
    sides, around = [], []
    for value, width, names in zip(mean, high - low, HOLE_SIDES, strict=True):
        digits = digits_for(float(width), most=1)
        around.append(f"{float(width) / 2.0:.{digits}f}")
        said = f"{abs(float(value)):.{digits}f}"
        if float(said):
            sides.append(f"{said} {display.small} {names[0 if value > 0.0 else 1]}")
    where = f"{' and '.join(sides)} of" if sides else "with"
    wide = " and ".join(dict.fromkeys(around))
    return f"bare shaft {where} the fletched ones, give or take {wide} {display.small}"


def _walkback(log: TuningLog, first: int, display: Display) -> str:
    """The verdict of this visit's walk-back; empty without one."""
    numbers = {one.number for one in log.rounds.all[first:]}
    seen = [
        one for r in log.rounds.counting if r.number in numbers for one in r.seen(WalkbackPoint)
    ]
    if len({one.distance for one in seen}) < 2:
        return ""
    said = verdict_of(log, display)
    return sentence(said) if said else ""
