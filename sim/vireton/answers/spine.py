"""Other shafts on the same bow, from Python."""

import warnings
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from vireton.answers import asking
from vireton.answers.asking import Quantities
from vireton.answers.readying import Caution, caution, setup_of, shot_of
from vireton.answers.table import flat
from vireton.bow.arrow import assemble, bare
from vireton.bow.cautions import cautions
from vireton.plots import shift_band
from vireton.rig import Rig
from vireton.setup import Setup
from vireton.studies.spine import (
    ShaftChoice,
    SpineAnswer,
    answer_spine,
    chosen_parts,
    shaft_choices,
    stiffness_of,
    zero_crossings,
)
from vireton.uncertain import DEFAULT_DRAWS, DEFAULT_SEED, Banded
from vireton.units.numbers import FOOT, GRAIN, INCH, number
from vireton.units.quantities import LIKE_SPINE

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.plots.scales import System

_SWEEP = "0.25:0.50:0.05 in"
_ENDS = ("nominal", "low", "high")


@dataclass(frozen=True, repr=False)
class Shafts:
    """What :func:`compare_shafts` found: ``shafts``, one
    :class:`~vireton.studies.spine.SpineAnswer` each.

    All are for a rest move of 1/32 in, sideways and up. **Sideways the direction is open** until
    this bow has shown it. ``draws`` and ``seed`` are those of the bands.
    """

    rig: Rig
    shafts: list[SpineAnswer]
    draws: int
    seed: int

    def __repr__(self) -> str:
        spines = ", ".join(f"{one.choice.spine / INCH:.3f}" for one in self.shafts)
        return f"<Shafts on {self.rig.bow.name}, spine in: {spines}>"

    def __getitem__(self, index: int) -> SpineAnswer:
        return self.shafts[index]

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row a shaft, units in the keys."""
        return [flat(_row(one)) for one in self.shafts]

    def to_dict(self) -> dict[str, Any]:
        """The same as ``vireton spine --json``."""
        return {
            "schema": 1,
            "draws": self.draws,
            "seed": self.seed,
            "move_in": 1.0 / 32.0,
            "shafts": [_row(one) for one in self.shafts],
            "sideways_yaw_rate_is_zero_at": [
                {
                    "spine_in": number(spine / INCH),
                    "point_grains": number(point / GRAIN),
                    "length_in": number(length / INCH),
                }
                for spine, point, length in zero_crossings(self.shafts)
            ],
        }

    def figure(self, units: "System" = "us") -> "Figure":
        """The answer to the move against static spine, sideways and up."""
        from vireton.plots import SpineCurve, spine_figure

        groups: dict[tuple[float, float], list[SpineAnswer]] = {}
        for one in self.shafts:
            groups.setdefault((one.choice.point_mass, one.choice.length), []).append(one)
        curves = []
        for (point, length), some in groups.items():
            some.sort(key=lambda one: one.choice.spine)
            curves.append(
                SpineCurve(
                    label=curve_name(point, length, groups),
                    spine=np.array([one.choice.spine for one in some]),
                    yaw_rate=shift_band(_stacked([one.yaw_rate for one in some])),
                    separation=shift_band(_stacked([one.separation for one in some])),
                )
            )
        return spine_figure(
            curves,
            system=units,
            title=f"{self.rig.bow.name}: the answer to a rest move by spine",
            band=f"5th to 95th percentile of {self.draws} plausible bows",
        )


def compare_shafts(
    setup: Setup | str | Path,
    spines: Quantities = _SWEEP,
    *,
    points: Quantities | None = None,
    lengths: Quantities | None = None,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    progress: Callable[[Sequence[ShaftChoice]], Iterable[ShaftChoice]] = iter,
) -> Shafts:
    """Work out how the answer to one 32nd in of rest changes with spine, point mass and length.

    Sideways the answer can vanish or turn round with a weaker shaft. No maker's chart is behind it:
    each shaft is shot on this bow.

    Args:
        setup: from :func:`vireton.load`, or its file.
        spines: static deflections, 0.1 to 3 in; text, or m.
        points: point masses, 1 to 1000 gr; text, or kg; None keeps the arrow's own.
        lengths: nock throat to shaft end, 10 to 45 in; text, or m; None keeps the arrow's own.
        draws: plausible bows behind the bands, 8 to 10,000.
        seed: of those draws.
        progress: wraps the shafts, to show how far the work is.

    Raises InputProblem for what cannot be used. Warns with a Caution of an arrow too light for the
    bow.

    >>> import vireton
    >>> stiff, weak = vireton.compare_shafts(vireton.load(), "0.3, 0.5 in", draws=16).shafts
    >>> bool(stiff.yaw_rate.nominal[1] > weak.yaw_rate.nominal[1])  # up: the weaker answers less
    True
    """
    setup = setup_of(setup)
    wanted = asking.several(spines, "length", "spines", "0.1 in", "3 in", like=LIKE_SPINE)
    masses = [] if points is None else asking.several(points, "mass", "points", "1 gr", "1000 gr")
    long = [] if lengths is None else asking.several(lengths, "length", "lengths", "10 in", "45 in")
    count = asking.draws(draws)
    rig = shot_of(setup, sight_in="none").rig(setup)
    caution(rig)
    choices = shaft_choices(rig.fletched.parts, wanted, masses, long)
    for text in light_shafts(rig, choices):
        warnings.warn(text, Caution, stacklevel=2)
    answers = answer_spine(
        rig, choices, setup.uncertainty, draws=count, seed=seed, progress=progress
    )
    return Shafts(rig, answers, count, seed)


def light_shafts(rig: Rig, choices: Sequence[ShaftChoice]) -> list[str]:
    """Warnings of shafts too light for the bow, once for each point and length."""
    different = {(one.point_mass, one.length): one for one in choices}
    found = []
    for (point, length), one in different.items():
        arrow = assemble(chosen_parts(rig.fletched.parts, one))
        where = f"point {point / GRAIN:.0f} gr, length {length / INCH:.4g} in"
        found += [f"{where}: {text}" for text in cautions(rig.bow, arrow, bare(arrow))]
    return found


def curve_name(point: float, length: float, groups: Iterable[tuple[float, float]]) -> str:
    """What sets this curve apart from the others: its point, its length, or both."""
    parts = []
    if len({one[0] for one in groups}) > 1:
        parts.append(f"{point / GRAIN:.0f} gr")
    if len({one[1] for one in groups}) > 1:
        parts.append(f"{length / INCH:.4g} in")
    return ", ".join(parts) or "this arrow"


def _stacked(values: Sequence[Banded]) -> Banded:
    return Banded(*(np.array([getattr(one, end) for one in values]) for end in _ENDS))


def _banded(values: Banded, axis: int, size: float, name: str) -> dict[str, Any]:
    ends = (float(values.low[axis]) / size, float(values.high[axis]) / size)
    return {
        name: number(float(values.nominal[axis]) / size),
        f"{name}_range": [number(end) for end in ends],
    }


def _row(one: SpineAnswer) -> dict[str, Any]:
    row: dict[str, Any] = {
        "spine_in": number(one.choice.spine / INCH),
        "point_grains": number(one.choice.point_mass / GRAIN),
        "length_in": number(one.choice.length / INCH),
        "bending_stiffness_n_m2": number(stiffness_of(one.choice)),
        "speed_fps": number(one.speed / FOOT),
        "push_per_buckling_push": number(one.load_share),
    }
    for axis, side in enumerate(("right", "up")):
        row[f"rest_{side}"] = {
            **_banded(one.yaw_rate, axis, 1.0, "yaw_rate_rad_s"),
            **_banded(one.yaw, axis, 1e-3, "yaw_mrad"),
            **_banded(one.direction, axis, 1e-3, "direction_mrad"),
            **_banded(one.separation, axis, INCH, "separation_20yd_in"),
            "share_of_draws_positive": number(one.share_positive[axis]),
        }
    row["variance_shares_right"] = {k: number(v) for k, v in one.deciders.items()}
    return row
