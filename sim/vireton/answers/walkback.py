"""``walkback``: which cause explains the walk-back points of a log."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from vireton.answers.answer import Answer
from vireton.answers.logged import LOG, OneLog
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.table import Column, Grid, Lines, Part, record, shares
from vireton.units.display import DEGREES, FAR, MILLIRADIANS, SMALL, TURNING, WIND, Display, Unit
from vireton.units.numbers import percent

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.job import TuningLog
    from vireton.tuning.observations import WalkbackPoint
    from vireton.tuning.spread import Spread
    from vireton.tuning.walkback import WalkbackCauses
    from vireton.units.text import UnitSystem

#: What each cause's size is told in. Right is positive: sight, top of the bow, where the wind blows
#: to, nose; with the decimals shown and the words behind the unit.
_SIZES: dict[str, tuple[Unit, int, str]] = {
    "windage": (MILLIRADIANS, 1, ""),
    "cant": (DEGREES, 1, ""),
    "wind": (WIND, 0, " to the right"),
    "yaw_rate": (TURNING, 2, ""),
}


@dataclass(frozen=True)
class WalkBack(OneLog):
    """Weigh sight windage, cant, wind, yaw rate and scatter against the walk-back points.

    Windage grows with distance, cant with the drop, wind with the arrow's lag; a small yaw of a
    fletched arrow hides behind the others, which is why a bare shaft tells it and walk-back cannot.

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
    def points(self) -> "list[WalkbackPoint]":
        """Those of the log. Raises InputProblem where they are from fewer than two distances."""
        from vireton.tuning.observations import WalkbackPoint
        from vireton.tuning.rounds import all_seen
        from vireton.units.problems import InputProblem, named

        found = list(all_seen(self.log.rounds.counting, WalkbackPoint))
        apart = len({point.distance for point in found})
        if apart < 2:
            raise InputProblem(
                f"{named(self.log.path)}: walk-back needs points at two distances or more, it has "
                f'{apart}. Add them with vireton record LOG --walkback "20yd 0.1in, 40yd 0.4in"'
            )
        return found

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """Those of every bow; a log without points is refused before anything is compiled."""
        return super().warnings if self.points else ()

    def answer(self, progress: Progress = in_silence) -> "Walkback":
        """Weigh the causes."""
        from vireton.tuning.observations import Group
        from vireton.tuning.rounds import all_seen
        from vireton.tuning.spread import pooled_spread
        from vireton.tuning.walkback import weigh_causes

        spread = pooled_spread(all_seen(self.log.rounds.counting, Group))
        return Walkback(self, weigh_causes(self.rig, self.points, spread.sd), spread)


@dataclass(frozen=True, repr=False)
class Walkback(Answer[WalkBack]):
    """What :class:`WalkBack` found: ``weighed``, in SI, and the ``spread`` of one arrow."""

    weighed: "WalkbackCauses"
    spread: "Spread"

    columns = (
        Column("distance", FAR, "at", with_unit=True),
        Column("right", SMALL, "right", "of the plumb line, as seen"),
    )
    head = (
        Column("verdict", words="the cause that is sure enough, or cannot_tell"),
        Column("words"),
        Column("probabilities", words="of each cause; they add up to 1"),
    )
    rows_key = "points"
    #: The size and its standard deviation of each cause, by its name.
    sizes = {
        name: (Column("value", unit), Column("sd", unit)) for name, (unit, _, _) in _SIZES.items()
    }

    inner = {f"sizes.{name}": columns for name, columns in sizes.items()}

    def __repr__(self) -> str:
        return f"<Walkback of {self.question.rig.bow.name}: {self.weighed.verdict}>"

    def facts(self) -> dict[str, Any]:
        """What is told once."""
        found = self.weighed
        return {
            "verdict": found.verdict,
            "words": found.words,
            "probabilities": shares(found.probabilities),
        }

    def values(self) -> Iterator[dict[str, Any]]:
        """The points."""
        for distance, right in zip(self.weighed.distances, self.weighed.seen, strict=True):
            yield {"distance": distance, "right": right}

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row a point, what was seen and the line of each cause, in inches."""
        lines = {name: Column(name, SMALL) for name in self.weighed.curves}
        return [
            record(
                (*self.columns, *lines.values()),
                row | {name: line[i] for name, line in self.weighed.curves.items()},
            )
            for i, row in enumerate(self.values())
        ]

    def body(self) -> dict[str, Any]:
        """How large each cause would be."""
        return {
            "sizes": {
                name: record(self.sizes[name], {"value": value, "sd": sd})
                for name, (value, sd) in self.weighed.sizes.items()
            }
        }

    def page(self, display: Display) -> list[Part]:
        """The verdict, and the line of each cause beside what was seen."""
        from vireton.bow.cautions import SHOOTING, SHOOTING_BARE

        found = self.weighed
        closing = SHOOTING_BARE if found.verdict == "yaw_rate" else SHOOTING
        return [
            Lines((f"walk-back: {found.words}",)),
            self._table(display),
            Lines((closing,)),
        ]

    def _table(self, display: Display) -> Grid:
        from vireton.tuning.walkback import CAUSES

        found, size = self.weighed, display.small_size
        rows = []
        for name in sorted(found.probabilities, key=lambda one: -found.probabilities[one]):
            line = found.curves.get(name)
            cells = [""] * found.distances.size
            if line is not None:
                cells = [f"{float(x) / size:+.1f}" for x in line]
            share = percent(found.probabilities[name])
            rows.append((CAUSES[name], share, self._size(name), *cells))
        seen = (f"{float(x) / size:+.1f}" for x in found.seen)
        rows.append((f"seen, {display.small} right", "", "", *seen))
        heads = ("cause", "probability", "if it is that one")
        where = tuple(display.distance(float(one)) for one in found.distances)
        return Grid("", (*heads, *where), tuple(rows), frozenset({0}))

    def _size(self, name: str) -> str:
        if name not in self.weighed.sizes:
            return ""
        (unit, digits, behind), (value, sd) = _SIZES[name], self.weighed.sizes[name]
        named, size = unit.us
        return f"{value / size:+.{digits}f} ± {sd / size:.{digits}f} {named}{behind}"

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """The points and the line of each cause, with its probability."""
        from vireton.plots.walkback import walkback_figure
        from vireton.tuning.walkback import CAUSES

        found = self.weighed
        return walkback_figure(
            found.distances,
            found.seen,
            self.spread.sd * found.distances,
            {
                f"{CAUSES[name]}, {percent(found.probabilities[name])}": line
                for name, line in found.curves.items()
            },
            system=units,
            title=f"Walk-back: {found.words}",
        )


read_walkback = function_of(WalkBack, Walkback)
