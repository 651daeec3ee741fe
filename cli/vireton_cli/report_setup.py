"""The page of a setup file alone: what the model expects, before any shot."""

from pathlib import Path
from typing import Any

import numpy as np

from vireton.bow.cautions import SHOOTING_BARE, cautions
from vireton.report import cases_of_rig, tabulate
from vireton.report.cases import likely
from vireton.report.content import Advice, Page, WhatIf
from vireton.report.from_setup import DRAWS
from vireton.report.shown import Setting, spots
from vireton.report.wording import both_words
from vireton.rig import Rig
from vireton.setup import Setup
from vireton_cli import report_parts as parts
from vireton_cli.heading import heading
from vireton_cli.options import UnitChoice
from vireton_cli.shooting import ShotOptions, load_rig
from vireton_cli.showing import Shown, system
from vireton_cli.words import talking_index


def setup_page(file: Path, where: list[float], units: UnitChoice) -> tuple[Page, dict[str, Any]]:
    """The page, and its JSON."""
    setup, rig = load_rig(file, ShotOptions())
    shown = system(units)
    facts = heading(rig, shown, DRAWS)
    what = _whatif(setup, rig, where, units, shown, facts[2])
    warnings = cautions(rig.bow, rig.fletched, rig.bare)
    page = Page(
        title=setup.name,
        facts=tuple(facts[:2]),
        warnings=warnings,
        advice=_advice(file, what, shown),
        whatif=what,
        caution=SHOOTING_BARE,
        notes=rig.notes,
    )
    return page, {**parts.whatif_json(what), "from": "setup", "warnings": list(warnings)}


def _advice(file: Path, what: WhatIf, shown: Shown) -> Advice:
    i = talking_index(what.tables.distances)
    at = what.distances[i]
    lines: tuple[str, ...] = ()
    if "apart" in what.tables.cases[0].spreads:
        spot = spots(what.tables, 0, "apart", what.start, what.measure)[i]
        said = ", ".join(both_words(spot.place, what.measure.interval * spot.sd))
        lines = (
            f"the model's bare shaft at {at}, as the file has it: {said} "
            f"{shown.small} of the fletched",
        )
    return Advice(
        f"CANNOT TELL YET: shoot 3 bare and 3 fletched at {at}",
        "a setup file says what a rest move does, not how this bow shoots. Which way a sideways "
        "move sends the nose is open until the bow has shown it",
        (*lines, f"then `vireton record my_log.toml --setup {file.name} …` and a page of that log"),
    )


def _whatif(
    setup: Setup, rig: Rig, where: list[float], units: UnitChoice, shown: Shown, measured: str
) -> WhatIf:
    distances = np.array(where)
    cases = likely(cases_of_rig(rig, setup.uncertainty, distances))
    reach = parts.reach(setup.rest_step, units)
    tables = tabulate(cases, reach, distances, parts.grain(shown))
    measure = parts.measure(units, shown, parts.OF_90)
    start = Setting(*reach.stands, _start_wind(rig, reach.wind, measure.wind_size, units))
    texts = parts.move_texts(tables, units)
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
        distances=tuple(shown.distance(one) for one in where),
        right=texts[0],
        up=texts[1],
        start=start,
        presets=(("as in the file", start),),
        wind_step=parts.wind_step(units),
        heading="Where arrows land, by the model",
        measured=f"{measured[0].upper()}{measured[1:]}.{blowing}",
        around=(
            f"Ellipses hold about nine of ten of {DRAWS} plausible bows (see [uncertainty] in "
            "the setup file), ± does so on one axis; shot scatter comes on top"
        ),
        cases=parts.case_texts(cases, ", the launch model says"),
        seen=tuple(() for _ in where),
        changes=parts.changes(tables, units, texts),
    )


def _start_wind(rig: Rig, winds: np.ndarray, size: float, units: UnitChoice) -> float:
    """The file's crosswind, on the nearest place of the slider."""
    step = parts.wind_step(units) * size
    crosswind = round(rig.conditions.wind.towards_right / step) * step
    return float(np.clip(crosswind, winds[0], winds[-1])) + 0.0
