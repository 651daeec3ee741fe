"""Arrows side by side, from Python."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from vireton.answers import asking
from vireton.answers.arrow import FOOT_POUND
from vireton.answers.asking import Quantities
from vireton.answers.readying import caution
from vireton.bow.arrow import assemble
from vireton.bow.cautions import cautions
from vireton.flight.flight import Conditions
from vireton.flight.reaching import demand_reached
from vireton.kernel.arrays import FloatArray
from vireton.rig import assemble_rig
from vireton.setup import Setup
from vireton.setup.variants import MOST_VARIANTS, Variant, variants
from vireton.studies.arrow_figures import CROSSWIND, YAW_RATE
from vireton.studies.compare import Compared, Contender, at_index, compare, contender
from vireton.uncertain import DEFAULT_DRAWS, DEFAULT_SEED, Banded
from vireton.units.numbers import FOOT, GRAIN, INCH, MPH, YARD, number
from vireton.units.problems import InputProblem


class FigureKey(NamedTuple):
    """How a figure is called outside: its JSON key, the size of that unit in SI, and whether it has
    a value at each distance.
    """

    key: str
    size: float
    at_distance: bool = False


#: By the names of :class:`~vireton.studies.arrow_figures.ArrowFigures`.
FIGURES = {
    "mass": FigureKey("mass_grains", GRAIN),
    "foc": FigureKey("foc_percent", 0.01),
    "launch_speed": FigureKey("launch_speed_fps", FOOT),
    "drag_area": FigureKey("drag_area_cm2", 1e-4),
    "drag_coefficient": FigureKey("drag_coefficient", 1.0),
    "spinning_drag_coefficient": FigureKey("spinning_drag_coefficient", 1.0),
    "margin": FigureKey("static_margin_in", INCH),
    "margin_share": FigureKey("static_margin_percent_of_length", 0.01),
    "wavelength": FigureKey("yaw_wavelength_yd", YARD),
    "settling": FigureKey("settling_distance_yd", YARD),
    "steady_spin": FigureKey("steady_spin_rev_s", 2.0 * np.pi),
    "spin_up": FigureKey("spin_up_distance_yd", YARD),
    "bare_separation": FigureKey("bare_separation_20yd_in", INCH),
    "speed": FigureKey("speed_fps", FOOT, at_distance=True),
    "energy": FigureKey("kinetic_energy_ft_lbf", FOOT_POUND, at_distance=True),
    "drop": FigureKey("drop_in", INCH, at_distance=True),
    "drift": FigureKey("drift_in", INCH, at_distance=True),
    "yaw_rate_shift": FigureKey("yaw_rate_shift_in", INCH, at_distance=True),
}


@dataclass(frozen=True, repr=False)
class Comparison:
    """What :func:`compare_arrows` found: ``arrows``, one :class:`~vireton.studies.compare.Compared`
    each.

    Every one is compared with the first. ``distances`` (n,) m; ``notes`` what had to be assumed;
    ``draws`` and ``seed`` those of the bands.
    """

    arrows: list[Compared]
    distances: FloatArray
    notes: list[str]
    draws: int
    seed: int

    def __repr__(self) -> str:
        return f"<Comparison of {', '.join(one.contender.label for one in self.arrows)}>"

    def __getitem__(self, index: int) -> Compared:
        return self.arrows[index]

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row an arrow and a distance, all its figures with units in the keys."""
        return [
            {
                "label": one.contender.label,
                "distance_yd": number(distance / YARD),
                **_figures(one, None),
                **_figures(one, i),
            }
            for one in self.arrows
            for i, distance in enumerate(self.distances)
        ]

    def to_dict(self) -> dict[str, Any]:
        """The same as ``vireton compare --json``."""
        return {
            "schema": 1,
            "reference": "bore",
            "compared_with": self.arrows[0].contender.label,
            "notes": self.notes,
            "draws": self.draws,
            "seed": self.seed,
            "crosswind_mph": number(CROSSWIND / MPH),
            "yaw_rate_rad_s": YAW_RATE,
            "variants": [self._variant(one) for one in self.arrows],
        }

    def _variant(self, one: Compared) -> dict[str, Any]:
        rig = one.contender.rig
        rows = []
        for i, distance in enumerate(self.distances):
            row = {"distance_yd": number(distance / YARD), **_figures(one, i)}
            shift = float(one.figures["yaw_rate_shift"].nominal[i])
            row["yaw_rate_shift_mrad_per_rad_s"] = number(1e3 * shift / distance / YAW_RATE)
            rows.append(row)
        vanes = rig.fletched.parts.vanes
        return {
            "label": one.contender.label,
            "bow": rig.bow.name,
            "arrow": rig.fletched.parts.name,
            "spin_direction": vanes.turn if vanes and vanes.offset else None,
            "warnings": list(cautions(rig.bow, rig.fletched, rig.bare)),
            "figures": _figures(one, None),
            "rows": rows,
        }


def _figures(one: Compared, index: int | None) -> dict[str, Any]:
    """Those at a distance, or without an index those that hold for the whole flight."""
    found: dict[str, Any] = {}
    for name, (key, size, at_distance) in FIGURES.items():
        if at_distance != (index is not None):
            continue
        value = at_index(one.figures[name], index)
        change = at_index(one.differences[name], index)
        found |= {
            key: number(float(value.nominal) / size),
            f"{key}_range": _ends(value, size),
            f"{key}_difference": number(float(change.nominal) / size),
            f"{key}_difference_range": _ends(change, size),
            f"{key}_verdict": one.verdict(name, index),
        }
    return found


def _ends(values: Banded, size: float) -> list[float | None]:
    return [number(float(values.low) / size), number(float(values.high) / size)]


def compare_arrows(
    *setups: Setup | str | Path,
    vary: str | Sequence[str] = (),
    distances: Quantities = "20,40,60 yd",
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
) -> Comparison:
    """Set arrows side by side: weight, drag, spin, settling, drop, wind drift, crooked launches.

    Each is compared with the first. Every plausible draw of what nobody knows is put on all of them
    at once, so two bands may overlap while the difference is clear; where the band of the
    difference holds 0, or what nobody could see, the verdict is ``no_clear_difference``. Still air,
    level ground, as the bow launches it, from the bore line.

    Args:
        setups: setups or their files, one or several.
        vary: a key of the setup file and its values, written as in the file, such as
            ``"vanes.count=3,4"``; several give every pairing. The bow stays, and the launch speed
            follows from what it stores.
        distances: see :func:`vireton.fly`.
        draws: plausible cases behind the bands, 8 to 10,000.
        seed: of those draws.

    Raises InputProblem for what cannot be used and for a distance that is never reached. Warns with
    a Caution of an arrow too light for the bow.

    >>> import vireton
    >>> file = "examples/mill_bow.toml"
    >>> both = vireton.compare_arrows(file, vary="vanes.count=3,4", distances="60 yd")
    >>> both
    <Comparison of vanes.count 3, vanes.count 4>
    >>> both[1].verdict("settling"), both[1].verdict("yaw_rate_shift", 0)
    ('lower', 'no_clear_difference')
    """
    where = asking.distances(distances)
    count = asking.draws(draws)
    found = find_variants(setups, [vary] if isinstance(vary, str) else list(vary))
    contenders = [contender_of(file, label, one) for file, label, one in found]
    for one in contenders:
        caution(one.rig)
    answers = compare(contenders, where, draws=count, seed=seed)
    demand_speeds(answers, where)
    notes = notes_of(contenders, [one for _, _, one in found])
    return Comparison(answers, np.array(where), notes, count, seed)


def find_variants(
    setups: Sequence[Setup | str | Path], vary: Sequence[str]
) -> list[tuple[int, str, Variant]]:
    """(number of the file, label, variant) of every arrow to compare. Raises InputProblem."""
    files = [_variants(given, vary) for given in setups]
    count = sum(len(some) for some in files)
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
                f"--vary: {key} changes nothing here: arrows are compared in still air and from "
                "the bore line"
            )
    names = [some[0].setup.name for some in files]
    if len(set(names)) < len(names):
        names = [
            f"{given.name} ({place})" if isinstance(given, Setup) else str(given)
            for place, given in enumerate(setups, 1)
        ]
    return [
        (file, _label(names[file] if len(files) > 1 else "", one), one)
        for file, some in enumerate(files)
        for one in some
    ]


def _variants(given: Setup | str | Path, vary: Sequence[str]) -> list[Variant]:
    if not isinstance(given, Setup):
        return variants(given, vary)
    if vary:
        raise InputProblem("--vary: a sweep reads the setup's file; give that instead of the setup")
    return [Variant(given.name, given, given, (), ())]


def _label(file: str, one: Variant) -> str:
    """File and what was varied, as far as there are several of each."""
    return ", ".join(part for part in (file, one.label if one.changed else "") if part)


def contender_of(file: int, label: str, one: Variant) -> Contender:
    """The variant on its bow, ready to be compared."""
    setup = one.setup
    conditions = Conditions(setup.air, drag_coefficient=setup.drag_coefficient)
    rig = assemble_rig(setup.bow, setup.parts, conditions, replace(setup.sight, sight_in=None))
    return contender(
        label,
        rig,
        setup.uncertainty,
        measured_bow=one.measured.bow,
        measured_arrow=assemble(one.measured.parts),
        file=file,
    )


def notes_of(contenders: Sequence[Contender], found: Sequence[Variant]) -> list[str]:
    """What parts and numbers disagree about; what not all share is named with its label."""
    notes: dict[str, list[str]] = {}
    for one, variant in zip(contenders, found, strict=True):
        for text in (*one.rig.notes, *variant.notes):
            notes.setdefault(text, []).append(one.label)
    return [
        text if len(labels) == len(contenders) else f"{'; '.join(labels)}: {text}"
        for text, labels in notes.items()
    ]


def demand_speeds(answers: Sequence[Compared], where: Sequence[float]) -> None:
    """Refuse distances that an arrow never reaches. Raises InputProblem."""
    for one in answers:
        demand_reached(
            f"{one.contender.label}: shot along the bore line the arrow",
            where,
            one.figures["speed"].nominal,
            instead="Ask for shorter distances",
        )
