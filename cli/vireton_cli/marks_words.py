"""What ``vireton marks`` shows: the table, what the marks tell, JSON."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from vireton.bow.cautions import SHOOTING, cautions
from vireton.rig import Rig
from vireton.studies.mark_fit import (
    Elevations,
    Known,
    MarkFit,
    MarkPrior,
    Marks,
    ShotMark,
    marks_at,
)
from vireton_cli.bar import Bar
from vireton_cli.heading import arrow_facts
from vireton_cli.options import UnitChoice
from vireton_cli.showing import INCH, YARD, Shown, digits_for, number, system
from vireton_cli.tables import console, make_table, say

#: A number still this share as wide as before was not told by the marks (our choice).
_UNTOLD = 0.85


@dataclass(frozen=True)
class Check:
    """A mark kept out of the fit: what was shot, what is expected, and the 95 % of a new one."""

    shot: ShotMark
    expected: float
    low: float
    high: float

    @property
    def fits(self) -> bool:
        """Whether it lies within that interval."""
        return self.low <= self.shot.mark <= self.high


@dataclass(frozen=True)
class MarkAnswer:
    """All that is shown. ``zero`` m is where the marks start without a shot-in one."""

    rig: Rig
    bar: Bar
    shots: list[ShotMark]
    zero: float
    prior: MarkPrior
    fit: MarkFit
    marks: Marks
    checks: list[Check]
    drag_coefficient: float


def check_marks(
    elevations: Elevations, kept: Sequence[ShotMark], fit: MarkFit, prior: MarkPrior
) -> list[Check]:
    """Kept-out marks against the fit; a new mark has its reading and aiming error on top."""
    if not kept:
        return []
    found = marks_at(elevations, np.array([one.distance for one in kept]), fit, prior)
    own = 1.96 * math.hypot(prior.reading, prior.nominal.radius * prior.aiming)
    checks = []
    for shot, value, high in zip(kept, found.mark, found.high, strict=True):
        half = math.hypot(float(high - value), own)
        checks.append(Check(shot, float(value), float(value) - half, float(value) + half))
    return checks


def print_marks(answer: MarkAnswer, units: UnitChoice) -> None:
    """The table with the words around it."""
    shown, bar, marks = system(units), answer.bar, answer.marks
    out = console()
    way = "falls" if bar.sign < 0.0 else "rises"
    say(
        out,
        [
            *arrow_facts(answer.rig, shown),
            f"marks in {bar.word} on the bar; the number {way} as the pin goes down, and a lower "
            "pin is for farther",
            _from_where(answer, shown),
            "in brackets: 95 % for where the pin belongs, if the arrow is the one of the file",
            *answer.rig.notes,
        ],
    )
    table = make_table("", ["at", f"mark, {bar.unit}", f"from the one above, {bar.unit}"])
    for i, distance in enumerate(marks.distance):
        gap = ""
        if i > 0:
            ends = (marks.gap[i - 1], marks.gap_low[i - 1], marks.gap_high[i - 1])
            gap = bar.shown(*map(float, ends))
        mark = bar.shown(float(marks.mark[i]), float(marks.low[i]), float(marks.high[i]))
        table.add_row(shown.distance(float(distance)), mark, gap)
    out.print(table)
    say(out, [*_told(answer, shown), *_misfit(answer, shown), *_checked(answer, shown), SHOOTING])


def _from_where(answer: MarkAnswer, shown: Shown) -> str:
    if not answer.shots:
        at = shown.distance(answer.zero)
        return (
            f"no mark is shot in: they are counted from the one for {at}, by the setup file alone"
        )
    at = ", ".join(shown.distance(one.distance) for one in answer.shots)
    return f"shot in at {at}"


def _known(one: Known, size: float, unit: str) -> str:
    low, high = (end / size for end in one.interval)
    digits = digits_for(high - low)
    return f"{one.value / size:.{digits}f}{unit} ({low:.{digits}f} to {high:.{digits}f})"


def _told(answer: MarkAnswer, shown: Shown) -> list[str]:
    """What the marks say of speed and drag, and what they cannot."""
    fit = answer.fit
    if not answer.shots:
        return ["shoot in two marks, one near and one far, and give them with --shot"]
    if fit.error_inflation > 1.0:
        return []
    speed, drag = fit.speed, fit.drag
    low, high = (answer.drag_coefficient * max(end, 0.0) / drag.value for end in drag.interval)
    lines = [
        f"speed {_known(speed, shown.speed_size, f' {shown.speed}')}; drag "
        f"{_known(drag, 0.01, ' % of the model')}, a drag coefficient of "
        f"{answer.drag_coefficient:.1f} ({low:.1f} to {high:.1f}) on the shaft's cross-section"
    ]
    untold = [
        name for name, one in (("speed", speed), ("drag", drag)) if one.sd > _UNTOLD * one.sd_before
    ]
    if untold:
        lines.append(
            f"the marks say little of the {' and the '.join(untold)}: that is the setup "
            "file's own band, and marks away from the shot-in ones rest on it"
        )
    if len({one.distance for one in answer.shots}) < 2:
        lines.append(
            "marks of one distance cannot tell speed from drag: shoot in a second one, far out"
        )
    elif abs(fit.correlation) > 0.6:
        lines.append(
            "speed and drag are known together better than each alone: a faster arrow with more "
            "drag would give nearly the same marks"
        )
    return lines


def _misfit(answer: MarkAnswer, shown: Shown) -> list[str]:
    fit = answer.fit
    if fit.error_inflation <= 1.0:
        return []
    worst = int(np.argmax(np.abs(fit.residuals)))
    off = float(fit.residuals[worst])
    return [
        "THESE MARKS DO NOT FIT this arrow and this sight: less than one chance in a hundred. A "
        "wrong mark, a peep that moved, a wrong radius or speed? Farthest off is "
        f"{shown.distance(answer.shots[worst].distance)}, by {answer.bar.plain(abs(off))} "
        f"{'low' if off > 0.0 else 'high'} on the bar. All bands are "
        f"{fit.error_inflation:.1f} times as wide for it"
    ]


def _checked(answer: MarkAnswer, shown: Shown) -> list[str]:
    bar = answer.bar
    return [
        f"check at {shown.distance(one.shot.distance)}: shot in at "
        f"{bar.plain(bar.sign * one.shot.mark)}, expected "
        f"{bar.shown(one.expected, one.low, one.high)}: "
        + ("fits" if one.fits else "DOES NOT FIT: do not trust the table there")
        for one in answer.checks
    ]


def mark_json(answer: MarkAnswer) -> dict[str, object]:
    """The JSON of the command; marks in inches whatever the bar is read in."""
    fit, marks, sign = answer.fit, answer.marks, answer.bar.sign

    def interval(low: float, high: float, size: float) -> list[float]:
        return sorted((number(low / size) or 0.0, number(high / size) or 0.0))

    def known(name: str, one: Known, size: float) -> dict[str, Any]:
        return {
            name: number(one.value / size),
            f"{name}_interval_95": interval(*one.interval, size),
            f"{name}_sd_of_the_setup": number(one.sd_before / size),
        }

    rows = []
    for i, distance in enumerate(marks.distance):
        row: dict[str, Any] = {
            "distance_yd": number(distance / YARD),
            "mark_in": number(sign * marks.mark[i] / INCH),
            "mark_in_interval_95": interval(sign * marks.low[i], sign * marks.high[i], INCH),
        }
        if i > 0:
            row["gap_in"] = number(sign * marks.gap[i - 1] / INCH)
            ends = (sign * marks.gap_low[i - 1], sign * marks.gap_high[i - 1])
            row["gap_in_interval_95"] = interval(*ends, INCH)
        rows.append(row)
    return {
        "schema": 1,
        "warnings": list(cautions(answer.rig.bow, answer.rig.fletched)),
        "notes": list(answer.rig.notes),
        "number_rises_as_the_pin_goes_down": sign > 0.0,
        "marks": rows,
        **known("radius_in", fit.radius, INCH),
        **known("speed_fps", fit.speed, 0.3048),
        **known("drag_percent_of_model", fit.drag, 0.01),
        "drag_coefficient": number(answer.drag_coefficient),
        "speed_drag_correlation": number(fit.correlation),
        "misfit_probability": number(fit.misfit),
        "bands_widened_by": number(fit.error_inflation),
        "shots": [
            {
                "distance_yd": number(one.distance / YARD),
                "mark_in": number(sign * one.mark / INCH),
                "off_in": number(sign * float(off) / INCH),
            }
            for one, off in zip(answer.shots, fit.residuals, strict=False)
        ],
        "checks": [
            {
                "distance_yd": number(one.shot.distance / YARD),
                "mark_in": number(sign * one.shot.mark / INCH),
                "expected_in": number(sign * one.expected / INCH),
                "expected_in_interval_95": interval(sign * one.low, sign * one.high, INCH),
                "fits": one.fits,
            }
            for one in answer.checks
        ],
    }


def draw_marks(answer: MarkAnswer, curve: Marks, units: UnitChoice, file: Path) -> None:
    """The picture: a strip of the bar in true size, and the marks along a fine ``curve``."""
    from vireton.plots import save
    from vireton.plots.marks import MarkCurve, marks_figure

    sign = answer.bar.sign
    ends = (sign * curve.low, sign * curve.high)
    figure = marks_figure(
        answer.marks.distance,
        sign * answer.marks.mark,
        MarkCurve(curve.distance, sign * curve.mark, np.minimum(*ends), np.maximum(*ends)),
        shots=[(one.distance, sign * one.mark) for one in answer.shots],
        downwards=sign > 0.0,
        system=units.value,
        title=f"{answer.rig.bow.name}, {answer.rig.fletched.parts.name}: sight marks",
    )
    save(figure, file)
