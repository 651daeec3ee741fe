"""The setup of a job's bow as it was in each of its rounds.

A job keeps the setup file as it stood, and changes say what other numbers hold from then on: who
edits the file does not read old rounds anew without knowing.
"""

import difflib
from functools import lru_cache
from pathlib import Path
from typing import Any

import tomlkit

from vireton.files.toml import parse_toml
from vireton.job.building import Numbers
from vireton.job.read import TuningLog
from vireton.setup import Setup, load_setup, parse_setup
from vireton.setup.errors import SETUP_FILE, SetupError
from vireton.setup.load import load_data
from vireton.setup.reading import single_kinds
from vireton.tuning.changes import Change, What
from vireton.units.factors import FACTORS
from vireton.units.problems import InputProblem, named
from vireton.units.text import as_typed

#: Tape needs a place: where the vanes would be (our choice).
_TAPE, _TAPE_AT = "arrow.bare_tape.mass", ("arrow.bare_tape.from_throat", "2.5 in")
#: What stands beside a change whose numbers the edited file has.
BY_THE_FILE = "by the setup file"
#: What stands for a key that is not there.
NOTHING = "nothing"
#: Tables whose numbers say how the bow shoots; others are opinions, costs, air and limits.
_THE_BOW = ("bow", "arrow", "launch")
#: Keys and tables that a change of the file speaks of, the narrowest first.
_SPOKEN_OF: tuple[tuple[str, What], ...] = (
    ("arrow.point", "point"),
    ("arrow.insert", "point"),
    ("arrow.broadhead", "point"),
    ("arrow.vanes", "vanes"),
    ("arrow.nock", "nock turned"),
    ("arrow.bare_tape", "bare shaft"),
    ("arrow", "arrow"),
    ("bow.rest", "new rest"),
    ("bow.draw_weight", "draw weight"),
    ("bow.draw_length", "draw length"),
    ("bow.string", "new string"),
    ("bow", "other"),
    ("launch", "other"),
)


def setup_of(log: TuningLog, version: int | None = None) -> Setup:
    """The setup of rounds of this version, by default of the bow as it is now.

    Raises InputProblem where the file or what a change says cannot be used.
    """
    from vireton.setup.variants import with_values  # noqa: PLC0415 (reading a job does without)

    numbers = log.versions[log.version if version is None else version]
    base, data = _base(log.setup_path, numbers)
    values = _values(base, numbers)
    if not values:
        return base
    try:
        return with_values(base, data, values, "what was changed").setup
    except SetupError as wrong:
        told = "; ".join(str(one) for one in wrong.problems)
        raise InputProblem(
            f"{named(log.path)}: with what was changed this is no bow that can be: {told}. Put "
            "the change right with --correct"
        ) from None


def _base(path: Path, numbers: Numbers) -> tuple[Setup, dict[str, Any]]:
    if numbers.text is None:
        changed = bool(numbers.sets) or numbers.weight != 1.0
        return load_setup(path), (load_data(path) if changed else {})
    return _kept(numbers.text, path)


@lru_cache(maxsize=32)
def _kept(text: str, path: Path) -> tuple[Setup, dict[str, Any]]:
    """What a job keeps of its setup file: asked for several times an entry, and never another."""
    return parse_setup(text, path), parse_toml(text, path, SETUP_FILE)


def _values(base: Setup, numbers: Numbers) -> dict[str, Any]:
    from vireton.setup.variants import toml_value  # noqa: PLC0415

    kinds = single_kinds()
    values: dict[str, Any] = {}
    for key, text in numbers.sets:
        kind = kinds.get(key)
        values[key] = None if text == "none" else toml_value(text, kind) if kind else text
    if values.get(_TAPE) is not None:
        values = {_TAPE_AT[0]: _TAPE_AT[1], **values}
    if numbers.weight != 1.0:
        key = "bow.draw_weight"
        weight = kinds[key].read(values[key]) if key in values else base.bow.draw_weight
        values[key] = f"{weight * numbers.weight / FACTORS['force']['lbf']:.6g} lbf"
    return values


def check_sets(change: Change, where: str) -> None:
    """Raise InputProblem where a change sets a number that no setup file has, or no such value."""
    from vireton.setup.variants import toml_value  # noqa: PLC0415

    kinds = single_kinds()
    for key, text in change.sets:
        if text == "none":
            continue
        kind = kinds.get(key)
        if kind is None:
            near = difflib.get_close_matches(key, kinds, n=1, cutoff=0.5)
            hint = f'; did you mean "{near[0]}"?' if near else ""
            raise InputProblem(f"{where}: {as_typed(key)} is no number of a setup file{hint}")
        try:
            kind.read(toml_value(text, kind))
        except ValueError as wrong:
            raise InputProblem(f"{where}: {key}: {wrong}") from None


@lru_cache(maxsize=8)
def without_comments(text: str) -> str:
    """A setup file's tables alone, as a job keeps them."""
    return tomlkit.dumps(parse_toml(text, "setup", SETUP_FILE)).strip() + "\n"


def edited(log: TuningLog, text: str) -> list[tuple[str, str, str]]:
    """(dotted key, before, now) of what an edited setup file says otherwise than the job keeps."""
    kept = log.versions[log.version].text
    if kept is None:
        return []
    was, now = (_flat(parse_toml(one, "setup", SETUP_FILE)) for one in (kept, text))
    return [
        (key, was.get(key, NOTHING), now.get(key, NOTHING))
        for key in sorted({*was, *now})
        if was.get(key) != now.get(key)
    ]


def _flat(tables: dict[str, Any], above: str = "") -> dict[str, str]:
    found: dict[str, str] = {}
    for key, value in tables.items():
        path = f"{above}.{key}" if above else key
        if isinstance(value, dict):
            found |= _flat(value, path)
        else:
            found[path] = str(value)
    return found


def speaks_of_bow(keys: list[str]) -> list[str]:
    """Those of bow and arrow: the others say nothing of how it shoots. Names do not either."""
    return [
        one
        for one in keys
        if one.partition(".")[0] in _THE_BOW and one.rpartition(".")[2] not in ("name", "step")
    ]


def changes_of(keys: list[str]) -> tuple[Change, ...]:
    """What was changed on the bow, by the keys of the setup file that are other ones."""
    kinds = []
    for key in keys:
        what = next(w for table, w in _SPOKEN_OF if key == table or key.startswith(f"{table}."))
        if what not in kinds:
            kinds.append(what)
    return tuple(Change(one, note=BY_THE_FILE) for one in kinds)
