"""The page of a tuning log."""

from typing import Any

import numpy as np

from vireton.answers.question import Progress, in_silence
from vireton.answers.tune import Tune, Tuned
from vireton.answers.tune_words import outlook_words, standing_words, verdict_words
from vireton.answers.walkback import verdict_of
from vireton.bow.cautions import SHOOTING_BARE
from vireton.report import parts
from vireton.report.cases import likely
from vireton.report.content import Advice, Page, WhatIf
from vireton.report.from_log import NEXT_SHOTS, cases_of_turn
from vireton.report.log_history import intake_facts, pairs_of, past_rounds, ways_back
from vireton.report.shown import Setting
from vireton.report.tables import tabulate
from vireton.tuning.loop import is_same
from vireton.tuning.segments import that_count
from vireton.units.display import Display

_SAME = 0.5  # m: groups from distances this near stand on one face


def log_page(
    question: Tune, display: Display, progress: Progress = in_silence
) -> tuple[Page, dict[str, Any]]:
    """The page, and its JSON."""
    tuned = question.answer()
    where = sorted(set(question.distances))
    log = question.log
    what = _whatif(tuned, where, display, progress)
    rig = question.rig
    page = Page(
        title=log.name or question.setup.name,
        facts=(*intake_facts(log), standing_words(tuned, display)),
        warnings=tuned.warnings,
        advice=_advice(tuned, display),
        whatif=what,
        caution=SHOOTING_BARE,
        notes=rig.notes,
        history=past_rounds(log, tuned, display),
        back=ways_back(log, display),
    )
    return page, {**parts.whatif_json(what), "from": "log", **tuned.advice_json()}


def _advice(tuned: Tuned, display: Display) -> Advice:
    call, why = verdict_words(tuned, display)
    walked = verdict_of(tuned.question.log, display)
    return Advice(call, why, (*outlook_words(tuned, display), *([walked] if walked else [])))


def _whatif(tuned: Tuned, where: list[float], display: Display, progress: Progress) -> WhatIf:
    advice = tuned.turn.advice
    move = advice.move.rest
    distances = np.array(where)
    cases = likely(cases_of_turn(tuned.turn, distances))
    reach = parts.reach(tuned.question.tuner.step, display, move)
    tables = tabulate(cases, reach, distances, parts.grain(display), progress=progress)
    stands = Setting(*reach.stands, 0.0)
    advised = Setting(parts.index_of(reach.right, move[0]), parts.index_of(reach.up, move[1]), 0.0)
    texts = parts.move_texts(tables, display)
    moves = advice.verdict == "move"
    after = {"move": " after this move", "cure": " once that is cured"}.get(advice.verdict, "")
    return WhatIf(
        tables=tables,
        measure=parts.measure(display, parts.OF_95),
        distances=tuple(display.distance(one) for one in where),
        right=texts[0],
        up=texts[1],
        start=advised,
        presets=(
            *((("Reset to the advised move", advised),) if moves else ()),
            ("Reset to no move" if moves else "Reset", stands),
        ),
        wind_step=parts.wind_step(display),
        heading=f"What the next group should look like{after}",
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
    """Both groups shot last with the bow as it is now, from the fletched one's center."""
    for one in reversed(that_count(tuned.question.log.rounds.counting)):
        here = pairs_of(one) if is_same(one.setting, tuned.question.log.setting) else []
        for bare, fletched in here:
            if abs(bare.distance - distance) < _SAME:
                apart = np.subtract(bare.center, fletched.center) / display.small_size
                return (("fletched", 0.0, 0.0), ("bare", float(apart[0]), float(apart[1])))
        if any(change.what != "sight" for change in one.changes):
            break
    return ()
