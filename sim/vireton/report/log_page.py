"""The page of a tuning log."""

from itertools import pairwise
from typing import Any

import numpy as np

from vireton.answers.tune import Tune, Tuned
from vireton.answers.tune_words import expectation_words, standing_words, verdict_words
from vireton.bow.cautions import SHOOTING_BARE
from vireton.bow.setting import AT_START, BowSetting
from vireton.job import TuningLog
from vireton.report import parts
from vireton.report.cases import likely
from vireton.report.content import Advice, Page, PastRound, WhatIf
from vireton.report.from_log import NEXT_SHOTS, cases_of_turn
from vireton.report.shown import Setting
from vireton.report.tables import tabulate
from vireton.report.wording import both_words
from vireton.tuning.groups import separation
from vireton.tuning.loop import is_same
from vireton.tuning.observations import Group
from vireton.tuning.rounds import Round
from vireton.units.display import Display
from vireton.units.move_names import MOVE_SIDES, sides
from vireton.units.spelling import tidy

_SAME = 0.5  # m: groups from distances this near stand on one face


def log_page(question: Tune, display: Display) -> tuple[Page, dict[str, Any]]:
    """The page, and its JSON."""
    tuned = question.answer()
    where = sorted(set(question.distances))
    log = question.log
    what = _whatif(tuned, where, display)
    rig = question.rig
    page = Page(
        title=log.name or question.setup.name,
        facts=(standing_words(tuned, display),),
        warnings=tuned.warnings,
        advice=_advice(tuned, display),
        whatif=what,
        caution=SHOOTING_BARE,
        notes=rig.notes,
        history=tuple(
            _past(log, one, date, tuned, display)
            for one, date in zip(log.rounds.all, log.dates, strict=True)
        ),
        back=_way_back(log, display),
    )
    return page, {**parts.whatif_json(what), "from": "log", **tuned.advice_json()}


def _advice(tuned: Tuned, display: Display) -> Advice:
    call, why = verdict_words(tuned, display)
    return Advice(call, why, tuple(expectation_words(tuned, display)))


def _whatif(tuned: Tuned, where: list[float], display: Display) -> WhatIf:
    advice = tuned.turn.advice
    move = advice.move.rest
    distances = np.array(where)
    cases = likely(cases_of_turn(tuned.question.tuner, tuned.turn, distances))
    reach = parts.reach(tuned.question.tuner.step, display, move)
    tables = tabulate(cases, reach, distances, parts.grain(display))
    stands = Setting(*reach.stands, 0.0)
    advised = Setting(parts.index_of(reach.right, move[0]), parts.index_of(reach.up, move[1]), 0.0)
    texts = parts.move_texts(tables, display)
    moves = advice.verdict == "move"
    return WhatIf(
        tables=tables,
        measure=parts.measure(display, parts.OF_95),
        distances=tuple(display.distance(one) for one in where),
        right=texts[0],
        up=texts[1],
        start=advised,
        presets=(
            *((("advised move", advised),) if moves else ()),
            ("rest unmoved", stands),
        ),
        wind_step=parts.wind_step(display),
        heading="What the next group should look like" + (" after this move" if moves else ""),
        measured=(
            "Measured from the center of the fletched group as the rest stands now, in still air, "
            "the sight untouched."
        ),
        around=(
            f"Ellipses hold the center of the next group of {NEXT_SHOTS} in about 95 of 100 "
            "cases, ± does so on one axis: what the log leaves open, and the shots' scatter"
        ),
        cases=parts.case_texts(cases, ""),
        seen=tuple(_seen(tuned, one, display) for one in where),
        changes=parts.changes(tables, display, texts),
    )


def _seen(tuned: Tuned, distance: float, display: Display) -> parts.Marks:
    """Both groups shot last where the rest stands now, from the fletched one's center."""
    for one in reversed(tuned.question.log.rounds.counting):
        if not is_same(one.setting, tuned.question.log.setting):
            continue
        for bare, fletched in _pairs(one):
            if abs(bare.distance - distance) < _SAME:
                apart = np.subtract(bare.center, fletched.center) / display.small_size
                return (("fletched", 0.0, 0.0), ("bare", float(apart[0]), float(apart[1])))
    return ()


def _pairs(one: Round) -> list[tuple[Group, Group]]:
    groups = one.seen(Group)
    return [
        (bare, fletched)
        for bare in groups
        if bare.arrow == "bare"
        for fletched in groups
        if fletched.arrow == "fletched" and fletched.distance == bare.distance
    ]


def _past(log: TuningLog, one: Round, date: str, tuned: Tuned, display: Display) -> PastRound:
    rest = ", ".join(sides(one.setting.rest, MOVE_SIDES, display.name))
    pairs = _pairs(one)
    paired = [group for pair in pairs for group in pair]
    seen = [] if one.undoes is None else [f"takes back round {one.undoes}"]
    for bare, fletched in pairs:
        apart = separation(bare, fletched, tuned.turn.spread)
        said = ", ".join(
            both_words(apart.difference / display.small_size, apart.half_width / display.small_size)
        )
        seen.append(f"bare − fletched at {display.distance(bare.distance)}: {said} {display.small}")
    seen += [o.words(display.name) for o in one.observations if o not in paired]
    counts = one.undoes is not None or one in log.rounds.counting
    where = rest or "where it was at the start"
    return PastRound(one.number, date, where, tuple(seen), one.note, counts)


def _way_back(log: TuningLog, display: Display) -> tuple[str, ...]:
    def move(to: BowSetting) -> str:
        right, up = log.setting.move_to(to).rest
        return ", ".join(sides((tidy(right), tidy(up)), MOVE_SIDES, display.name))

    start = move(AT_START)
    lines = [
        f"to where the rest was at the start: move it {start}"
        if start
        else "the rest stands where it was at the start"
    ]
    for before, after in reversed(list(pairwise(log.rounds.all))):
        last = move(before.setting)
        if last:
            if last != start:
                lines.append(f"to where it was before round {after.number}: move it {last}")
            break
    if not log.rounds.all:
        return tuple(lines)
    lines.append(
        f"`vireton record {log.path.name} --undo` takes the last round back; nothing is erased"
    )
    return tuple(lines)
