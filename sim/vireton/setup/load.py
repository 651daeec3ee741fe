"""Read a setup file into the parts, the bow, the air and the sight of the library."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from vireton.bow.bow import Bow, Sight
from vireton.bow.parts import ArrowParts
from vireton.files.places import KeyPath, key_lines
from vireton.files.problems import Problem
from vireton.files.toml import as_text, parse_toml, plain_lines, read_bytes
from vireton.flight.air import Air
from vireton.scatter.sources import Scatter
from vireton.setup.build import (
    build_air,
    build_bow,
    build_parts,
    build_ranges,
    build_rules,
    build_scatter,
    build_sight,
)
from vireton.setup.errors import SETUP_FILE, SetupError
from vireton.setup.mistaken import is_log
from vireton.setup.models_around import SetupFile
from vireton.setup.reading import read_models
from vireton.setup.usual import Filled, fill
from vireton.studies.rules import Rule
from vireton.tuning.costs import Costs
from vireton.uncertain.experience import Experience
from vireton.uncertain.measurements import MEASUREMENTS
from vireton.uncertain.narrowing import narrow
from vireton.uncertain.row import Pieces

_A_LOG = Problem(
    "",
    "is a job file, not a setup file: give the setup file that it names, or read it with "
    "`vireton tune`, `walkback` or `report`",
)


@dataclass(frozen=True)
class Setup:
    """One setup file in SI units.

    ``path`` is where it was read from, None for a text. ``drag_coefficient`` on the shaft's
    cross-section, None for the model's own. ``wind``: speed m/s and the clock direction that it
    comes out of (12 in the face). ``wind_profile``: its exponent and reference height m, see
    :class:`vireton.flight.flight.Wind`. ``rest_step`` m; ``rest_click`` the same where the file
    gives it, else None. ``uncertainty``: plausible low and high by
    the keys of :data:`vireton.uncertain.inputs.INPUTS`. ``scatter``: what differs from shot to
    shot. ``experience``: how often the trade's rules hold, by which plausible bows are weighed.
    ``costs`` of arrows, moves and what is left, when the bow is tuned. ``left_open``: what the file
    leaves open and usual values stand in for, in words. ``measured``: keys of the measurements that
    it holds, which are in bow, parts and ``uncertainty`` already; ``odd``: what they contradict.
    """

    name: str
    path: Path | None
    bow: Bow
    parts: ArrowParts
    drag_coefficient: float | None
    air: Air
    wind: tuple[float, float]
    wind_profile: tuple[float, float]
    sight: Sight
    rest_step: float
    uncertainty: dict[str, tuple[float, float]]
    scatter: Scatter
    rules: tuple[Rule, ...] = ()
    experience: Experience = field(default_factory=Experience)
    costs: Costs = field(default_factory=Costs)
    left_open: tuple[str, ...] = ()
    measured: tuple[str, ...] = ()
    odd: tuple[str, ...] = ()
    rest_click: float | None = None


def load_setup(path: Path | str) -> Setup:
    """Read a setup file. Raises SetupError with all that is wrong, each in one line."""
    path = Path(path)
    return parse_setup(setup_file_text(path), path)


def parse_setup(text: str, path: Path | None = None) -> Setup:
    """Read the text of a setup file; ``path`` is where it is from, for messages.

    Raises SetupError with all that is wrong, each in one line.
    """
    file = str(path) if path is not None else "setup"
    text = plain_lines(text)
    try:
        return build_setup(parse_toml(text, file, SETUP_FILE), file, key_lines(text), path)
    except SetupError:
        if is_log(text):
            raise SetupError(file, [_A_LOG]) from None
        raise


def load_data(path: Path) -> dict[str, Any]:
    """The tables of a setup file as TOML holds them, not yet checked. Raises SetupError."""
    return parse_toml(setup_file_text(path), path, SETUP_FILE)


def setup_file_text(path: Path) -> str:
    """The text of a setup file, not yet checked. Raises SetupError where it cannot be read."""
    return as_text(read_bytes(path, SETUP_FILE), path, SETUP_FILE)


def build_setup(
    data: dict[str, Any],
    file: str,
    lines: dict[KeyPath, int],
    path: Path | None,
    base: Filled | None = None,
) -> Setup:
    """Check the tables of a setup file and turn them into SI.

    ``file`` and ``lines`` (of keys) are for messages, ``base`` for a file with some keys varied,
    see :func:`vireton.setup.usual.fill`. Raises SetupError with all that is wrong.
    """
    filled = fill(data, base)
    models, problems = read_models(filled, lines)
    if models is None or problems:
        raise SetupError(file, problems)
    return _build(models, filled, path)


def _build(models: SetupFile, filled: Filled, path: Path | None) -> Setup:
    wind, phone = models.wind, models.costs.phone_on_stand == "yes"
    taken = models.measured.taken
    bow, parts = build_bow(models.bow, models.launch), build_parts(models.arrow)
    ranges = build_ranges(models, bow, parts, filled.left_open)
    known = narrow(Pieces(bow, parts), ranges, taken)
    bow, parts = known.pieces.bow, known.pieces.parts
    return Setup(
        name=models.name or f"{models.bow.name} with {models.arrow.name}",
        path=path,
        bow=bow,
        parts=parts,
        drag_coefficient=models.arrow.drag_coefficient,
        air=build_air(models.air),
        wind=(0.0, 12.0) if wind is None else (wind.speed, wind.from_clock),
        wind_profile=(0.0, 2.0) if wind is None else (wind.profile_exponent, wind.reference_height),
        sight=build_sight(models.sight),
        rest_step=models.bow.rest.step,
        uncertainty=known.ranges,
        scatter=build_scatter(models.scatter, parts, models.measured.speeds or ()),
        rules=build_rules(models),
        experience=Experience(
            models.experience.sideways_rule,
            models.experience.up_rule,
            known.before if taken else None,
        ),
        costs=Costs(**models.costs.model_dump() | {"phone_on_stand": phone}),
        left_open=filled.words,
        measured=tuple(
            row.key for row in MEASUREMENTS if row.key in taken or _is_there(models, row.place)
        ),
        odd=known.notes,
        rest_click=models.bow.rest.step if "step" in models.bow.rest.model_fields_set else None,
    )


def _is_there(models: SetupFile, place: str) -> bool:
    """Whether the file has the key that holds a measurement's reading."""
    value: object = models if place else None
    for name in place.split(".") if place else ():
        value = getattr(value, name, None)
    return value is not None
