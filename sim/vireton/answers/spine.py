"""``spine``: how the answer to a rest move changes with the shaft."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from vireton.answers import shot
from vireton.answers.answer import Answer
from vireton.answers.bands import BRACKETS, SIDE_OPEN, decider_words, where_words
from vireton.answers.kinds import One, Several
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.table import Column, Grid, Lines, Part, ends, grid, shares
from vireton.units.display import (
    LIKE_YOURS,
    MILLIRADIANS,
    SMALL,
    SPEED,
    STIFFNESS,
    TURNING,
    Display,
    Unit,
)
from vireton.units.numbers import GRAIN, INCH, percent
from vireton.units.quantity import Quantity, Spine

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.setup import Setup
    from vireton.studies.spine import ShaftChoice, SpineAnswer
    from vireton.uncertain import Banded
    from vireton.units.text import UnitSystem

#: Shafts are told in inches and grains in both systems, as they are marked.
_INCHES = Unit("in", INCH, ("in", INCH), ("in", INCH))
_GRAINS = Unit("grains", GRAIN, ("gr", GRAIN), ("gr", GRAIN))


@dataclass(frozen=True)
class CompareShafts(shot.OneBow):
    """Show how the answer to one 32nd in of rest changes with spine, point mass and length.

    Sideways the answer can vanish or turn round with a weaker shaft; the table shows where, and how
    many bows like yours go the other way. No maker's chart is behind it: each shaft is shot on your
    bow.

    >>> import vireton
    >>> stiff, weak = vireton.compare_shafts(vireton.load(), "0.3, 0.5 in", draws=16).shafts
    >>> bool(stiff.yaw_rate.nominal[1] > weak.yaw_rate.nominal[1])  # up: the weaker answers less
    True
    """

    command = "spine"
    function = "compare_shafts"
    example = "vireton spine examples/mill_bow.toml --spine 0.3:0.5:0.1in"
    by_place = ("spines",)

    setup: "Setup" = asked(*shot.SETUP)
    spines: tuple[float, ...] = asked(
        Several(One(Spine())),
        "0.25:0.50:0.05 in",
        "Static spines, a list or first:last:step.",
        option="--spine",
        flag="LIST",
    )
    points: tuple[float, ...] | None = asked(
        Several(One(Quantity("mass", "1 gr", "1000 gr", "100 gr"))),
        None,
        "Point masses, e.g. '100,125 gr'.",
        option="--point",
        flag="LIST",
    )
    lengths: tuple[float, ...] | None = asked(
        Several(One(Quantity("length", "10 in", "45 in", "28.5 in"))),
        None,
        "Arrow lengths, nock throat to shaft end.",
        option="--length",
        flag="LIST",
    )
    draws: int = asked(*shot.DRAWN)
    seed: int = asked(*shot.SEEDED)

    @property
    def changed(self) -> dict[str, Any]:
        """No sight: it does not matter for what a move changes."""
        return {"sight_in": float("inf")}

    @cached_property
    def choices(self) -> "list[ShaftChoice]":
        """Every shaft to shoot."""
        from vireton.studies.spine import shaft_choices

        own = self.rig.fletched.parts
        return shaft_choices(own, self.spines, self.points or (), self.lengths or ())

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """Those of the bow's own arrow, and of each point and length."""
        from vireton.bow.arrow import assemble, bare
        from vireton.bow.cautions import cautions
        from vireton.studies.spine import chosen_parts

        found = list(super().warnings)
        for (point, length), one in {(c.point_mass, c.length): c for c in self.choices}.items():
            arrow = assemble(chosen_parts(self.rig.fletched.parts, one))
            where = f"point {point / GRAIN:.0f} gr, length {length / INCH:.4g} in"
            found += [f"{where}: {text}" for text in cautions(self.rig.bow, arrow, bare(arrow))]
        return tuple(found)

    def demand_drawable(self) -> None:
        """One curve for each point and length, as many as can be told apart."""
        from vireton.plots.style import demand_strokes

        demand_strokes(len({(one.point_mass, one.length) for one in self.choices}), "curves")

    @property
    def _ranges(self) -> dict[str, tuple[float, float]]:
        """The setup's; of other shafts than its own nobody has measured the spine."""
        from vireton.uncertain.inputs import row_of
        from vireton.uncertain.row import Pieces

        ranges: dict[str, tuple[float, float]] = self.setup.uncertainty
        if "own_spine" not in self.setup.measured or not self.spines:
            return ranges
        pieces = Pieces(self.setup.bow, self.setup.parts)
        return ranges | {"shaft_stiffness": row_of("shaft_stiffness").usual_range(pieces)}

    def answer(self, progress: Progress = in_silence) -> "Shafts":
        """Shoot each shaft, and each plausible bow with it for the bands."""
        from vireton.studies.spine import answer_spine

        shafts = answer_spine(
            self.rig,
            self.choices,
            self._ranges,
            draws=self.draws,
            seed=self.seed,
            progress=lambda choices: progress(choices, "shooting shafts"),
        )
        return Shafts(self, shafts)


_SIDES = ("right", "up")


def _answers_to(side: str, nose: str) -> tuple[Column, ...]:
    is_open = side == "right"
    return (
        Column(f"rest_{side}.yaw_rate", TURNING, f"nose {side},", nose,
               band="range", open_side=is_open),
        Column(f"rest_{side}.yaw", MILLIRADIANS, "", nose, band="range", open_side=is_open),
        Column(f"rest_{side}.direction", MILLIRADIANS, "", f"of flight, {side}",
               band="range", open_side=is_open),
        Column(f"rest_{side}.separation_20yd", SMALL, f"bare − fletched {side},",
               f"bare minus fletched goes {side}, at 20 yd", band="range", open_side=is_open),
        Column(f"rest_{side}.share_of_draws_positive", words="bows whose bare shaft goes along"),
    )  # fmt: skip


@dataclass(frozen=True, repr=False)
class Shafts(Answer[CompareShafts]):
    """What :class:`CompareShafts` found: ``shafts``, a
    :class:`~vireton.studies.spine.SpineAnswer` each.

    All are for a rest move of 1/32 in, sideways and up. **Sideways the direction is open** until
    this bow has shown it.
    """

    shafts: "list[SpineAnswer]"

    of_shaft = (
        Column("spine", _INCHES, "spine", "static deflection", digits=3, signed=False),
        Column("point", _GRAINS, "point", "mass", digits=0, signed=False),
        Column("length", _INCHES, "length", "nock throat to shaft end", signed=False),
    )
    columns = (
        *of_shaft,
        Column("bending_stiffness", STIFFNESS, words="of the shaft"),
        Column("speed", SPEED, words="of the fletched arrow"),
        Column("push_per_buckling_push", title="push", words="largest push ÷ what buckles it"),
        *_answers_to("right", "nose right"),
        *_answers_to("up", "nose up"),
        Column("variance_shares_right", words="what makes the band of the separation sideways"),
    )
    head = (
        Column("draws", words="bows like yours behind the bands"),
        Column("effective_draws", words="how many equal draws the weighed ones are worth"),
        Column("seed", words="of those draws"),
        Column("move", SMALL, words="of the rest, right and up"),
        Column("sideways_yaw_rate_is_zero_at", words="shafts between two that turn", rows=of_shaft),
    )
    inner = {"sideways_yaw_rate_is_zero_at": of_shaft}
    rows_key = "shafts"

    def __repr__(self) -> str:
        spines = ", ".join(f"{one.choice.spine / INCH:.3f}" for one in self.shafts)
        return f"<Shafts on {self.question.rig.bow.name}, spine in: {spines}>"

    def __getitem__(self, index: int) -> "SpineAnswer":
        return self.shafts[index]

    @cached_property
    def crossings(self) -> list[tuple[float, float, float]]:
        """(spine, point, length) at which the sideways yaw rate turns round."""
        from vireton.studies.spine import zero_crossings

        return zero_crossings(self.shafts)

    def facts(self) -> dict[str, Any]:
        """What is told once."""
        from vireton.studies.spine import MOVE

        names = ("spine", "point", "length")
        return {
            "draws": self.shafts[0].draws,
            "effective_draws": self.shafts[0].effective_draws,
            "seed": self.question.seed,
            "move": MOVE,
            "sideways_yaw_rate_is_zero_at": [
                dict(zip(names, one, strict=True)) for one in self.crossings
            ],
        }

    def values(self) -> Iterator[dict[str, Any]]:
        """A row for each shaft."""
        from vireton.studies.spine import stiffness_of

        for one in self.shafts:
            yield {
                "spine": one.choice.spine,
                "point": one.choice.point_mass,
                "length": one.choice.length,
                "bending_stiffness": stiffness_of(one.choice),
                "speed": one.speed,
                "push_per_buckling_push": one.load_share,
                "variance_shares_right": shares(one.deciders),
                **{
                    f"rest_{side}.{name}": value[axis]
                    for axis, side in enumerate(_SIDES)
                    for name, value in (
                        ("yaw_rate", one.yaw_rate),
                        ("yaw", one.yaw),
                        ("direction", one.direction),
                        ("separation_20yd", one.separation),
                        ("share_of_draws_positive", one.share_positive),
                    )
                },
            }

    def page(self, display: Display) -> list[Part]:
        """Where the answer turns round; up and down; sideways."""
        from vireton.bow.cautions import SHOOTING_BARE

        rig = self.question.rig
        return [
            Lines(
                (
                    f"what one 32nd in of rest does on {rig.bow.name}, with "
                    f"{rig.fletched.parts.name} and other shafts:",
                    self._lead(display),
                    *self._conclusions(),
                )
            ),
            self._table("up", "rest up 1/32 in", display),
            self._table("right", "rest right 1/32 in", display),
            Lines(
                (
                    f"{SIDE_OPEN}; other way: share of bows like yours whose bare shaft goes "
                    "against the move",
                    "push: the string's largest push, as a share of what buckles the shaft between "
                    "nock and rest",
                    BRACKETS,
                    *decider_words(self.shafts[-1].deciders, "sideways, last shaft"),
                    SHOOTING_BARE,
                )
            ),
        ]

    def _table(self, side: str, title: str, display: Display) -> Grid:
        rows = [
            {
                **row,
                "length": f"{row['length'] / INCH:.4g}",
                "push_per_buckling_push": f"{row['push_per_buckling_push'] * 100.0:.0f} %",
                "other_way": percent(1.0 - row["rest_right.share_of_draws_positive"]),
            }
            for row in self.values()
        ]
        # what is the same for all shafts only takes room
        wanted = ["spine"] + [
            name for name in ("point", "length") if len({row[name] for row in rows}) > 1
        ]
        wanted += ["push_per_buckling_push"] if side == "up" else []
        wanted += [f"rest_{side}.yaw_rate", f"rest_{side}.separation_20yd"]
        wanted += ["other_way"] if side == "right" else []
        known = {one.key: one for one in (*self.columns, Column("other_way", title="other way"))}
        return grid(title, [known[name] for name in wanted], rows, display, is_open=True)

    def _conclusions(self) -> list[str]:
        lines = [
            f"sideways the nose's answer turns round at a spine of about {spine / INCH:.2f} in"
            f"{self._which(point, length)}: there a rest move hardly turns the nose, though the "
            "group still moves with the rest"
            for spine, point, length in self.crossings
        ]
        from vireton.studies.spine import USUAL_LOAD

        touchy = [one.choice.spine for one in self.shafts if one.load_share > USUAL_LOAD[1]]
        if touchy:
            low, high = USUAL_LOAD
            lines.append(
                f"WEAK from a spine of {min(touchy) / INCH:.3f} in on: the string pushes harder "
                f"than on ordinary bows ({low * 100.0:.0f} to {high * 100.0:.0f} %), and the shaft "
                "answers touchily. Ask its maker whether it may be shot from this bow"
            )
        unsure = {
            f"{one.choice.spine / INCH:.3f}"
            for one in self.shafts
            if 0.05 < one.share_positive[1] < 0.95
        }
        if unsure:
            lines.append(
                f"at a spine of {', '.join(sorted(unsure))} in even up and down may turn round: "
                "shoot before and after one move there"
            )
        return lines

    def _lead(self, display: Display) -> str:
        """What the stiffest and the weakest shaft answer to a move up."""
        ends = [min(self.shafts, key=_spine), max(self.shafts, key=_spine)]
        told = [
            f"{_spine(one) / INCH:.3f} in{self._which(one.choice.point_mass, one.choice.length)}: "
            f"{where_words(one.separation[1], display, ('up', 'down'))}"
            for one in (ends if ends[0] is not ends[1] else ends[:1])
        ]
        return f"rest up, bare − fletched at 20 yd, by spine: {'; '.join(told)}"

    def _groups(self) -> "dict[tuple[float, float], list[SpineAnswer]]":
        """Shafts by point and length."""
        found: dict[tuple[float, float], list[SpineAnswer]] = {}
        for one in self.shafts:
            found.setdefault((one.choice.point_mass, one.choice.length), []).append(one)
        return found

    def _which(self, point: float, length: float) -> str:
        groups = self._groups()
        return f" ({curve_name(point, length, groups)})" if len(groups) > 1 else ""

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """The answer to the move against static spine, sideways and up."""
        import numpy as np

        from vireton.plots import SpineCurve, shift_band, spine_figure

        groups = self._groups()
        curves = []
        for (point, length), some in groups.items():
            rising = sorted(some, key=lambda one: one.choice.spine)
            curves.append(
                SpineCurve(
                    label=curve_name(point, length, groups),
                    spine=np.array([one.choice.spine for one in rising]),
                    yaw_rate=shift_band(_stacked([one.yaw_rate for one in rising])),
                    separation=shift_band(_stacked([one.separation for one in rising])),
                )
            )
        return spine_figure(
            curves,
            system=units,
            title=f"{self.question.rig.bow.name}: the answer to a rest move by spine",
            band=LIKE_YOURS,
        )


def _spine(one: "SpineAnswer") -> float:
    return one.choice.spine


def _stacked(values: "Sequence[Banded]") -> "Banded":
    import numpy as np

    from vireton.uncertain import Banded

    return Banded(*(np.array(one) for one in zip(*map(ends, values), strict=True)))


def curve_name(point: float, length: float, groups: Iterable[tuple[float, float]]) -> str:
    """What sets this curve apart from the others: its point, its length, or both."""
    parts = []
    if len({one[0] for one in groups}) > 1:
        parts.append(f"{point / GRAIN:.0f} gr")
    if len({one[1] for one in groups}) > 1:
        parts.append(f"{length / INCH:.4g} in")
    return ", ".join(parts) or "this arrow"


compare_shafts = function_of(CompareShafts, Shafts)
