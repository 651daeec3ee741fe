"""``scatter``: groups at each distance, hits, and what the scatter comes from."""

from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from vireton.answers import shot
from vireton.answers.answer import Answer
from vireton.answers.arrow import arrow_json
from vireton.answers.kinds import DISTANCES, DRAWS, One, Repeated, Whole, Words
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.table import Column, Lines, Part, flat, json_row, shares
from vireton.scatter import sources
from vireton.units.display import (
    DEGREES,
    FAR,
    MASS,
    MILLIRADIANS,
    NUMBER,
    SMALL,
    SPEED,
    TURNING,
    WIND,
    Display,
    Unit,
)
from vireton.units.numbers import INCH
from vireton.units.problems import InputProblem
from vireton.units.quantity import Quantity

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.rig import Rig
    from vireton.scatter.blocks import Block, Runner
    from vireton.scatter.case import Case
    from vireton.scatter.estimates import Group
    from vireton.scatter.plausible import GroupBands
    from vireton.scatter.record import Record
    from vireton.scatter.sources import Scatter
    from vireton.scatter.study import Answer as Study
    from vireton.setup import Setup
    from vireton.units.text import UnitSystem

_MOST_ARROWS = 100_000_000
_DRAWN_SHOTS = 256


class ClusterAddress(Words):
    """Where the scheduler of a cluster is."""

    def read(self, value: Any) -> str:
        """As given, where it can be one."""
        from vireton.scatter.address import checked

        return checked(str(value))


@dataclass(frozen=True)
class ScatterShots(shot.OneBow):
    """Show how wide shots group at each distance, how many hit, and what the scatter comes from.

    Aim, launch, gusts, mass and spine differ from shot to shot by standard deviations (SD): those
    of the setup file, or the ones given. Each distance has its pin: the target's middle is where
    the fletched arrow without scatter lands in still air.

    >>> import vireton
    >>> shots = vireton.scatter_shots(vireton.load(), "20,60 yd", arrows=512, draws=8)
    >>> near, far = shots["fletched"].hits.value
    >>> bool(near > far)
    True
    """

    command = "scatter"
    function = "scatter_shots"
    example = "vireton scatter examples/mill_bow.toml --target 8in --distances '20,40,60 yd'"
    by_place = ("distances",)

    setup: "Setup" = asked(*shot.SETUP)
    distances: tuple[float, ...] = asked(
        DISTANCES,
        "20,40,60 yd",
        "Distances, a list or first:last:step; without it '20,40,60 yd', or '18,30,50 m' with "
        "--units metric.",
        metric="18,30,50 m",
        flag="LIST",
    )
    vary: tuple[str, ...] | None = asked(
        Repeated(Words("vanes.count=3,4")),
        None,
        "Do it for each value of a key of the setup file, as in `vireton compare`; the shots are "
        "the same for all.",
        flag="KEY=LIST",
    )
    target: float = asked(
        One(Quantity("length", "1/4 in", "10 ft", "8 in")),
        "8 in",
        "Diameter of the circle to hit; without it 8 in, or 20 cm with --units metric.",
        metric="20 cm",
        flag="SIZE",
    )
    aim: float | None = asked(
        One(sources.AIM),
        None,
        "SD of the aim, both ways, e.g. '1 in at 20 yd' or '2 moa'.",
        flag="ANGLE",
    )
    yaw_rate: float | None = asked(
        One(sources.TURNING), None, "SD of the yaw rate at the start.", flag="RATE"
    )
    pitch_rate: float | None = asked(
        One(sources.TURNING), None, "SD of the pitch rate at the start.", flag="RATE"
    )
    yaw: float | None = asked(One(sources.NOSE), None, "SD of the yaw at the start.", flag="ANGLE")
    pitch: float | None = asked(
        One(sources.NOSE), None, "SD of the pitch at the start.", flag="ANGLE"
    )
    speed: float | None = asked(
        One(sources.SPEED), None, "SD of the speed of one and the same arrow.", flag="SPEED"
    )
    gust: float | None = asked(
        One(sources.GUST),
        None,
        "SD of the wind from shot to shot, across and along.",
        flag="SPEED",
    )
    mass: float | None = asked(
        One(sources.MASS), None, "SD of the mass from arrow to arrow.", flag="MASS"
    )
    spine: float | None = asked(
        One(sources.SPINE), None, "SD of the spine from arrow to arrow.", flag="LENGTH"
    )
    wind: tuple[float, float] | None = asked(*shot.WIND, flag="WIND")
    precision: float = asked(
        One(Quantity("fraction", "0.01 %", "20 %", "1 %")),
        "1 %",
        "How sure to be: shoot until every spread is known to this share of it, hits to half as "
        "many points.",
        flag="SHARE",
    )
    arrows: int | None = asked(
        Whole(256, _MOST_ARROWS),
        None,
        "Shoot so many of each kind instead, rounded down to 16 times a power of two.",
    )
    most: int = asked(
        Whole(2048, _MOST_ARROWS), 1_048_576, "Never more arrows of each kind than this."
    )
    draws: int = asked(DRAWS, 32, shot.DRAWN[2])
    seed: int = asked(*shot.SEEDED)
    cluster: str | None = asked(
        ClusterAddress("tcp://192.0.2.7:8786"),
        None,
        "Shoot on the dask cluster whose scheduler is here, e.g. tcp://192.0.2.7:8786.",
        flag="ADDRESS",
    )

    @property
    def changed(self) -> dict[str, Any]:
        """The steady wind."""
        return {"wind": self.wind}

    @cached_property
    def each(self) -> "dict[str, ScatterShots]":
        """The question of each set-up asked for, by its label."""
        from vireton.setup.variants import variants

        if not self.vary:
            return {"": self}
        if self.setup.path is None:
            raise InputProblem("--vary: a sweep reads the setup's file, and this one has none")
        found = variants(self.setup.path, self.vary)
        return {one.label: replace(self, setup=one.setup, vary=None) for one in found}

    @cached_property
    def rigs(self) -> "dict[str, Rig]":
        """That of each set-up."""
        return {label: one.rig for label, one in self.each.items()}

    @property
    def spread(self) -> "Scatter":
        """The setup's scatter with what is given put in."""
        both = {"aim": ("aim_right", "aim_up"), "gust": ("gust_across", "gust_along")}
        names = ("aim", "gust", "yaw_rate", "pitch_rate", "yaw", "pitch", "speed", "mass", "spine")
        given = {field: getattr(self, name) for name in names for field in both.get(name, (name,))}
        return replace(
            self.setup.scatter, **{name: sd for name, sd in given.items() if sd is not None}
        )

    def demand_drawable(self) -> None:
        """One set-up has a picture."""
        if len(self.each) > 1:
            raise InputProblem("--plot draws one set-up: give --vary one value, or leave it out")

    def answer(self, progress: Progress = in_silence) -> "ShotGroups":
        """Shoot every set-up until all are sure, then each plausible bow a little."""
        from vireton.scatter.case import make_case
        from vireton.scatter.study import run_study

        cases = [
            make_case(
                one.rig, one.spread, one.distances, one.target, seed=one.seed,
                label=label or one.setup.name,
            )
            for label, one in self.each.items()
        ]  # fmt: skip
        with _runner_at(self.cluster) as somewhere:
            runner = _watched(somewhere, progress)
            studies = run_study(
                cases,
                precision=None if self.arrows else self.precision,
                most=self.most,
                **({"fewest": self.arrows} if self.arrows else {}),
                runner=runner,
            )
            found = [
                SetupGroups(one, case, study, one.bands(case, study, runner))
                for one, case, study in zip(self.each.values(), cases, studies, strict=True)
            ]
        return ShotGroups(self, tuple(found))

    def bands(self, case: "Case", study: "Study", runner: "Runner") -> "dict[str, GroupBands]":
        """What plausible bows make of this set-up's groups."""
        from vireton.scatter.plausible import ARROWS_EACH, group_bands, plausible_cases
        from vireton.scatter.study import run_study

        others = plausible_cases(
            self.rig,
            self.spread,
            self.distances,
            self.target,
            self.setup.uncertainty,
            draws=self.draws,
            seed=self.seed,
        )
        few, *drawn = run_study([case, *others], precision=None, fewest=ARROWS_EACH, runner=runner)
        return group_bands(study, few, drawn)


def _runner_at(address: str | None) -> "AbstractContextManager[Runner]":
    """The cores here, or the cluster at this address."""
    if address is None:
        from vireton.scatter.blocks import run_here

        return nullcontext(run_here)
    from vireton.scatter.cluster import on_cluster

    return on_cluster(address)


def _watched(runner: "Runner", progress: Progress) -> "Runner":
    """The runner, which shows how many arrows it has shot and how far this round is."""
    shot_so_far = 0

    def run(cases: "Sequence[Case]", blocks: "Sequence[Block]") -> "Iterator[Record]":
        nonlocal shot_so_far
        watched = iter(progress(blocks, f"{shot_so_far:,} arrows shot"))
        try:
            for block, record in zip(watched, runner(cases, blocks), strict=True):
                shot_so_far += block.count
                yield record
        finally:  # what is shown ends with the shooting, Ctrl-C or not
            getattr(watched, "close", lambda: None)()

    return run


_SQUARE = Unit("in2", INCH**2, ("in²", INCH**2), ("cm²", 1e-4))


def _estimate(key: str, words: str, unit: Unit = SMALL) -> tuple[Column, Column]:
    """An estimate with its band, and its standard error."""
    return (
        Column(key, unit, words=words, band="range"),
        Column(f"{key}_error", unit, words="standard error of the counting", after="error"),
    )


@dataclass(frozen=True, repr=False)
class SetupGroups(Answer[ScatterShots]):
    """The groups of one set-up by kind of arrow: ``groups["bare"].study.groups["bare"].sd``.

    ``study`` holds a :class:`~vireton.scatter.estimates.Group` of each kind, ``bands`` what
    plausible bows make of it; m, right and up from the target's middle.
    """

    case: "Case"
    study: "Study"
    bands: "dict[str, GroupBands]"

    head = (
        Column("label", words="the setup, or what was varied"),
        Column("caution", words="what hits are not for"),
        *(
            Column(f"scatter_sd.{name}", unit, exact=True, words="what one shot differs by")
            for name, unit in (
                ("aim_right", MILLIRADIANS),
                ("aim_up", MILLIRADIANS),
                ("yaw_rate", TURNING),
                ("pitch_rate", TURNING),
                ("yaw", DEGREES),
                ("pitch", DEGREES),
                ("speed", SPEED),
                ("gust_across", WIND),
                ("gust_along", WIND),
                ("mass", MASS),
                ("spine", SMALL),
            )
        ),
        Column("target", SMALL, words="diameter of the circle"),
        Column("seed"),
        Column("draws", words="bows like yours behind the bands"),
        Column("arrows", words="shot of each kind"),
        Column("precision_reached", words="whether it is as sure as asked"),
        Column("arrows_needed", words="that would do, or fewer"),
    )
    columns = (
        Column("distance", FAR, "at", with_unit=True),
        *_estimate("sd_right", "of the shots"),
        *_estimate("sd_up", "of the shots"),
        *_estimate("mean_radius", "from where none differs"),
        *_estimate("center_right", "from the target's middle"),
        *_estimate("center_up", "from the target's middle"),
        *_estimate("hit_probability", "that the point's middle is inside", NUMBER),
        Column("covariance_right_up", _SQUARE),
        Column("ellipse_95.long_half_axis", SMALL, words="of what holds 19 of 20"),
        Column("ellipse_95.short_half_axis", SMALL),
        Column("ellipse_95.lean", DEGREES, words="of the long axis from the right upwards"),
        Column("reached_share", words="of the arrows that get there"),
        *(
            Column(f"variance_shares_{side}{end}", words=words)
            for side in ("right", "up", "both")
            for end, words in (("", "what makes it; interplay: several together"), ("_error", ""))
        ),
    )
    rows_key = ""

    def facts(self) -> dict[str, Any]:
        """The shooting."""
        from vireton.answers.scatter_words import NO_ADVICE

        case, study = self.case, self.study
        return {
            "label": case.label,
            "caution": NO_ADVICE,
            **{f"scatter_sd.{name}": getattr(case.scatter, name) for name in sources.SOURCES},
            "target": case.target,
            "seed": case.seed,
            "draws": self.question.draws,
            "arrows": study.arrows,
            "precision_reached": study.reached_precision,
            "arrows_needed": study.arrows_needed,
        }

    def of(self, kind: str) -> Iterator[dict[str, Any]]:
        """The rows of one kind of arrow."""
        from vireton.scatter.estimates import ellipse

        group, bands = self.study.groups[kind], self.bands[kind]
        told: dict[str, tuple[Any, Any, tuple[int, ...]]] = {
            "sd_right": (group.sd, bands.sd, (0,)),
            "sd_up": (group.sd, bands.sd, (1,)),
            "mean_radius": (group.radius, bands.radius, ()),
            "center_right": (group.center, bands.center, (0,)),
            "center_up": (group.center, bands.center, (1,)),
            "hit_probability": (group.hits, bands.hits, ()),
        }
        for i, distance in enumerate(group.distance):
            long, short, lean = ellipse(group.covariance[i])
            row = {
                "distance": distance,
                "covariance_right_up": group.covariance[i, 0, 1],
                "ellipse_95.long_half_axis": long,
                "ellipse_95.short_half_axis": short,
                "ellipse_95.lean": lean,
                "reached_share": group.reached[i],
            }
            for key, (estimate, band, axis) in told.items():
                row[key] = band[(i, *axis)]
                row[f"{key}_error"] = estimate.error[(i, *axis)]
            yield row | _shares(group, i)

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row a kind of arrow and a distance, units in the keys."""
        return [
            {"label": self.case.label, "arrow": kind, **flat(json_row(self.columns, row))}
            for kind in self.study.groups
            for row in self.of(kind)
        ]

    def body(self) -> dict[str, Any]:
        """The arrow and the groups of each kind."""
        return {
            "arrow": arrow_json(self.question.rig),
            "groups": {
                kind: [json_row(self.columns, row) for row in self.of(kind)]
                for kind in self.study.groups
            },
        }

    def page(self, display: Display) -> list[Part]:
        """A table for each kind of arrow, and what the scatter comes from."""
        from vireton.answers.scatter_words import page

        return page(self, display)

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """Shots and ellipses about the target, a panel a distance."""
        import numpy as np

        from vireton.answers.scatter_words import hits
        from vireton.plots import MOST_PANELS, ShotCloud, scatter_figure
        from vireton.scatter.blocks import shots
        from vireton.scatter.draws import normal_draws
        from vireton.scatter.estimates import ellipse

        case, rig = self.case, self.question.rig
        places = shots(case, normal_draws(case.seed, 0, 0, _DRAWN_SHOTS)) - case.middle
        count = case.distances.size
        # more distances than panels: the first, the last and some between
        picked = np.unique(np.linspace(0, count - 1, min(count, MOST_PANELS)).round().astype(int))
        clouds = []
        for i in picked:
            kinds = []
            for k, (kind, group) in enumerate(self.study.groups.items()):
                long, short, lean = ellipse(group.covariance[i])
                center = group.center.value[i]
                share = hits(self.bands[kind].hits[i], float(group.hits.error[i]))
                kinds.append(ShotCloud(kind, places[k, :, i], center, (long, short), lean, share))
            clouds.append(kinds)
        return scatter_figure(
            [float(case.distances[i]) for i in picked],
            clouds,
            target=case.target,
            system=units,
            title=f"{rig.bow.name}, {rig.fletched.parts.name}: how shots scatter",
        )


def _shares(group: "Group", i: int) -> dict[str, Any]:
    names = (*group.sources, "interplay")
    found = {}
    for side, one in group.shares.items():
        for end, values in (("", one.value[i]), ("_error", one.error[i])):
            found[f"variance_shares_{side}{end}"] = shares(dict(zip(names, values, strict=True)))
    return found


@dataclass(frozen=True, repr=False)
class ShotGroups(Answer[ScatterShots]):
    """What :class:`ScatterShots` found: ``setups``, one :class:`SetupGroups` for each set-up.

    ``groups["bare"]`` is a :class:`~vireton.scatter.estimates.Group` of the first.
    """

    setups: tuple[SetupGroups, ...]

    columns = SetupGroups.columns

    def __repr__(self) -> str:
        labels = ", ".join(one.case.label for one in self.setups)
        return f"<ShotGroups of {labels}: {self.setups[0].study.arrows:,} arrows of each kind>"

    def __getitem__(self, kind: str) -> "Group":
        return self.setups[0].study.groups[kind]

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row a set-up, a kind of arrow and a distance, units in the keys."""
        return [row for one in self.setups for row in one.rows()]

    def to_dict(self) -> dict[str, Any]:
        """The same as the command's ``--json``: one set-up, or a list of what was varied."""
        if not self.question.vary:
            return self.setups[0].to_dict()
        return {
            "schema": 1,
            "warnings": list(self.warnings),
            "notes": list(self.notes),
            "variants": [one.to_dict() for one in self.setups],
        }

    def page(self, display: Display) -> list[Part]:
        """Set-up after set-up."""
        if not self.question.vary:
            return self.setups[0].page(display)
        return [
            part
            for one in self.setups
            for part in (Lines((one.case.label,), bold=True), *one.page(display))
        ]

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """Shots and ellipses about the target. Raises InputProblem where there are several."""
        self.question.demand_drawable()
        return self.setups[0].figure(units)


scatter_shots = function_of(ScatterShots, ShotGroups)
