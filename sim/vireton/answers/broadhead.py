"""``broadhead``: where a broadhead goes when the sight is set with the field point."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from vireton.answers import shot
from vireton.answers.answer import Answer
from vireton.answers.arrow import arrow_json, broadhead_facts, broadhead_json, heading
from vireton.answers.bands import SIDE_OPEN, decider_words, hit_words
from vireton.answers.kinds import DISTANCE, One
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.table import Column, Grid, Lines, Part, ends, grid
from vireton.units.display import FAR, LIKE_YOURS, SMALL, Display, Unit, digits_for
from vireton.units.numbers import INCH

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.setup import Setup
    from vireton.studies.broadhead import BroadheadAnswer, VanesNeeded
    from vireton.uncertain import Banded
    from vireton.units.text import UnitSystem

#: Launch errors beyond these are no launch errors any more: not worth a number (our choice).
_LARGEST_RATE = 20.0  # rad/s
_LARGEST_ANGLE = 10.0  # degrees
#: Smaller ones nobody can hold or measure, in either unit (our choice).
_SMALLEST = 0.01


@dataclass(frozen=True)
class AimBroadhead(shot.OneBow):
    """Show where a broadhead lands, the sight set with the field point, and what decides it.

    The setup needs [arrow.broadhead] beside [arrow.point]. Both arrows leave the same bow with the
    same aim. Shown are their separation, the launch error that alone opens an inch (a centimeter)
    of it, and what other vanes would do.

    >>> import vireton
    >>> aim = vireton.aim_broadhead("examples/mill_broadhead.toml", "20,40 yd", draws=8)
    >>> aim
    <BroadheadAim of Mill bow: 2 distances>
    >>> bool(aim.found.broadhead_margin.nominal < aim.found.point_margin.nominal)
    True
    """

    command = "broadhead"
    function = "aim_broadhead"
    example = "vireton broadhead examples/mill_broadhead.toml --distances '20,30,40 yd'"
    by_place = ("distances",)

    setup: "Setup" = asked(*shot.SETUP)
    distances: tuple[float, ...] = asked(*shot.EVERY_TEN, metric=shot.EVERY_TEN_METRIC, flag="LIST")
    vanes_at: float = asked(
        One(DISTANCE, bare=False), "40 yd", "Where other vanes are compared.", flag="DISTANCE"
    )
    sight_in: float | None = asked(*shot.SIGHTED, flag="DISTANCE")
    yaw: float | None = asked(*shot.YAW, flag="ANGLE")
    pitch: float | None = asked(*shot.PITCH, flag="ANGLE")
    yaw_rate: float | None = asked(*shot.YAW_RATE, flag="RATE")
    pitch_rate: float | None = asked(*shot.PITCH_RATE, flag="RATE")
    draws: int = asked(*shot.DRAWN)
    seed: int = asked(*shot.SEEDED)

    @property
    def changed(self) -> dict[str, Any]:
        """The sight-in and the launch."""
        names = ("sight_in", "yaw", "pitch", "yaw_rate", "pitch_rate")
        return {name: getattr(self, name) for name in names}

    @cached_property
    def compared(self) -> "BroadheadAnswer":
        """Both heads from this bow and from each plausible one. Raises InputProblem."""
        return self._compared(in_silence)

    def prepare(self, progress: Progress) -> None:
        """The warnings rest on the whole comparison."""
        if "compared" not in vars(self):
            vars(self)["compared"] = self._compared(progress)

    def _compared(self, progress: Progress) -> "BroadheadAnswer":
        from vireton.studies.broadhead import answer_broadhead

        return answer_broadhead(
            self.rig,
            self.distances,
            self.setup.uncertainty,
            vane_distance=self.vanes_at,
            draws=self.draws,
            seed=self.seed,
            progress=lambda rigs: progress(rigs, "shooting"),
        )

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """Those of every bow, and a broadhead that may turn away from its flight."""
        from vireton.bow.cautions import planing

        if self.rig.broadhead is None:
            return super().warnings
        margin = self.compared.broadhead_margin
        return (*super().warnings, *planing(float(margin.nominal), float(margin.low)))

    def answer(self, progress: Progress = in_silence) -> "BroadheadAim":
        """Compare both heads. Raises InputProblem where one cannot be or never gets there."""
        from vireton.flight.reaching import demand_reached

        self.prepare(progress)
        found = self.compared
        demand_reached("an arrow", found.distance, found.separation.nominal)
        return BroadheadAim(self, found)


_PER_RATE = Unit("in_s_per_rad", INCH, ("in·s/rad", INCH), ("cm·s/rad", 0.01))
_PER_DEGREE = Unit(
    "in_per_deg",
    INCH / math.radians(1.0),
    ("in/°", INCH / math.radians(1.0)),
    ("cm/°", 0.01 / math.radians(1.0)),
)


@dataclass(frozen=True, repr=False)
class BroadheadAim(Answer[AimBroadhead]):
    """What :class:`AimBroadhead` found: ``found``, a
    :class:`~vireton.studies.broadhead.BroadheadAnswer`, arrays in SI.
    """

    found: "BroadheadAnswer"

    columns = (
        Column("distance", FAR, "at", "from the grip", with_unit=True),
        Column(
            "separation_right", SMALL, "right", "broadhead minus field point", "range",
            open_side=True,
        ),
        Column("separation_up", SMALL, "up", "broadhead minus field point", "range"),
        Column(
            "straight_separation_right", SMALL, words="from a launch without any error",
            band="range",
        ),
        Column(
            "straight_separation_up", SMALL, words="from a launch without any error", band="range"
        ),
        Column(
            "separation_per_yaw_rate", _PER_RATE, words="that a turning nose adds to the right",
            band="range",
        ),
        Column(
            "separation_per_yaw", _PER_DEGREE, words="that a nose to the right adds to the right",
            band="range",
        ),
    )  # fmt: skip
    head = (
        Column("reference", words="sight or bore: the line that impacts are measured from"),
        Column("draws", words="bows like yours behind the bands"),
        Column("seed"),
        Column(
            "point_static_margin", SMALL, words="the air's push behind the balance", band="range"
        ),
        Column("broadhead_static_margin", SMALL, words="the same with the broadhead", band="range"),
        Column("vanes.distance", FAR, words="where other vanes are compared"),
        Column(
            "vanes.point_drift_per_yaw_rate", _PER_RATE, words="of the field point", band="range"
        ),
        Column(
            "vanes.broadhead_drift_per_yaw_rate", _PER_RATE, words="of the broadhead", band="range"
        ),
        Column(
            "vanes.height_factor_to_halve", words="that halves what an error opens", band="range"
        ),
        Column(
            "vanes.height_factor_to_match_point",
            words="with which it answers as the field point does now",
            band="range",
        ),
        Column(
            "vanes.separation_factor_with_one_more_vane", words="that is left of it", band="range"
        ),
    )

    def __repr__(self) -> str:
        return (
            f"<BroadheadAim of {self.question.rig.bow.name}: {self.found.distance.size} distances>"
        )

    @property
    def sideways_open(self) -> bool:
        """Whether the direction sideways is open: only this bow can tell."""
        return self.question.rig.sideways_open()

    def facts(self) -> dict[str, Any]:
        """Margins and vanes."""
        found, vanes = self.found, self.found.vanes
        return {
            "reference": "bore" if self.question.rig.sight.sight_in is None else "sight",
            "draws": found.draws,
            "seed": self.question.seed,
            "point_static_margin": found.point_margin,
            "broadhead_static_margin": found.broadhead_margin,
            "vanes.distance": vanes.distance,
            "vanes.point_drift_per_yaw_rate": vanes.point_per_rate,
            "vanes.broadhead_drift_per_yaw_rate": vanes.broadhead_per_rate,
            "vanes.height_factor_to_halve": vanes.to_halve,
            "vanes.height_factor_to_match_point": vanes.to_match,
            "vanes.separation_factor_with_one_more_vane": vanes.one_more,
        }

    def values(self) -> Iterator[dict[str, Any]]:
        """One row a distance."""
        found = self.found
        for i, distance in enumerate(found.distance):
            yield {
                "distance": distance,
                "separation_right": found.separation[i, 0],
                "separation_up": found.separation[i, 1],
                "straight_separation_right": found.straight[i, 0],
                "straight_separation_up": found.straight[i, 1],
                "separation_per_yaw_rate": found.per_yaw_rate[i],
                "separation_per_yaw": found.per_yaw[i],
            }

    def body(self) -> dict[str, Any]:
        """The arrow with either head."""
        rig = self.question.rig
        return {"arrow": arrow_json(rig), "broadhead": broadhead_json(rig)}

    def page(self, display: Display) -> list[Part]:
        """The separation, what makes it, and what would undo it."""
        from vireton.bow.cautions import SHOOTING_BARE, SHOOTING_BROADHEADS

        rig, found = self.question.rig, self.found
        told = [*heading(rig, display), *broadhead_facts(rig, display), *self.notes]
        if self.sideways_open:
            told.insert(0, SIDE_OPEN)
        return [
            Lines((self._lead(display),)),
            self._table(display),
            Lines(
                (
                    *straight_words(found, display),
                    *margin_words(found, display),
                    *self._vane_words(display),
                    *decider_words(found.deciders, "of the nose turn"),
                )
            ),
            Lines(()),
            Lines((*told, SHOOTING_BROADHEADS, SHOOTING_BARE)),
        ]

    def _lead(self, display: Display) -> str:
        i = int(abs(self.found.distance - self.found.vanes.distance).argmin())
        at = display.distance(float(self.found.distance[i]))
        hits = hit_words(self.found.separation[i], display, is_open=self.sideways_open)
        return f"broadhead against field point at {at}: {hits}"

    def _table(self, display: Display) -> Grid:
        columns = [
            *self.columns[:3],
            Column("rate", title=f"nose turn that opens 1 {display.small}, rad/s"),
            Column("angle", title=f"nose angle that opens 1 {display.small}, °"),
        ]
        rows = [
            row
            | {
                "rate": rate_cell(row["separation_per_yaw_rate"], display),
                "angle": angle_cell(row["separation_per_yaw"], display),
            }
            for row in self.values()
        ]
        title = "broadhead − field point"
        return grid(title, columns, rows, display, is_open=self.sideways_open)

    def _vane_words(self, display: Display) -> list[str]:
        now = self.question.rig.fletched.parts.vanes
        assert now is not None
        return vane_words(self.found.vanes, now.count, now.height, display)

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """The separation, and what a turning nose adds to it, along the distance."""
        from vireton.plots import BroadheadCurve, broadhead_figure, shift_band

        rig, found = self.question.rig, self.found
        rate = found.per_yaw_rate
        curve = BroadheadCurve(
            distance=found.distance,
            separation=shift_band(found.separation),
            per_rate=rate.nominal,
            per_rate_low=rate.low,
            per_rate_high=rate.high,
            sideways_open=self.sideways_open,
        )
        return broadhead_figure(
            curve,
            system=units,
            title=f"{rig.bow.name}, {rig.fletched.parts.name}: broadhead against field point",
            band=LIKE_YOURS,
        )


def rate_cell(per_rate: "Banded", display: Display) -> str:
    """The launch yaw rate that alone opens one small unit of separation, from m per rad/s."""
    return _error_for(per_rate, display.small_size, _LARGEST_RATE)


def angle_cell(per_yaw: "Banded", display: Display) -> str:
    """The same of the launch yaw in degrees, from m per rad."""
    return _error_for(per_yaw, display.small_size / math.radians(1.0), _LARGEST_ANGLE)


def _error_for(values: "Banded", size: float, largest: float) -> str:
    """The error at which a separation of ``size`` arises, from separation per error."""
    told = [float(one) for one in ends(values)]
    if not all(math.isfinite(end) for end in told):
        return "?"
    if told[1] < 0.0 < told[2]:
        least = size / max(-told[1], told[2])
        return f"over {largest:.0f}" if least > largest else f"over {least:.1f}, or never"
    nominal, *others = (size / abs(end) if end else math.inf for end in told)
    low, high = min(others), max(others)
    if nominal > largest:
        return f"over {largest:.0f}" if low > largest else f"over {low:.1f}"
    if nominal < _SMALLEST:
        return f"under {_SMALLEST}"
    digits = digits_for(high - low if high <= largest else 2.0 * (nominal - low))
    if high > largest:
        return f"{nominal:.{digits}f} ({low:.{digits}f} and up)"
    return f"{nominal:.{digits}f} ({low:.{digits}f} to {high:.{digits}f})"


def _spread(values: "Banded", display: Display) -> str:
    """``"3.3 in (1.7 to 5.0)"``, signs kept."""
    value, low, high = (float(one) / display.small_size for one in ends(values))
    digits, small = digits_for(high - low), display.small
    if not math.isfinite(high - low):
        return f"{value:.{digits}f} {small} (?)"
    if f"{low:.{digits}f}" == f"{high:.{digits}f}":
        return f"{value:.{digits}f} {small}"
    return f"{value:.{digits}f} {small} ({low:.{digits}f} to {high:.{digits}f})"


def straight_words(found: "BroadheadAnswer", display: Display) -> list[str]:
    """What a launch without any error would leave between the two, at the last distance."""
    size = display.small_size
    last = [float(one) for one in ends(found.straight[-1, 1])]
    if not all(math.isfinite(one) for one in last):
        return []
    digits = digits_for((last[2] - last[1]) / size)
    value, low, high = (f"{one / size:+.{digits}f}" for one in last)
    return [
        f"even from a straight launch it would be {value} {display.small} ({low} to {high}) up and "
        f"down at {display.distance(float(found.distance[-1]))}: drag, and a nose that follows the "
        "falling path later"
    ]


def margin_words(found: "BroadheadAnswer", display: Display) -> list[str]:
    """How far behind the balance point the air steers, with either head."""
    ahead = " (minus: ahead of it)" if float(found.broadhead_margin.low) < 0.0 else ""
    return [
        f"center of pressure behind the balance point: {_spread(found.point_margin, display)} "
        f"with the field point, {_spread(found.broadhead_margin, display)} with the "
        f"broadhead{ahead}. The shorter, the less the vanes steer"
    ]


def vane_words(vanes: "VanesNeeded", count: int, height: float, display: Display) -> list[str]:
    """What other vanes would do than ``count`` of ``height`` m."""
    there = display.distance(vanes.distance)
    now = (float(one.nominal) for one in (vanes.point_per_rate, vanes.broadhead_per_rate))
    if not all(map(math.isfinite, now)):
        return [f"other vanes are not compared: not both arrows get to {there}"]
    lines = [
        f"a nose turn of 1 rad/s off the string moves the field point "
        f"{_spread(vanes.point_per_rate, display)} at {there}, the broadhead "
        f"{_spread(vanes.broadhead_per_rate, display)}"
    ]
    told = [
        one for values in (vanes.to_halve, vanes.to_match, vanes.one_more) for one in ends(values)
    ]
    if not all(math.isfinite(float(one)) for one in told):
        return [*lines, f"other vanes are not compared: some do not carry the arrow to {there}"]
    return [*lines, *_higher_or_more(vanes, count, height, display)]


def _higher_or_more(vanes: "VanesNeeded", count: int, height: float, display: Display) -> list[str]:
    """What higher vanes do, and one more."""
    from vireton.studies.broadhead import HIGHEST

    size, small = display.small_size, display.small
    lines = []
    halve = [float(one) for one in ends(vanes.to_halve)]
    if halve[0] < HIGHEST:
        now = height / size
        digits = digits_for((halve[2] - halve[1]) * now)
        low, high = (f"{end * now:.{digits}f}" for end in halve[1:])
        spread = f" ({low} to {high})" if low != high else ""
        lines.append(
            f"vanes {halve[0] * now:.{digits}f} {small}{spread} high instead of "
            f"{now:.{digits}f}, no longer than now, would halve what such a launch opens"
        )
    else:
        lines.append(
            f"not even vanes {HIGHEST:.0f} times as high would halve what such a launch opens: "
            "take a smaller head"
        )
    left = [100.0 * float(one) for one in (vanes.one_more.low, vanes.one_more.high)]
    lines.append(
        f"{count + 1} vanes instead of {count} would leave {left[0]:.0f} to {left[1]:.0f} % of it "
        "open"
    )
    if float(vanes.to_match.low) < HIGHEST:
        factor = float(vanes.to_match.nominal)
        words = f"{factor:.1f}" if factor < HIGHEST else f"{HIGHEST:.0f} or more"
        lines.append(f"to fly like the field point the vanes had to be {words} times as high")
    else:
        lines.append(f"no vane up to {HIGHEST:.0f} times as high makes it fly like the field point")
    return lines


aim_broadhead = function_of(AimBroadhead, BroadheadAim)
