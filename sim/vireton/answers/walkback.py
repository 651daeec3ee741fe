"""``walkback``: which cause explains the walk-back points of a log."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import compress
from typing import TYPE_CHECKING, Any

from vireton.answers.answer import Answer
from vireton.answers.logged import LOG, OneLog
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.table import Column, Grid, Lines, Part, json_row, shares
from vireton.answers.walkback_words import (
    CAUSES,
    advice_words,
    next_words,
    said,
    verdict_line,
)
from vireton.units.display import (
    DEGREES,
    FAR,
    MILLIRADIANS,
    SMALL,
    TURNING,
    US,
    WIND,
    Display,
    Unit,
    plain,
)
from vireton.units.numbers import percent

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.bow.setting import BowSetting
    from vireton.job import TuningLog
    from vireton.tuning.belief import Belief
    from vireton.tuning.observations import WalkbackPoint
    from vireton.tuning.walkback import WalkbackCauses
    from vireton.units.text import UnitSystem

#: What each cause's size is told in. Right is positive: sight, top of the bow, where the wind blows
#: to, nose; with the decimals shown.
_SIZES: dict[str, tuple[Unit, int]] = {
    "windage": (MILLIRADIANS, 1),
    "cant": (DEGREES, 1),
    "wind": (WIND, 0),
    "yaw_rate": (TURNING, 2),
}


@dataclass(frozen=True)
class WalkBack(OneLog):
    """Weigh sight or center shot, cant, wind and launch against the walk-back points.

    All points are shot with one pin and one sight setting. Straight means nothing to correct beyond
    what the shots' scatter can hide. Sight, center shot, cant and launch draw nearly the same line;
    the answer says which shot would tell them apart, and what the rest of the log knows counts.

    >>> import vireton
    >>> found = vireton.read_walkback("examples/mill_log.toml")
    >>> round(sum(found.weighed.probabilities.values()), 6)
    1.0
    """

    command = "walkback"
    function = "read_walkback"
    example = "vireton walkback examples/mill_log.toml"

    log: "TuningLog" = asked(*LOG)

    @cached_property
    def setting(self) -> "BowSetting | None":
        """How the bow was set at the last walk-back; None without one."""
        from vireton.tuning.observations import WalkbackPoint

        with_points = [one for one in self.log.rounds.counting if one.seen(WalkbackPoint)]
        return with_points[-1].setting if with_points else None

    @cached_property
    def points(self) -> "list[WalkbackPoint]":
        """Those of the log at :attr:`setting`; a walk-back before a move was of another bow.

        Raises InputProblem where they are from fewer than two distances.
        """
        from vireton.tuning.loop import is_same
        from vireton.tuning.observations import WalkbackPoint
        from vireton.tuning.rounds import all_seen
        from vireton.units.problems import InputProblem, named

        setting = self.setting
        counting = self.log.rounds.counting
        here = [one for one in counting if setting and is_same(one.setting, setting)]
        found = list(all_seen(here, WalkbackPoint))
        apart = len({point.distance for point in found})
        if apart < 2:
            raise InputProblem(
                f"{named(self.log.path)}: walk-back needs points at two distances or more with the "
                f"rest in one place, it has {apart}. Add them with vireton record JOB --walkback "
                '"20yd 0.1in, 40yd 0.4in"'
            )
        return found

    @cached_property
    def left_out(self) -> int:
        """Points of the log that were shot with the rest elsewhere."""
        from vireton.tuning.observations import WalkbackPoint
        from vireton.tuning.rounds import all_seen

        return len(all_seen(self.log.rounds.counting, WalkbackPoint)) - len(self.points)

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """Those of every bow; a log without points is refused before anything is compiled."""
        return super().warnings if self.points else ()

    @cached_property
    def launch(self) -> "Belief | None":
        """What tears and groups say of the launch at :attr:`setting`; None without any."""
        from vireton.answers.tune import Tune

        counting = self.log.rounds.counting
        if not any(one.speaks_of for each in counting for one in each.observations):
            return None
        return Tune.read({"log": self.log}).tuner.turn(counting, self.setting).belief

    def answer(self, progress: Progress = in_silence) -> "Walkback":
        """Weigh the causes."""
        from vireton.tuning.observations import Group
        from vireton.tuning.rounds import all_seen
        from vireton.tuning.walkback import walkback_spread, weigh_causes

        spread = walkback_spread(all_seen(self.log.rounds.counting, Group), self.points)
        return Walkback(self, weigh_causes(self.rig, self.points, spread, self.launch))


@dataclass(frozen=True, repr=False)
class Walkback(Answer[WalkBack]):
    """What :class:`WalkBack` found: ``weighed``, in SI."""

    weighed: "WalkbackCauses"

    columns = (
        Column("distance", FAR, "at", with_unit=True),
        Column("right", SMALL, "right", "of the plumb line, as seen"),
        Column("count", title="arrows", words="that the point is of"),
        Column("spread", SMALL, "spread", "of one of them sideways, null where it is not known"),
    )
    head = (
        Column(
            "verdict",
            words="nothing (straight), windage (sight or center shot), cant, wind, yaw_rate "
            "(launch) or two of them; cannot_tell; none_fits",
        ),
        Column("words", words="the verdict and what to do, in sentences"),
        Column(
            "probabilities",
            words="of straight, of each cause alone and of two or more of them; they add up to 1",
        ),
        Column(
            "half_width_60yd",
            SMALL,
            words="95 %: the true line is within this of the line of "
            "the verdict at 60 yd, of the plumb line where that is straight",
        ),
        Column("next_shot", words="the shot that would tell most, null where none tells anything"),
    )
    rows_key = "points"
    #: The size and its standard deviation of each cause, by its name.
    sizes = {
        name: (Column("value", unit), Column("sd", unit)) for name, (unit, _) in _SIZES.items()
    }

    inner = {f"sizes.{name}": columns for name, columns in sizes.items()}

    def __repr__(self) -> str:
        return f"<Walkback of {self.question.rig.bow.name}: {self.weighed.verdict}>"

    def line(self, display: Display = US) -> str:
        """The verdict in one sentence, for a page or a card."""
        return verdict_line(self.weighed, display)

    def facts(self) -> dict[str, Any]:
        """What is told once."""
        found = self.weighed
        return {
            "verdict": found.verdict,
            "words": ". ".join((said(found, US), *advice_words(found, US))),
            "probabilities": shares(found.probabilities),
            "half_width_60yd": found.half_width_far,
            "next_shot": next_words(found, US) or None,
        }

    def values(self) -> Iterator[dict[str, Any]]:
        """The points."""
        for one in self.weighed.points:
            yield {
                "distance": one.distance,
                "right": one.right,
                "count": one.count,
                "spread": one.spread,
            }

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row a point, what was seen and the line of each cause, in inches."""
        lines = {name: Column(name, SMALL) for name in self.weighed.curves}
        return [
            json_row(
                (*self.columns, *lines.values()),
                row | {name: line[i] for name, line in self.weighed.curves.items()},
            )
            for i, row in enumerate(self.values())
        ]

    def body(self) -> dict[str, Any]:
        """How large each cause would be."""
        return {
            "sizes": {
                name: json_row(self.sizes[name], {"value": value, "sd": sd})
                for name, (value, sd) in self.weighed.sizes.items()
            }
        }

    def page(self, display: Display) -> list[Part]:
        """The verdict, what to do, and the line of each cause beside what was seen."""
        from vireton.bow.cautions import SHOOTING, SHOOTING_BARE

        found = self.weighed
        told = found.next.shot.kind if found.next else ""
        closing = SHOOTING_BARE if "bare" in told or found.verdict == "yaw_rate" else SHOOTING
        lines = [f"{one}." for one in (self.line(display), *advice_words(found, display))]
        if self.question.left_out:
            count = self.question.left_out
            lines.append(
                f"{count} point{'s' * (count > 1)} from before the rest was moved "
                f"{'do' if count > 1 else 'does'} not count."
            )
        safety = [Lines((closing,))] if self.question.log.is_new else []
        return [Lines(tuple(lines)), self._table(display), *safety]

    def _table(self, display: Display) -> Grid:
        """Odds, size and line of each cause; what was seen at each distance, all together."""
        import numpy as np

        found, size = self.weighed, display.small_size
        away, first = np.unique(found.distances, return_index=True)
        rows = []
        for name in sorted(found.probabilities, key=lambda one: -found.probabilities[one]):
            line = found.curves.get(name)
            cells = [""] * away.size
            if line is not None:
                cells = [plain(float(x) / size, 1) for x in line[first]]
            share = percent(found.probabilities[name])
            rows.append((CAUSES[name], share, self._size(name), *cells))
        middles = [
            np.average(found.seen[own], weights=[one.count for one in compress(found.points, own)])
            for own in (found.distances == far for far in away)
        ]
        seen = (plain(float(x) / size, 1) for x in middles)
        rows.append((f"seen, {display.small} right", "", "", *seen))
        heads = ("cause", "odds", "size, right +")
        where = tuple(f"{one / display.far_size:.3g} {display.far}" for one in away)
        return Grid("", (*heads, *where), tuple(rows), frozenset({0}))

    def _size(self, name: str) -> str:
        if name not in self.weighed.sizes:
            return ""
        (unit, digits), (value, sd) = _SIZES[name], self.weighed.sizes[name]
        named, size = unit.us
        return f"{plain(value / size, digits)} ± {sd / size:.{digits}f} {named}"

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """The points as the target shows them, the plumb line, and the line of the verdict."""
        import numpy as np

        from vireton.plots.walkback import Walked, walkback_figure
        from vireton.tuning.walkback_lines import drops
        from vireton.units.display import display

        found = self.weighed
        away = found.distances
        fine = np.linspace(away[0], away[-1], 40)
        line, band = (np.interp(fine, away, values) for values in (found.line, found.band))
        name = CAUSES.get(found.verdict, "what fits best")
        share = found.probabilities.get(found.verdict)
        return walkback_figure(
            Walked(away, found.seen, found.drops, found.errors),
            Walked(fine, line, drops(self.question.rig, fine), band),
            name if share is None else f"{name}, {percent(share)}",
            system=units,
            title=self.line(display(units)),
        )


read_walkback = function_of(WalkBack, Walkback)


def verdict_of(log: "TuningLog", display: Display) -> str:
    """What the walk-back of a job says, in one sentence; empty where it has none."""
    from vireton.tuning.observations import WalkbackPoint
    from vireton.units.problems import InputProblem

    if not any(one.seen(WalkbackPoint) for one in log.rounds.counting):
        return ""
    try:
        return WalkBack.read({"log": log}).answer().line(display)
    except InputProblem:
        return ""  # one distance says nothing yet
