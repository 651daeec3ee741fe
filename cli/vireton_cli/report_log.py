"""The page of a tuning log."""

from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from vireton.bow.cautions import SHOOTING_BARE
from vireton.bow.setting import AT_START, BowSetting
from vireton.job import TuningLog, read_log
from vireton.report import cases_of_turn, tabulate
from vireton.report.cases import likely
from vireton.report.content import Advice, Page, PastRound, WhatIf
from vireton.report.from_log import NEXT_SHOTS
from vireton.report.shown import Setting
from vireton.report.wording import both_words
from vireton.tuning.groups import separation
from vireton.tuning.loop import fewest_shots, is_same
from vireton.tuning.observations import Group
from vireton.tuning.rounds import Round
from vireton.units.move_names import MOVE_SIDES, sides
from vireton.units.spelling import tidy
from vireton_cli import report_parts as parts
from vireton_cli.options import UnitChoice
from vireton_cli.shooting import say_if_first_run, warn
from vireton_cli.showing import Shown, system
from vireton_cli.tuning import (
    Tuned,
    advice_json,
    expectation_words,
    standing_words,
    tune_log,
    verdict_words,
)

_SAME = 0.5  # m: groups from distances this near stand on one face


def log_page(
    file: Path, where: list[float], tolerance: float, units: UnitChoice
) -> tuple[Page, dict[str, Any]]:
    """The page, and its JSON."""
    log = read_log(file)
    say_if_first_run()
    tuned = tune_log(log, tolerance)
    warn(tuned.cautions)
    shown = system(units)
    what = _whatif(tuned, where, units, shown)
    rig = tuned.tuner.shooter.rig
    page = Page(
        title=log.name or tuned.setup.name,
        facts=(standing_words(tuned, shown),),
        warnings=tuned.cautions,
        advice=_advice(tuned, shown),
        whatif=what,
        caution=SHOOTING_BARE,
        notes=rig.notes,
        history=tuple(
            _past(log, one, date, tuned, units, shown)
            for one, date in zip(log.rounds.all, log.dates, strict=True)
        ),
        back=_way_back(log, units),
    )
    return page, {**parts.whatif_json(what), "from": "log", **advice_json(tuned)}


def _advice(tuned: Tuned, shown: Shown) -> Advice:
    call, why = verdict_words(tuned, shown)
    advice = tuned.turn.advice
    if advice.verdict == "shoot_more":
        shot = fewest_shots(tuned.log.rounds.counting, tuned.log.setting)
        more = max(advice.shots_needed - shot, 1)
        call = f"{call}: shoot {more} more of each, bare and fletched"
    return Advice(call, why, tuple(expectation_words(tuned, shown)))


def _whatif(tuned: Tuned, where: list[float], units: UnitChoice, shown: Shown) -> WhatIf:
    advice = tuned.turn.advice
    move = advice.move.rest
    distances = np.array(where)
    cases = likely(cases_of_turn(tuned.tuner, tuned.turn, distances))
    reach = parts.reach(tuned.tuner.step, units, move)
    tables = tabulate(cases, reach, distances, parts.grain(shown))
    stands = Setting(*reach.stands, 0.0)
    advised = Setting(parts.index_of(reach.right, move[0]), parts.index_of(reach.up, move[1]), 0.0)
    texts = parts.move_texts(tables, units)
    moves = advice.verdict == "move"
    return WhatIf(
        tables=tables,
        measure=parts.measure(units, shown, parts.OF_95),
        distances=tuple(shown.distance(one) for one in where),
        right=texts[0],
        up=texts[1],
        start=advised,
        presets=(
            *((("advised move", advised),) if moves else ()),
            ("rest unmoved", stands),
        ),
        wind_step=parts.wind_step(units),
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
        seen=tuple(_seen(tuned, one, shown) for one in where),
        changes=parts.changes(tables, units, texts),
    )


def _seen(tuned: Tuned, distance: float, shown: Shown) -> parts.Marks:
    """Both groups shot last where the rest stands now, from the fletched one's center."""
    for one in reversed(tuned.log.rounds.counting):
        if not is_same(one.setting, tuned.log.setting):
            continue
        for bare, fletched in _pairs(one):
            if abs(bare.distance - distance) < _SAME:
                apart = np.subtract(bare.center, fletched.center) / shown.small_size
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


def _past(
    log: TuningLog, one: Round, date: str, tuned: Tuned, units: UnitChoice, shown: Shown
) -> PastRound:
    rest = ", ".join(sides(one.setting.rest, MOVE_SIDES, units.value))
    pairs = _pairs(one)
    paired = [group for pair in pairs for group in pair]
    seen = [] if one.undoes is None else [f"takes back round {one.undoes}"]
    for bare, fletched in pairs:
        apart = separation(bare, fletched, tuned.turn.spread)
        said = ", ".join(
            both_words(apart.difference / shown.small_size, apart.half_width / shown.small_size)
        )
        seen.append(f"bare − fletched at {shown.distance(bare.distance)}: {said} {shown.small}")
    seen += [o.words(units.value) for o in one.observations if o not in paired]
    counts = one.undoes is not None or one in log.rounds.counting
    where = rest or "where it was at the start"
    return PastRound(one.number, date, where, tuple(seen), one.note, counts)


def _way_back(log: TuningLog, units: UnitChoice) -> tuple[str, ...]:
    def move(to: BowSetting) -> str:
        right, up = log.setting.move_to(to).rest
        return ", ".join(sides((tidy(right), tidy(up)), MOVE_SIDES, units.value))

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
