"""``compare``: arrows or vane set-ups side by side."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from vireton.answers import shot
from vireton.answers.answer import Answer
from vireton.answers.bands import BRACKETS
from vireton.answers.compare_verdict import verdict_of, verdict_words
from vireton.answers.compare_words import (
    NONE,
    SAME,
    difference_text,
    named,
    places,
    reading,
    value_text,
)
from vireton.answers.kinds import DISTANCES, Repeated, SetupSources, Words
from vireton.answers.question import Progress, Question, asked, function_of, in_silence
from vireton.answers.table import Column, Grid, Lines, Part, json_row
from vireton.studies.figures import FIGURES
from vireton.units.display import FAR, TURNING, WIND, Display
from vireton.units.problems import InputProblem

if TYPE_CHECKING:
    from matplotlib.figure import Figure as Picture

    from vireton.answers.compare_verdict import Verdict
    from vireton.rig import Rig
    from vireton.setup.variants import Variant
    from vireton.studies.compare import Compared, Contender, Place
    from vireton.studies.figures import Figure
    from vireton.units.text import UnitSystem

#: Of more arrows than this, words tell only what is clear.
_FEW = 4


@dataclass(frozen=True)
class CompareArrows(Question):
    """Set arrows side by side: weight, drag, spin, settling, drop, wind drift, crooked launches.

    All are compared with the first, on the same bows like yours, so two brackets may overlap while
    the difference is clear; where the bracket of the difference itself holds 0, or is too small for
    anyone to see, there is no clear difference.

    With --vary the bow stays: the launch speed follows from what it stores. Separate files keep
    their own measured speeds. Still air, level ground, as the bow launches it. Vanes are geometry
    (a helical one by its mean angle); whether they touch the rest is not looked at.

    >>> import vireton
    >>> file = "examples/mill_bow.toml"
    >>> both = vireton.compare_arrows(file, vary="vanes.count=3,4", distances="60 yd")
    >>> both
    <Comparison of vanes.count 3, vanes.count 4>
    >>> both[1].verdict("settling_distance"), both[1].verdict("yaw_rate_shift", 0)
    ('lower', 'no_clear_difference')
    """

    command = "compare"
    function = "compare_arrows"
    example = "vireton compare examples/mill_bow.toml --vary vanes.count=3,4"

    setups: tuple[Any, ...] = asked(SetupSources(), (), "One setup file or several.")
    vary: tuple[str, ...] = asked(
        Repeated(Words("vanes.count=3,4")),
        (),
        "A key of the setup file, or the end of its path, and its values, written as in the file: "
        "'vanes.length=1.75,2,2.25 in', 'vanes.turn=left,right'. Several --vary: every pairing.",
        flag="KEY=LIST",
    )
    distances: tuple[float, ...] = asked(
        DISTANCES,
        "20,40,60 yd",
        "Distances, e.g. '20,40 yd'; without it 20, 40 and 60, in yd or m by --units.",
        metric="20,40,60 m",
        flag="LIST",
    )
    draws: int = asked(*shot.DRAWN)
    seed: int = asked(*shot.SEEDED)

    @cached_property
    def variants(self) -> "list[tuple[int, str, Variant]]":
        """(number of the file, label, variant) of every arrow. Raises InputProblem."""
        from vireton.setup import Setup
        from vireton.setup.variants import MOST_VARIANTS

        files = [_variants(given, self.vary) for given in self.setups]
        count = sum(map(len, files))
        if count < 2:
            raise InputProblem(
                "one arrow alone cannot be compared: give a second setup file, or "
                "--vary with two values or more, such as --vary vanes.count=3,4"
            )
        if count > MOST_VARIANTS:
            raise InputProblem(f"{count} variants; at most {MOST_VARIANTS} at once")
        for key in files[0][0].changed:
            if key.startswith(("wind.", "sight.")):
                raise InputProblem(
                    f"--vary: {key} changes nothing here: arrows are compared in still air and "
                    "from the bore line"
                )
        names = [some[0].setup.name for some in files]
        if len(set(names)) < len(names):
            names = [
                f"{given.name} ({place})" if isinstance(given, Setup) else str(given)
                for place, given in enumerate(self.setups, 1)
            ]
        return [
            (file, _label(names[file] if len(files) > 1 else "", one), one)
            for file, some in enumerate(files)
            for one in some
        ]

    @cached_property
    def contenders(self) -> "list[Contender]":
        """Every arrow on its bow, ready to be compared."""
        from vireton.bow.arrow import assemble
        from vireton.studies.compare import contender

        return [
            contender(
                label,
                shot.rig_for(one.setup, sight_in=float("inf")),
                one.setup.uncertainty,
                measured_bow=one.measured.bow,
                measured_arrow=assemble(one.measured.parts),
                file=file,
            )
            for file, label, one in self.variants
        ]

    @property
    def rigs(self) -> "dict[str, Rig]":
        """By label."""
        return {one.label: one.rig for one in self.contenders}

    @cached_property
    def notes(self) -> tuple[str, ...]:
        """What parts and numbers disagree about; what not all share is named with its label."""
        notes: dict[str, list[str]] = {}
        for one, (_, label, variant) in zip(self.contenders, self.variants, strict=True):
            for text in (*one.rig.notes, *variant.notes):
                notes.setdefault(text, []).append(label)
        return tuple(
            text if len(labels) == len(self.contenders) else f"{'; '.join(labels)}: {text}"
            for text, labels in notes.items()
        )

    def demand_drawable(self) -> None:
        """A line for each arrow, as many as can be told apart."""
        from vireton.plots.style import demand_strokes

        demand_strokes(len(self.variants), "arrows")

    def answer(self, progress: Progress = in_silence) -> "Comparison":
        """Shoot each arrow, and each in every plausible case for the bands."""
        from vireton.flight.reaching import demand_reached
        from vireton.studies.compare import compare

        arrows = compare(
            self.contenders,
            self.distances,
            draws=self.draws,
            seed=self.seed,
            progress=lambda some: progress(some, "shooting arrows"),
        )
        for one in arrows:
            demand_reached(
                f"{one.contender.label}: shot along the bore line the arrow",
                self.distances,
                one.figures["speed"].nominal,
                instead="Ask for shorter distances",
            )
        return Comparison(self, arrows)


def _variants(given: Any, vary: Sequence[str]) -> "list[Variant]":
    from vireton.setup import Setup
    from vireton.setup.variants import Variant, variants

    if not isinstance(given, Setup):
        return variants(given, vary)
    if vary:
        raise InputProblem("--vary: a sweep reads the setup's file; give that instead of the setup")
    return [Variant(given.name, given, given, (), ())]


def _label(file: str, one: "Variant") -> str:
    """File and what was varied, as far as there are several of each."""
    return ", ".join(part for part in (file, one.label if one.changed else "") if part)


def _columns(*, at_distance: bool) -> tuple[Column, ...]:
    """Of each figure: its value, its difference from the first arrow's, whether that is clear."""
    return tuple(
        column
        for one in FIGURES
        if one.at_distance == at_distance
        for column in (
            Column(one.name, one.unit, one.title, one.words, band="range"),
            Column(f"{one.name}_difference", one.unit, "", "from the first arrow's",
                   band="range", after="difference"),
            Column(f"{one.name}_verdict", one.unit, "",
                   "higher, lower, no_clear_difference or cannot_tell", after="verdict"),
        )
    )  # fmt: skip


@dataclass(frozen=True, repr=False)
class Comparison(Answer[CompareArrows]):
    """What :class:`CompareArrows` found: ``arrows``, a
    :class:`~vireton.studies.compare.Compared` each, every one compared with the first.
    """

    arrows: "list[Compared]"

    of_flight = _columns(at_distance=False)
    at_distance = (
        Column("distance", FAR, "at", "from the grip", with_unit=True),
        *_columns(at_distance=True),
        Column("yaw_rate_shift_mrad_per_rad_s", words="the shift as an angle, for each rad/s"),
    )
    of_variant = (
        Column("label", words="what sets it apart"),
        Column("bow", words="its name"),
        Column("arrow", words="its name"),
        Column("spin_direction", words="right, left, or null where the vanes do not turn it"),
        Column("warnings", words="what can hurt someone with this arrow"),
    )
    of_clear = (
        Column("label", words="of the arrow"),
        Column("quality", words="steers, drifts or drops"),
        Column("figure", words="that tells it, as it is called in figures and rows"),
        Column("distance", FAR, words="the farthest where it is clear; null for the whole flight"),
        Column("better", words="than the first arrow"),
    )
    columns = (Column("label", words="of the arrow"), *of_flight, *at_distance[:-1])
    head = (
        Column("reference", words="the line that impacts are measured from"),
        Column("compared_with", words="label of the first arrow"),
        Column("verdict.answer",
               words="yes, no, no_clear_difference or cannot_tell: is another one better?"),
        Column("verdict.clear", words="what is clear of steering, drift and drop", rows=of_clear),
        Column("verdict.arrows_of_each",
               words="to shoot at the last distance to see the drop; null where it is the same"),
        Column("draws", words="bows like yours behind the bands, the same for all arrows"),
        Column("seed", words="of those draws"),
        Column("crosswind", WIND, words="of the drift, out of 3 o'clock"),
        Column("yaw_rate", TURNING, words="nose right, of the crooked launch"),
    )  # fmt: skip
    inner = {
        "verdict.clear": of_clear, "variants": of_variant, "variants[].figures": of_flight,
        "variants[].rows": at_distance,
    }  # fmt: skip
    rows_key = ""

    def __repr__(self) -> str:
        return f"<Comparison of {', '.join(one.contender.label for one in self.arrows)}>"

    def __getitem__(self, index: int) -> "Compared":
        return self.arrows[index]

    @property
    def notes(self) -> tuple[str, ...]:
        """Those of the question."""
        return self.question.notes

    @cached_property
    def verdict(self) -> "Verdict":
        """Whether another arrow is better than the first, in what, and by how much."""
        aim = self.question.variants[0][2].setup.scatter.aim_up
        return verdict_of(self.arrows, self.question.distances, aim)

    def facts(self) -> dict[str, Any]:
        """What is told once."""
        from vireton.studies.arrow_figures import CROSSWIND, YAW_RATE

        where = self.question.distances
        return {
            "verdict.answer": self.verdict.answer,
            "verdict.clear": [
                {
                    "label": one.arrow.contender.label,
                    "quality": one.quality,
                    "figure": one.figure.name,
                    "distance": where[one.place] if isinstance(one.place, int) else None,
                    "better": one.is_better,
                }
                for one in self.verdict.clear
            ],
            "verdict.arrows_of_each": self.verdict.arrows,
            "reference": "bore",
            "compared_with": self.arrows[0].contender.label,
            "draws": self.question.draws,
            "seed": self.question.seed,
            "crosswind": CROSSWIND,
            "yaw_rate": YAW_RATE,
        }

    def values(self) -> Iterator[dict[str, Any]]:
        """A row for each arrow and distance."""
        for one in self.arrows:
            for row in self._at_distances(one):
                yield {"label": one.contender.label, **_figures(one, ()), **row}

    def _at_distances(self, one: "Compared") -> Iterator[dict[str, Any]]:
        from vireton.studies.arrow_figures import YAW_RATE

        for i, distance in enumerate(self.question.distances):
            shift = float(one.figures["yaw_rate_shift"].nominal[i])
            yield {
                "distance": distance,
                **_figures(one, i),
                "yaw_rate_shift_mrad_per_rad_s": 1e3 * shift / distance / YAW_RATE,
            }

    def body(self) -> dict[str, Any]:
        """Each arrow with its figures and rows."""
        return {"variants": [self._variant(one) for one in self.arrows]}

    def _variant(self, one: "Compared") -> dict[str, Any]:
        rig, label = one.contender.rig, one.contender.label
        vanes = rig.fletched.parts.vanes
        facts = {
            "label": label,
            "bow": rig.bow.name,
            "arrow": rig.fletched.parts.name,
            "spin_direction": vanes.turn if vanes and vanes.offset else None,
            "warnings": list(self.question.cautions[label]),
        }
        return {
            **json_row(self.of_variant, facts),
            "figures": json_row(self.of_flight, _figures(one, ())),
            "rows": [json_row(self.at_distance, row) for row in self._at_distances(one)],
        }

    def page(self, display: Display) -> list[Part]:
        """The verdict, reading in words, figures, differences from the first."""
        from vireton.bow.cautions import SHOOTING_BARE

        said = [line for one in self.arrows[1:] for line in self._read(one, display)]
        closing = (
            *self._unknown_words(display),
            f"{SAME} no clear difference: its bracket holds 0, or nobody could see it",
            "drag: straight into the air before it spins; pressure and swing: at small yaw; "
            "settled: 1° of launch yaw swings less than a tenth of it; spun up: nine tenths of the "
            "steady turns; drop: below the bore line, so a difference is what an untouched sight "
            "shows; drift: 10 mph from 3; crooked launch: the nose turning 0.1 rad/s more to the "
            "right moves it so far right, or bare from fletched at 20 yd",
            "the model errs alike for all; what it gets wrong for one shape alone is in no "
            "bracket. Weights are as the setup gives them",
            SHOOTING_BARE,
        )
        return [
            Lines(tuple(verdict_words(self.verdict, display))),
            Lines(()),
            Lines(tuple(said)),
            Lines(()),
            Lines((*self._heading(), *self.notes)),
            *self._tables(display),
            Lines(closing),
        ]

    def _read(self, one: "Compared", display: Display) -> list[str]:
        lines = reading(one, self.question.distances, display)
        # of many, only what is clear: the tables have the rest
        return lines if len(self.arrows) <= _FEW else lines[:1]

    def _heading(self) -> list[str]:
        first = self.arrows[0].contender
        rigs = [one.contender.rig for one in self.arrows]
        # in the order given, each once, every arrow with its own bow
        pairs = dict.fromkeys(f"{rig.bow.name}, {rig.fletched.parts.name}" for rig in rigs)
        lines = [
            f"{'; '.join(pairs)}: {len(self.arrows)} arrows, each against the first, {first.label}"
        ]
        if len({one.contender.file for one in self.arrows}) > 1:
            lines.append("each file keeps its own measured speed, and those err each by itself")
        if len({rig.bow.name for rig in rigs}) > 1:
            lines.append("DIFFERENT BOWS: what differs is bow and arrow together")
        lines.append(
            f"{BRACKETS}. All arrows are on the same bows: a difference can be clear although two "
            "brackets overlap"
        )
        return lines

    def _unknown_words(self, display: Display) -> list[str]:
        """What ``none`` and ``?`` mean, where an arrow has no such figure in some case."""
        import numpy as np

        from vireton.flight.stability import FARTHEST_SETTLING, FARTHEST_SPIN_UP

        figures = [values for one in self.arrows for values in one.figures.values()]
        if all(np.isfinite([values.low, values.high]).all() for values in figures):
            return []
        return [
            f"{NONE}: an arrow that does not swing about its path, spin or carry vanes, or is not "
            f"settled by {display.distance(FARTHEST_SETTLING)}, spun up by "
            f"{display.distance(FARTHEST_SPIN_UP)}; (?): so in some of the cases"
        ]

    def _tables(self, display: Display) -> Iterator[Grid]:
        """Values, then differences."""

        def value(one: "Compared", figure: "Figure", place: "Place") -> str:
            return value_text(figure, one.figures[figure.name][place], display)

        def difference(one: "Compared", figure: "Figure", place: "Place") -> str:
            change = one.differences[figure.name][place]
            return difference_text(figure, change, display, one.verdict(figure.name, place))

        yield self._table("figures", self.arrows, value, display)
        name = f"differences from {self.arrows[0].contender.label}"
        yield self._table(name, self.arrows[1:], difference, display)

    def _table(
        self,
        title: str,
        some: "Sequence[Compared]",
        cell: "Callable[[Compared, Figure, Place], str]",
        display: Display,
    ) -> Grid:
        """One row a figure, at each distance where it has one; a column for each of ``some``."""
        where = self.question.distances
        rows = []
        for figure, place in places(len(where)):
            unit, _ = display.unit(figure.unit)
            name = named(figure, where[place] if isinstance(place, int) else 0.0, display)
            cells = (cell(one, figure, place) for one in some)
            rows.append((f"{name}{', ' * bool(unit)}{unit}", *cells))
        heads = ("", *(one.contender.label for one in some))
        return Grid(title, heads, tuple(rows), frozenset({0}))

    def figure(self, units: "UnitSystem" = "us") -> "Picture":
        """What is clearly different at the last distance, the largest first."""
        from vireton.answers.compare_picture import panels, plain_label
        from vireton.plots.comparison import comparison_figure
        from vireton.units.display import display

        rig, variants = self.arrows[0].contender.rig, self.question.variants
        names = [plain_label(label, one) for _, label, one in variants]
        return comparison_figure(
            panels(self.arrows, names, self.question.distances, display(units)),
            first=names[0],
            title=f"{rig.bow.name}, {rig.fletched.parts.name}: what clearly differs",
        )


def _figures(one: "Compared", place: "Place") -> dict[str, Any]:
    """Those at a distance, or those that hold for the whole flight."""
    found: dict[str, Any] = {}
    for figure in FIGURES:
        if figure.at_distance == (place != ()):
            name = figure.name
            found[name] = one.figures[name][place]
            found[f"{name}_difference"] = one.differences[name][place]
            found[f"{name}_verdict"] = one.verdict(name, place)
    return found


compare_arrows = function_of(CompareArrows, Comparison)
