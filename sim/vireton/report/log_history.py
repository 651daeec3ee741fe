"""The rounds of a log in words, and the ways back: what a page says of the past."""

from dataclasses import fields

from vireton.answers.tune import Tuned
from vireton.bow.setting import AT_START, BowSetting
from vireton.job import LogError, TuningLog
from vireton.job.amend import last_change
from vireton.job.round_words import paper_lines
from vireton.job.visits import moved_since, visits_of
from vireton.report.content import PastRound
from vireton.report.wording import both_words
from vireton.tuning.groups import separation
from vireton.tuning.observations import Group
from vireton.tuning.rounds import Round
from vireton.units.display import Display
from vireton.units.move_names import MOVE_SIDES, sides
from vireton.units.spelling import tidy
from vireton.units.text import capital


def intake_facts(log: TuningLog) -> tuple[str, ...]:
    """Whose bow, since when and why, in a line; none where nothing is known."""
    visit, intake = visits_of(log)[-1], log.intake
    count = len(visits_of(log))
    parts = [
        f"bow: {intake.bow}" if intake.bow else "",
        f"owner: {intake.owner}" if intake.owner else "",
        f"visit {count}" if count > 1 else "",
        f"complaint: {visit.complaint}" if visit.complaint else "",
        "handed over" if log.is_done else "",
    ]
    said = "; ".join(filter(None, parts))
    return (capital(said),) if said else ()


def past_rounds(log: TuningLog, tuned: Tuned, display: Display) -> tuple[PastRound, ...]:
    """Every round, those that amend or withdraw another among them."""
    papers = [*log.paperwork]
    return tuple(
        PastRound(
            one.number,
            paper.date,
            _what(one, display),
            (
                *_changed(one, display),
                *_seen(one, tuned, display),
                *paper_lines(paper),
                *_moved(log, place),
                *_typed_first(log, one, display),
            ),
            one.note,
            one.undoes is not None or one.corrects is not None or one in log.rounds.counting,
        )
        for place, (one, paper) in enumerate(zip(log.rounds.all, papers, strict=True))
    )


def _what(one: Round, display: Display) -> str:
    if one.undoes is not None:
        return f"takes back round {one.undoes}, which was typed by mistake"
    if one.corrects is not None:
        return f"corrects round {one.corrects}"
    stage = {"visit": "a return visit; ", "done": "handed over; ", None: ""}[one.stage]
    where = ", ".join(sides(_tidied(one.setting), MOVE_SIDES, display.name))
    nock = ", ".join(sides((0.0, tidy(one.setting.nock_height)), MOVE_SIDES, display.name))
    rest = f"rest {where or 'where it was at the start'}"
    return f"{stage}{rest}{f'; nocking point {nock}' if nock else ''}"


def _tidied(setting: BowSetting) -> tuple[float, float]:
    return tidy(setting.rest_right), tidy(setting.rest_up)


def _changed(one: Round, display: Display) -> list[str]:
    back = [f"puts back what round {one.puts_back} changed"] if one.puts_back is not None else []
    return [*back, *(change.words(display.name) for change in one.changes)]


def pairs_of(one: Round) -> list[tuple[Group, Group]]:
    """Bare and fletched groups from one distance."""
    groups = one.seen(Group)
    return [
        (bare, fletched)
        for bare in groups
        if bare.arrow == "bare"
        for fletched in groups
        if fletched.arrow == "fletched" and fletched.distance == bare.distance
    ]


def _seen(one: Round, tuned: Tuned, display: Display) -> list[str]:
    pairs = pairs_of(one)
    paired = [group for pair in pairs for group in pair]
    seen = []
    for bare, fletched in pairs:
        apart = separation(bare, fletched, tuned.turn.spread)
        said = ", ".join(
            both_words(apart.difference / display.small_size, apart.half_width / display.small_size)
        )
        seen.append(f"bare − fletched at {display.distance(bare.distance)}: {said} {display.small}")
    return [*seen, *(o.words(display.name) for o in one.observations if o not in paired)]


def _moved(log: TuningLog, place: int) -> list[str]:
    """Of the round that begins the last visit: what moved since the bow was handed over."""
    visits = visits_of(log)
    if len(visits) < 2 or visits[-1].first != place:
        return []
    return [f"moved since it was handed over: {one.words()}" for one in moved_since(log)]


def _typed_first(log: TuningLog, one: Round, display: Display) -> list[str]:
    """What a round said before it was corrected."""
    was = one.was
    if was is None:
        return []
    old = [
        *(change.words(display.name) for change in was.changes if change not in one.changes),
        *(o.words(display.name) for o in was.observations if o not in one.observations),
    ]
    names = [field.name for field in fields(BowSetting)]
    if any(
        getattr(table, name) is not None
        for table in log.tables
        if table.corrects == one.number
        for name in names
    ):
        old.insert(0, _what(was, display))
    if was.note != one.note:
        old.append(f"note: {was.note}" if was.note else "no note")
    return [f"typed as {words}, corrected" for words in old]


def ways_back(log: TuningLog, display: Display) -> tuple[str, ...]:
    """Where the rest came from; how to put a change back on the bow; how to mend a typing mistake.

    The last two are different things: one is done at the bow, the other in the file.
    """

    def move(to: BowSetting) -> str:
        right, up = log.setting.move_to(to).rest
        return ", ".join(sides((tidy(right), tidy(up)), MOVE_SIDES, display.name))

    start = move(AT_START)
    lines = [
        f"to where the rest was at the start: move it {start}"
        if start
        else "the rest is where it was at the start"
    ]
    if not log.rounds.all:
        return tuple(lines)
    command = f"vireton record {log.path.name}"
    try:
        last, before = last_change(log, log.path)
    except LogError:
        pass
    else:
        there = move(before)
        if there and there != start:
            lines.append(f"to where it was before round {last.number}: move it {there}")
        if all(one.kind.is_undone for one in last.changes):
            lines.append(
                f"to put the last change, of round {last.number}, back on the bow: do that, then "
                f"`{command} --back`"
            )
    lines.append(
        f"to correct a typing mistake, the bow untouched: `{command} --correct ROUND WHAT`; "
        f"`{command} --undo` takes the whole last round back. Nothing is erased"
    )
    return tuple(lines)
