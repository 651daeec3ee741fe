"""The page of a setup file alone: what the model expects, before any shot."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from vireton.answers import shot
from vireton.answers.arrow import arrow_facts, measured_words
from vireton.answers.kinds import DISTANCES
from vireton.answers.question import Progress, asked, in_silence
from vireton.answers.tune import TOLERANCE
from vireton.bow.cautions import SHOOTING_BARE
from vireton.report import parts
from vireton.report.cases import likely
from vireton.report.content import Advice, Page, WhatIf
from vireton.report.from_setup import cases_of_rig
from vireton.report.shown import Setting, spots
from vireton.report.tables import tabulate
from vireton.report.wording import both_words
from vireton.rig import Rig
from vireton.setup import Setup
from vireton.studies.rest_moves import talking_index
from vireton.units.display import LIKE_YOURS, Display


@dataclass(frozen=True)
class SetupPage(shot.OneBow):
    """What a page of a setup file is about."""

    setup: Setup = asked(*shot.SETUP)
    distances: tuple[float, ...] = asked(DISTANCES, "20,40,60 yd", "", metric="20,40,60 m")
    tolerance: float = asked(*TOLERANCE)


def setup_page(
    question: SetupPage, display: Display, progress: Progress = in_silence
) -> tuple[Page, dict[str, Any]]:
    """The page, and its JSON."""
    setup, rig, warnings = question.setup, question.rig, question.warnings
    where = question.distances
    what = _whatif(setup, rig, where, display, measured_words(rig, display), progress)
    page = Page(
        title=setup.name,
        facts=tuple(arrow_facts(rig, display)),
        warnings=warnings,
        advice=_advice(setup.path, what, display),
        whatif=what,
        caution=SHOOTING_BARE,
        notes=rig.notes,
    )
    return page, {**parts.whatif_json(what), "from": "setup", "warnings": list(warnings)}


def _advice(file: Path | None, what: WhatIf, display: Display) -> Advice:
    i = talking_index(what.tables.distances)
    at = what.distances[i]
    lines: tuple[str, ...] = ()
    if "apart" in what.tables.cases[0].spreads:
        spot = spots(what.tables, 0, "apart", what.start, what.measure)[i]
        said = ", ".join(both_words(spot.place, what.measure.interval * spot.sd))
        lines = (
            f"the model's bare shaft at {at}, as the file has it: {said} "
            f"{display.small} of the fletched",
        )
    return Advice(
        f"CANNOT TELL YET: shoot 3 bare and 3 fletched at {at}",
        "A setup file says what a rest move does, not how this bow shoots. Which way a sideways "
        "move sends the nose is open until the bow has shown it",
        (
            *lines,
            f"Then record them with `vireton record my_log.toml --setup "
            f"{file.name if file else 'FILE'}` and make a page of that job",
        ),
    )


def _whatif(
    setup: Setup,
    rig: Rig,
    where: Sequence[float],
    display: Display,
    measured: str,
    progress: Progress,
) -> WhatIf:
    distances = np.array(where)
    cases = likely(cases_of_rig(rig, setup.uncertainty, distances))
    reach = parts.reach(setup.rest_step, display)
    tables = tabulate(cases, reach, distances, parts.grain(display), progress=progress)
    measure = parts.measure(display, parts.OF_90)
    start = Setting(*reach.stands, _start_wind(rig, reach.wind, measure.wind_size, display))
    texts = parts.move_texts(tables, display)
    along = rig.conditions.wind.towards_x
    blowing = (
        f" {abs(along) / measure.wind_size:.1f} {measure.wind} of "
        f"{'tail' if along > 0 else 'head'} wind blow all the while."
        if abs(along) > 0.05
        else ""
    )
    return WhatIf(
        tables=tables,
        measure=measure,
        distances=tuple(display.distance(one) for one in where),
        right=texts[0],
        up=texts[1],
        start=start,
        presets=(("Reset", start),),
        wind_step=parts.wind_step(display),
        heading="Where arrows land, by the model",
        measured=f"{measured[0].upper()}{measured[1:]}.{blowing}",
        around=(
            f"Ellipses hold {LIKE_YOURS}, ± does so on one axis; your own shot scatter comes on top"
        ),
        cases=parts.case_texts(cases, ", the launch model says"),
        seen=tuple(() for _ in where),
        changes=parts.changes(tables, display, texts),
    )


def _start_wind(rig: Rig, winds: np.ndarray, size: float, display: Display) -> float:
    """The file's crosswind, on the nearest place of the slider."""
    step = parts.wind_step(display) * size
    crosswind = round(rig.conditions.wind.towards_right / step) * step
    return float(np.clip(crosswind, winds[0], winds[-1])) + 0.0
