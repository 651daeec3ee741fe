"""``marks``: sight marks for every distance from a few that were shot in."""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar, Self

from vireton.answers import shot
from vireton.answers.answer import Answer
from vireton.answers.arrow import arrow_facts
from vireton.answers.kinds import DISTANCE, Flag, One, Repeated, Words
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.table import Column, Grid, Lines, Part, Span, grid
from vireton.units.display import BENCH, FAR, SPEED, Display, Unit, digits_for
from vireton.units.numbers import YARD
from vireton.units.problems import InputProblem
from vireton.units.quantity import Quantity
from vireton.units.text import UnitError, as_typed, split

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.setup import Setup
    from vireton.studies.mark_fit import Check, Known, MarkFit, MarkPrior, Marks, ShotMark
    from vireton.studies.marks import Marksman
    from vireton.units.text import UnitSystem

_SURE = 1e-6  # m
_PLOT_POINTS = 60
#: A number still this share as wide as before was not told by the marks (our choice).
_UNTOLD = 0.85
_LIKE = "20yd=1.20in"
_CLICKS = re.compile(r"^(?P<count>[+-]?\s*[0-9]*\.?[0-9]+)\s*(?:clicks?)?$", re.IGNORECASE)
_ON_BAR = One(Quantity("length", "-20 in", "40 in", "1.20 in"))


class AtMark(Words):
    """A distance and its mark on the bar, ``"20yd=1.20in"`` or a pair (distance, mark)."""

    def read(self, value: Any) -> tuple[float, Any]:
        """The distance in m, and the mark as given: the bar reads it."""
        if isinstance(value, str):
            distance, equals, mark = value.partition("=")
            if not equals:
                raise ValueError(
                    f"{as_typed(value)} is not understood; write the distance and its mark on the "
                    f"bar, such as '{_LIKE}'"
                )
            try:
                split(distance)
            except UnitError as problem:
                raise ValueError(f"{problem}; write it like '{_LIKE}'") from None
        else:
            distance, mark = value
        return One(DISTANCE, bare=False).read(distance), mark


def _error(most: str, like: str, low: str = "0.001 in") -> One:
    return One(Quantity("length", low, most, like))


@dataclass(frozen=True)
class Bar:
    """A sight's bar. Marks on it are read as they stand there; inside they rise as the pin sinks.

    ``click`` m of one, None where the bar is read in lengths; ``falling``: its own number falls as
    the pin goes down.
    """

    click: float | None
    falling: bool

    @property
    def sign(self) -> float:
        """−1 where the bar's own number falls as the pin goes down."""
        return -1.0 if self.falling else 1.0

    def read(self, mark: Any, click_option: str) -> float:
        """A mark in m, rising as the pin goes down. Raises ValueError."""
        clicks = _CLICKS.match(mark.strip()) if isinstance(mark, str) else None
        if clicks is not None and self.click is not None:
            return self.sign * float(clicks["count"].replace(" ", "")) * self.click
        if clicks is not None and "click" in mark.lower():
            raise ValueError(
                f"{as_typed(mark)} is in clicks; say how long one is with {click_option}, such as "
                "0.01 in"
            )
        return self.sign * _ON_BAR.read(mark)

    def unit(self, display: Display) -> tuple[str, float, int]:
        """What its marks are shown in: name, size m, decimals."""
        if self.click is not None:
            return "clicks", self.click, 1
        return (*display.unit(BENCH), 3 if display.name == "us" else 2)

    def span(self, value: float, low: float, high: float) -> Span:
        """The same as the bar's own numbers, m, the lower end first."""
        return Span(self.sign * value, *sorted((self.sign * low, self.sign * high)))

    def shown(self, span: Span, display: Display) -> str:
        """A mark with its interval, no finer than the interval supports."""
        _, size, most = self.unit(display)
        value, low, high = (one / size for one in span)
        digits = digits_for(high - low, most)
        # a rounded nothing has no sign
        told = [f"{round(one, digits) + 0.0:.{digits}f}" for one in (value, low, high)]
        return told[0] if told[1] == told[2] else f"{told[0]} ({told[1]} to {told[2]})"

    def plain(self, meters: float, display: Display) -> str:
        """A length along the bar, without band."""
        unit, size, digits = self.unit(display)
        return f"{meters / size:.{min(digits, 2)}f} {unit}"


@dataclass(frozen=True)
class FindMarks(shot.OneBow):
    """Work out where the pin stands for each distance, from a few marks that you have shot in.

    A lower pin is for farther. The same fit says what the marks tell of the arrow's speed and drag,
    and the bands say what they do not. Without --shot: gaps from the setup file alone.

    >>> import vireton
    >>> shots = ["20yd=1.20in", "60yd=1.97in"]
    >>> found = vireton.find_marks(vireton.load(), "33 in", shots=shots, distances="40 yd", draws=8)
    >>> print(f"{found.rows()[0]['mark_in']:.2f} in")
    1.55 in
    """

    command = "marks"
    function = "find_marks"
    example = (
        "vireton marks examples/mill_bow.toml --radius 33in --shot 20yd=1.20in --shot 60yd=1.97in"
    )
    by_place = ("radius",)

    setup: "Setup" = asked(*shot.SETUP)
    radius: float = asked(
        _error("60 in", "33 in", low="5 in"),
        ...,
        "From the peep (or the eye) to the pin.",
        flag="LENGTH",
    )
    shots: "tuple[ShotMark, ...]" = asked(
        Repeated(AtMark(_LIKE)),
        None,
        f"A mark that you have shot in, e.g. {_LIKE}; give one, two or more.",
        option="--shot",
        flag="DISTANCE=MARK",
    )
    checks: "tuple[ShotMark, ...]" = asked(
        Repeated(AtMark(_LIKE)),
        None,
        "A shot-in mark that is kept out of the fit to check it.",
        option="--check",
        flag="DISTANCE=MARK",
    )
    distances: tuple[float, ...] = asked(*shot.EVERY_TEN, metric=shot.EVERY_TEN_METRIC, flag="LIST")
    radius_error: float = asked(
        _error("10 in", "1/4 in"),
        "1/4 in",
        "How well you know it (one SD: right 2 times in 3).",
        flag="LENGTH",
    )
    reading_error: float = asked(
        _error("1 in", "0.01 in", low="0.0001 in"),
        "0.01 in",
        "Of a mark on the bar (one SD).",
        flag="LENGTH",
    )
    group_error: float = asked(
        _error("20 in", "0.25 in", low="0 in"),
        "0.25 in",
        "How well a mark is centered on your group at 20 yd (one SD); grows farther out.",
        flag="LENGTH",
    )
    click: float | None = asked(
        _error("1/4 in", "0.01 in", low="0.0001 in"),
        None,
        "One click on the bar; marks in clicks.",
        flag="LENGTH",
    )
    falling: bool = asked(Flag(), False, "The bar's number falls as the pin goes down.")
    draws: int = asked(*shot.DRAWN)
    seed: int = asked(*shot.SEEDED)

    @classmethod
    def read(
        cls,
        given: Mapping[str, Any],
        *,
        spelled: Callable[[str], str] = str,
        system: "UnitSystem" = "us",
    ) -> Self:
        """As any question; marks on the bar need the click and the way that the bar counts."""
        from vireton.studies.mark_fit import ShotMark

        read = super().read(given, spelled=spelled, system=system)

        def on_bar(name: str) -> "tuple[ShotMark, ...]":
            try:
                return tuple(
                    ShotMark(distance, read.bar.read(mark, spelled("click")))
                    for distance, mark in getattr(read, name) or ()
                )
            except ValueError as problem:
                raise InputProblem(f"{spelled(name)}: {problem}") from None

        return replace(read, shots=on_bar("shots"), checks=on_bar("checks"))

    @property
    def bar(self) -> Bar:
        """The sight's."""
        return Bar(self.click, self.falling)

    @property
    def zero(self) -> float:
        """Where the marks start without a shot-in one, m."""
        first = self.shots[0].distance if self.shots else self.distances[0]
        return self.setup.sight.sight_in or first

    def answer(self, progress: Progress = in_silence) -> "SightMarks":
        """Fit the marks. Raises InputProblem where they run the wrong way or do not carry."""
        import numpy as np

        from vireton.studies.mark_fit import ShotMark, check_marks, fit_marks, marks_at
        from vireton.studies.marks import Marksman

        marksman = Marksman(self.rig, self.radius, self.zero)
        prior = self._prior(marksman, progress)
        fit = fit_marks(marksman.elevations, self.shots or [ShotMark(self.zero, 0.0)], prior)
        return SightMarks(
            self,
            marksman=marksman,
            prior=prior,
            fit=fit,
            marks=marks_at(marksman.elevations, np.array(self.distances), fit, prior),
            checks=check_marks(marksman.elevations, self.checks, fit, prior),
            drag_coefficient=marksman.drag_coefficient(self.distances[-1], fit.trial),
        )

    def _prior(self, marksman: "Marksman", progress: Progress) -> "MarkPrior":
        from vireton.studies.mark_fit import mark_prior

        prior = mark_prior(
            self.rig,
            marksman,
            self.setup.uncertainty,
            radius=self.radius,
            radius_error=self.radius_error,
            reading=self.reading_error,
            aiming=self.group_error / (20.0 * YARD),
            reach=max([*self.distances, *(one.distance for one in self.shots)]),
            draws=self.draws,
            seed=self.seed,
            progress=lambda draws: progress(draws, "shooting"),
        )
        # without a shot, counted from a pin that stands where it stands
        return prior if self.shots else replace(prior, reading=_SURE, aiming=0.0)


_OF_MODEL = Unit("percent_of_model", 0.01, ("%", 0.01), ("%", 0.01))
_FITTED = {"radius": BENCH, "speed": SPEED, "drag": _OF_MODEL}
_MARK = Column("mark", BENCH, words="on the bar, as its own number runs")


@dataclass(frozen=True, repr=False)
class SightMarks(Answer[FindMarks]):
    """What :class:`FindMarks` found: ``marks`` and ``checks`` of the fit ``fit``.

    They are those of :mod:`vireton.studies.mark_fit`, in m, rising as the pin goes down; rows and
    JSON have the bar's own numbers. Bands are of where the pin belongs, 95 %.
    """

    marksman: "Marksman"
    prior: "MarkPrior"
    fit: "MarkFit"
    marks: "Marks"
    checks: "list[Check]"
    drag_coefficient: float

    columns = (
        Column("distance", FAR, "at", with_unit=True),
        replace(_MARK, band="interval_95"),
        Column("gap", BENCH, words="from the one above", band="interval_95"),
    )
    of_shot: ClassVar = (
        Column("distance", FAR),
        _MARK,
        Column("off", BENCH, words="shot mark minus fitted one"),
    )
    of_check: ClassVar = (
        Column("distance", FAR),
        _MARK,
        Column("expected", BENCH, words="by the fit without it", band="interval_95"),
        Column("fits", words="whether it lies within that interval"),
    )
    head = (
        Column("number_rises_as_the_pin_goes_down"),
        *(
            column
            for name, unit in _FITTED.items()
            for column in (
                Column(name, unit, words="after the fit", band="interval_95"),
                Column(
                    f"{name}_sd_of_the_setup", unit, words="before the fit", after="sd_of_the_setup"
                ),
            )
        ),
        Column("drag_coefficient", words="on the shaft's cross-section"),
        Column("speed_drag_correlation", words="after the fit"),
        Column("misfit_probability", words="of a misfit as large by chance"),
        Column("bands_widened_by", words="a factor, for a misfit that is no chance"),
        Column("shots", rows=of_shot),
        Column("checks", rows=of_check),
    )
    rows_key = "marks"

    def __repr__(self) -> str:
        count = len(self.question.shots)
        name = self.question.rig.bow.name
        return f"<SightMarks of {name}: {self.marks.distance.size} from {count} shot in>"

    def facts(self) -> dict[str, Any]:
        """What the fit tells, and each mark that was shot in."""
        fit, bar = self.fit, self.question.bar
        known: dict[str, Known] = {name: getattr(fit, name) for name in _FITTED}
        return {
            "number_rises_as_the_pin_goes_down": not bar.falling,
            **{name: Span(one.value, *one.interval) for name, one in known.items()},
            **{f"{name}_sd_of_the_setup": one.sd_before for name, one in known.items()},
            "drag_coefficient": self.drag_coefficient,
            "speed_drag_correlation": fit.correlation,
            "misfit_probability": fit.misfit,
            "bands_widened_by": fit.error_inflation,
            "shots": [
                {"distance": one.distance, "mark": bar.sign * one.mark, "off": bar.sign * off}
                for one, off in zip(self.question.shots, fit.residuals, strict=False)
            ],
            "checks": [
                {
                    "distance": one.shot.distance,
                    "mark": bar.sign * one.shot.mark,
                    "expected": bar.span(one.expected, one.low, one.high),
                    "fits": one.fits,
                }
                for one in self.checks
            ],
        }

    def values(self) -> Iterator[dict[str, Any]]:
        """One row a distance."""
        marks, bar = self.marks, self.question.bar
        for i, distance in enumerate(marks.distance):
            row = {
                "distance": distance,
                "mark": bar.span(marks.mark[i], marks.low[i], marks.high[i]),
            }
            if i > 0:
                ends = marks.gap[i - 1], marks.gap_low[i - 1], marks.gap_high[i - 1]
                row["gap"] = bar.span(*ends)
            yield row

    def page(self, display: Display) -> list[Part]:
        """The table, and what the marks tell."""
        from vireton.bow.cautions import SHOOTING

        bar = self.question.bar
        unit, *_ = bar.unit(display)
        notes = (
            f"{'inches' if unit == 'in' else unit} on the bar, whose number "
            f"{'falls' if bar.falling else 'rises'} as the pin goes down; in brackets: where the "
            f"pin belongs 19 times in 20, {self._for_whom()}",
            *arrow_facts(self.question.rig, display),
            *self.notes,
            SHOOTING,
        )
        lead = [*self._misfit(display), self._from_where(display), *self._checked(display)]
        return [
            Lines(tuple(lead)),
            self._table(unit, display),
            Lines((*self._told(display), *notes)),
        ]

    def _for_whom(self) -> str:
        if not self._fits:
            return "for these marks as they are"
        return "if the arrow is the one of the file"

    @property
    def _fits(self) -> bool:
        return self.fit.error_inflation <= 1.0

    def _table(self, unit: str, display: Display) -> Grid:
        columns = [
            self.columns[0],
            Column("mark", title=f"mark, {unit}"),
            Column("gap", title=f"from the line above, {unit}"),
        ]
        shown = self.question.bar.shown
        rows = [
            {key: shown(one, display) if isinstance(one, Span) else one for key, one in row.items()}
            for row in self.values()
        ]
        return grid("", columns, rows, display)

    def _from_where(self, display: Display) -> str:
        shots = self.question.shots
        if not shots:
            at = display.distance(self.question.zero)
            return (
                f"no mark is shot in: these are counted from the pin at {at}, by the setup file "
                "alone. Shoot in two, one near and one far, and give them with --shot"
            )
        shot_in = ", ".join(display.distance(one.distance) for one in shots)
        return f"marks by the ones that you shot in at {shot_in}"

    def _told(self, display: Display) -> list[str]:
        """What the marks say of speed and drag, and what they cannot."""
        fit, shots = self.fit, self.question.shots
        if not shots or not self._fits:
            return []
        speed, drag = fit.speed, fit.drag
        low, high = (self.drag_coefficient * max(end, 0.0) / drag.value for end in drag.interval)
        pairs = (("speed", speed), ("drag", drag))
        untold = [name for name, one in pairs if one.sd > _UNTOLD * one.sd_before]
        lines = []
        if len({one.distance for one in shots}) < 2:
            lines.append(
                "marks of one distance cannot tell speed from drag: shoot in a second one, far out"
            )
        elif abs(fit.correlation) > 0.6:
            lines.append(
                "a faster arrow with more drag would give nearly the same marks: the two are known "
                "better together than each alone"
            )
        if untold:
            lines.append(
                f"the marks say little of {' and '.join(untold)}: away from the shot-in marks, "
                "trust the brackets"
            )
        lines.append(
            f"the marks go with {_known(speed, display.speed_size, f' {display.speed}')} and a "
            f"drag {_known(drag, 0.01, ' % of the model')}, a drag coefficient of "
            f"{self.drag_coefficient:.1f} ({low:.1f} to {high:.1f})"
        )
        return lines

    def _misfit(self, display: Display) -> list[str]:
        """What to look for where the marks that were shot in do not fit each other."""
        fit = self.fit
        if self._fits:
            return []
        worst = max(range(len(fit.residuals)), key=lambda i: abs(float(fit.residuals[i])))
        off = float(fit.residuals[worst])
        return [
            "THESE MARKS DO NOT FIT TOGETHER for this arrow and this sight. Farthest off is "
            f"{display.distance(self.question.shots[worst].distance)}: "
            f"{self.question.bar.plain(abs(off), display)} {'low' if off > 0.0 else 'high'} on the "
            "bar. Shoot that one again; else look at the peep, --radius and the speed. Do not set "
            "the sight by the table until they fit"
        ]

    def _checked(self, display: Display) -> list[str]:
        """What the marks kept out of the fit say; nothing fits a fit that does not hold."""
        bar = self.question.bar
        told = []
        for one in self.checks:
            if not self._fits:
                verdict = "tells nothing while the marks do not fit together"
            elif one.fits:
                verdict = "fits"
            else:
                verdict = "DOES NOT FIT: do not trust the table there"
            expected = bar.shown(bar.span(one.expected, one.low, one.high), display)
            told.append(
                f"check at {display.distance(one.shot.distance)}: "
                f"{bar.plain(bar.sign * one.shot.mark, display)}, expected {expected}: {verdict}"
            )
        return told

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """A strip of the bar in true size, and the marks over distance."""
        import numpy as np

        from vireton.plots.marks import MarkCurve, marks_figure
        from vireton.studies.mark_fit import marks_at

        question, sign = self.question, self.question.bar.sign
        line = np.linspace(question.distances[0], question.distances[-1], _PLOT_POINTS)
        curve = marks_at(self.marksman.elevations, line, self.fit, self.prior)
        ends = (sign * curve.low, sign * curve.high)
        return marks_figure(
            self.marks.distance,
            sign * self.marks.mark,
            MarkCurve(curve.distance, sign * curve.mark, np.minimum(*ends), np.maximum(*ends)),
            shots=[(one.distance, sign * one.mark) for one in question.shots],
            downwards=sign > 0.0,
            system=units,
            title=f"{question.rig.bow.name}, {question.rig.fletched.parts.name}: sight marks",
        )


def _known(one: "Known", size: float, unit: str) -> str:
    low, high = (end / size for end in one.interval)
    digits = digits_for(high - low)
    return f"{one.value / size:.{digits}f}{unit} ({low:.{digits}f} to {high:.{digits}f})"


find_marks = function_of(FindMarks, SightMarks)
