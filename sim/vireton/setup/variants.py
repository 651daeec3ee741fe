"""One setup file with some of its keys changed: what ``--vary`` asks for.

The parsed tables are changed and read like any file, so that every check of a setup file applies.
What was measured with the file's own arrow cannot hold for another one: the launch speed follows
from what the bow stores, a weighed mass and balance carry their difference from the sum of the
parts over, and a measured drag coefficient is refused where the shape changes.
"""

import copy
import difflib
import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from vireton.bow.arrow import assemble
from vireton.bow.parts import ArrowParts
from vireton.launch import speed_on_bow
from vireton.setup.load import Setup, build_setup, load_data, load_setup
from vireton.setup.reading import single_kinds
from vireton.setup.usual import fill
from vireton.uncertain.measurements import MEASUREMENTS
from vireton.units.kind import Kind
from vireton.units.kinds import Choice, Count, Number
from vireton.units.problems import InputProblem
from vireton.units.quantity import Quantity
from vireton.units.text import UnitError, as_typed, split, unit_at_end

#: More columns than this nobody reads, and each takes its time (our choice).
MOST_VARIANTS = 24

_SPEED = "bow.arrow_speed"
_WEIGHED = ("arrow.mass", "arrow.balance")
_DRAG = "arrow.drag_coefficient"
#: Keys of an arrow that do not move its drag coefficient.
_NO_SHAPE = {
    "arrow.mass",
    "arrow.balance",
    "arrow.nock.mass",
    "arrow.shaft.inside_diameter",
    "arrow.shaft.mass_per_length",
    "arrow.shaft.spine",
    "arrow.insert.mass",
    "arrow.insert.length",
    "arrow.point.mass",
    "arrow.vanes.mass",
    "arrow.vanes.turn",
    "arrow.wrap.mass",
    "arrow.wrap.length",
}


@dataclass(frozen=True)
class Variant:
    """One setup of a sweep.

    ``label`` says what was set, as typed. ``measured`` is the setup whose ``bow.arrow_speed`` was
    measured (the file itself, or this one where the speed is varied): the speed of ``setup``
    follows from it. ``changed`` are the full key paths, ``notes`` what had to be assumed.
    """

    label: str
    setup: Setup
    measured: Setup
    changed: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _Sweep:
    """One ``--vary``: the key's full path, as typed, and its values, as typed and for TOML."""

    key: str
    typed: str
    texts: tuple[str, ...]
    values: tuple[Any, ...]


def variants(path: Path | str, wanted: Sequence[str]) -> list[Variant]:
    """Every pairing of the values asked for; the file as it is where nothing is.

    Args:
        path: a setup file, right by itself.
        wanted: sweeps such as ``"vanes.length=1.75in,2in"``. The key is a dotted path of the file,
            or so much of its end as only one key has; the values are written as in the file,
            without quotes; a value without a unit takes the one at the end of the list.

    Raises SetupError or InputProblem for a file, a key or a value that cannot be, for a sweep of
    more than :data:`MOST_VARIANTS`, and for what was measured and cannot hold.
    """
    path = Path(path)
    base = load_setup(path)
    sweeps = [_sweep(text) for text in wanted]
    _check_sweeps(sweeps)
    if not sweeps:
        return [Variant(base.name, base, base, (), ())]
    data = load_data(path)
    return [
        _variant(base, data, sweeps, picks)
        for picks in itertools.product(*(range(len(one.values)) for one in sweeps))
    ]


def _check_sweeps(sweeps: Sequence[_Sweep]) -> None:
    keys = [one.key for one in sweeps]
    twice = next((key for key in keys if keys.count(key) > 1), None)
    if twice:
        raise InputProblem(f"--vary: {twice} is there twice; list all its values in one")
    count = 1
    for one in sweeps:
        count *= len(one.values)
    if count > MOST_VARIANTS:
        product = " × ".join(str(len(one.values)) for one in sweeps)
        raise InputProblem(
            f"--vary: {product} = {count} variants; at most {MOST_VARIANTS} at once: give fewer "
            "values, or one key after the other"
        )


def _sweep(text: str) -> _Sweep:
    typed, equals, listed = text.partition("=")
    typed, pieces = typed.strip(), [one.strip() for one in listed.split(",")]
    if not equals or not typed or not all(pieces):
        raise InputProblem(
            f"--vary: {as_typed(text)} is no sweep; write a key of the setup file and its values, "
            'such as "vanes.length=1.75in,2in,2.25in"'
        )
    key, kind = _key(typed)
    if isinstance(kind, Quantity):
        unit = _unit_of(pieces[-1])
        pieces = [_spaced(one, _unit_of(one) or unit) for one in pieces]
    return _Sweep(key, typed, tuple(pieces), tuple(toml_value(one, kind) for one in pieces))


def _unit_of(text: str) -> str:
    try:
        return split(text)[1]
    except UnitError:
        return ""


def _spaced(text: str, unit: str) -> str:
    """Number, blank, unit; what is no quantity stays as it is."""
    return f"{text.removesuffix(unit_at_end(text)).strip()} {unit}" if unit else text


def toml_value(text: str, kind: Kind) -> Any:
    """The value as TOML would hold it; what is no number stays text, for the kind to refuse."""
    if isinstance(kind, Number | Count):
        for read in (int, float):
            try:
                return read(text)
            except ValueError:
                continue
    return text


def _key(typed: str) -> tuple[str, Kind]:
    """The one key whose path ends in what was typed."""
    known = {
        key: kind
        for key, kind in single_kinds().items()
        # bands are drawn from, not varied; names and lists are no numbers to compare
        if isinstance(kind, Quantity | Number | Count | Choice)
    }
    if typed in known:
        return typed, known[typed]
    found = [key for key in known if key.endswith(f".{typed}")]
    if len(found) == 1:
        return found[0], known[found[0]]
    if found:
        raise InputProblem(f"--vary: {typed} may be {' or '.join(found)}; write which")
    raise InputProblem(
        f"--vary: {as_typed(typed)} is no key that can be varied{_nearest(typed, known)}"
    )


def _nearest(typed: str, known: Mapping[str, Kind]) -> str:
    ends: dict[str, str] = {}
    for key in known:
        parts = key.split(".")
        for start in range(len(parts)):
            ends.setdefault(".".join(parts[start:]), key)
    near = difflib.get_close_matches(typed, ends, n=1, cutoff=0.6)
    if near:
        return f'; did you mean "{ends[near[0]]}"?'
    return "; `vireton schema` lists the keys of a setup file"


def _variant(
    base: Setup, data: Mapping[str, Any], sweeps: Sequence[_Sweep], picks: Sequence[int]
) -> Variant:
    label = ", ".join(
        f"{one.typed} {one.texts[pick]}" for one, pick in zip(sweeps, picks, strict=True)
    )
    values = {one.key: one.values[pick] for one, pick in zip(sweeps, picks, strict=True)}
    return with_values(base, data, values, label)


def with_values(
    base: Setup, data: Mapping[str, Any], values: Mapping[str, Any], label: str
) -> Variant:
    """The setup with other values.

    Args:
        base: as the file has it.
        data: the tables of the file.
        values: by dotted key, as TOML holds them; None takes the key or table out.
        label: what was set, for people.

    Raises SetupError or InputProblem for a value that cannot be, and for what was measured and
    cannot hold.
    """
    changed = tuple(values)
    tables: dict[str, Any] = copy.deepcopy(dict(data))
    for row in MEASUREMENTS:  # of the number as it was
        if set(row.replaces) & set(changed):
            tables.get("measured", {}).pop(row.key, None)
    for key, value in values.items():
        *above, last = key.split(".")
        table = tables
        for name in above:
            table = table.setdefault(name, {})
        if value is None:
            table.pop(last, None)
        else:
            table[last] = value
    # no line numbers: the value is not in the file
    setup = build_setup(tables, f"{base.path} with {label}", {}, base.path, fill(dict(data)))
    _refuse_old_drag(base, changed)
    setup, notes = _reweighed(base, setup, changed)
    measured = setup if _SPEED in changed else base
    return Variant(label, _respeeded(measured, setup), measured, changed, notes)


def _refuse_old_drag(base: Setup, changed: Sequence[str]) -> None:
    shape = [key for key in changed if key.startswith("arrow.") and key not in {*_NO_SHAPE, _DRAG}]
    if base.drag_coefficient is not None and shape and _DRAG not in changed:
        raise InputProblem(
            f"{base.path}: {_DRAG} was measured with the file's own arrow and cannot hold where "
            f"{shape[0]} changes; delete it, so that the drag is modeled for all of them"
        )


def _reweighed(base: Setup, setup: Setup, changed: Sequence[str]) -> tuple[Setup, tuple[str, ...]]:
    """Carry over by how much the weighed arrow differs from the sum of its parts."""
    old = base.parts
    rest = [key for key in changed if key.startswith("arrow.") and key not in {*_WEIGHED, _DRAG}]
    if not rest or (old.measured_mass is None and old.measured_balance is None):
        return setup, ()
    weighed = [key for key in changed if key in _WEIGHED]
    if weighed:
        raise InputProblem(
            f"--vary: a weighed {weighed[0]} belongs to one set of parts; vary it or {rest[0]}, "
            "not both"
        )
    summed_old, fitted = assemble(_unweighed(old)), assemble(old)
    summed = assemble(_unweighed(setup.parts))
    mass = summed.mass + fitted.mass - summed_old.mass
    moment = summed.mass * summed.balance + (
        fitted.mass * fitted.balance - summed_old.mass * summed_old.balance
    )
    parts = replace(
        setup.parts,
        measured_mass=None if old.measured_mass is None else mass,
        measured_balance=None if old.measured_balance is None else moment / mass,
    )
    return replace(setup, parts=parts), (
        "the file's arrow was weighed or balanced; by how much it differs from the sum of its "
        "parts is carried over to the variants, as if the other parts were the same pieces",
    )


def _unweighed(parts: ArrowParts) -> ArrowParts:
    return replace(parts, measured_mass=None, measured_balance=None)


def _respeeded(measured: Setup, setup: Setup) -> Setup:
    """The setup with the launch speed that the same bow gives to its arrow."""
    own, arrow = assemble(measured.parts), assemble(setup.parts)
    if arrow.mass == own.mass and setup.bow == measured.bow:
        return setup
    speed = speed_on_bow(measured.bow, own, setup.bow, arrow)
    return replace(setup, bow=replace(setup.bow, arrow_speed=speed))
