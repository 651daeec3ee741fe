"""Read a setup file into the parts, the bow, the air and the sight of the library."""

import os
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from vireton.bow.bow import Bow, Sight
from vireton.bow.parts import ArrowParts
from vireton.flight.air import Air
from vireton.scatter.sources import Scatter
from vireton.setup.build import (
    build_air,
    build_bow,
    build_parts,
    build_ranges,
    build_rules,
    build_scatter,
)
from vireton.setup.errors import Problem, SetupError
from vireton.setup.mistaken import is_log
from vireton.setup.models_around import SetupFile
from vireton.setup.places import KeyPath, key_lines
from vireton.setup.reading import read_models
from vireton.studies.rules import Rule
from vireton.units.text import as_typed

LARGEST_FILE = 1 << 20  # bytes

#: A key path of twenty steps or more: tomllib's time and memory grow with the square of it.
DEEP_PATH = re.compile(
    r"""(?:^|[{,\[])[ \t]*(?:(?:[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*')[ \t]*\.[ \t]*){20}""", re.M
)

_A_LOG = Problem(
    "",
    "is a tuning log, not a setup file: give the setup file that it names, or read it with "
    "`vireton tune`, `walkback` or `report`",
)


@dataclass(frozen=True)
class Setup:
    """One setup file in SI units.

    ``path`` is where it was read from, None for a text. ``drag_coefficient`` on the shaft's
    cross-section, None for the model's own. ``wind``: speed m/s and the clock direction that it
    comes out of (12 in the face). ``wind_profile``: its exponent and reference height m, see
    :class:`vireton.flight.flight.Wind`. ``rest_step`` m. ``uncertainty``: plausible low and high by
    the keys of :data:`vireton.uncertain.inputs.INPUTS`. ``scatter``: what differs from shot to
    shot.
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


def load_setup(path: Path | str) -> Setup:
    """Read a setup file. Raises SetupError with all that is wrong, each in one line."""
    path = Path(path)
    return parse_setup(_read_text(path), path)


def parse_setup(text: str, path: Path | None = None) -> Setup:
    """Read the text of a setup file; ``path`` is where it is from, for messages.

    Raises SetupError with all that is wrong, each in one line.
    """
    file = str(path) if path is not None else "setup"
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    try:
        return build_setup(_parse_toml(text, file), file, key_lines(text), path)
    except SetupError:
        if is_log(text):
            raise SetupError(file, [_A_LOG]) from None
        raise


def load_data(path: Path) -> dict[str, Any]:
    """The tables of a setup file as TOML holds them, not yet checked. Raises SetupError."""
    text = _read_text(path).removeprefix("\ufeff").replace("\r\n", "\n")
    return _parse_toml(text, str(path))


def build_setup(
    data: dict[str, Any], file: str, lines: dict[KeyPath, int], path: Path | None
) -> Setup:
    """Check the tables of a setup file and turn them into SI.

    ``file`` and ``lines`` (of keys) are for messages. Raises SetupError with all that is wrong.
    """
    models, problems = read_models(data, lines)
    if models is None or problems:
        raise SetupError(file, problems)
    return _build(models, path)


def _build(models: SetupFile, path: Path | None) -> Setup:
    wind = models.wind
    bow, parts = build_bow(models.bow, models.launch), build_parts(models.arrow)
    return Setup(
        name=models.name or f"{models.bow.name} with {models.arrow.name}",
        path=path,
        bow=bow,
        parts=parts,
        drag_coefficient=models.arrow.drag_coefficient,
        air=build_air(models.air),
        wind=(0.0, 12.0) if wind is None else (wind.speed, wind.from_clock),
        wind_profile=(0.0, 2.0) if wind is None else (wind.profile_exponent, wind.reference_height),
        sight=Sight(models.sight.sight_in, models.sight.height_above_arrow),
        rest_step=models.bow.rest.step,
        uncertainty=build_ranges(models, bow, parts),
        scatter=build_scatter(models.scatter, parts),
        rules=build_rules(models),
    )


def _read_text(path: Path) -> str:
    file = str(path)

    def refused(text: str, line: int | None = None) -> SetupError:
        return SetupError(file, [Problem("", text, line)])

    if os.path.isdir(path):  # noqa: PTH112 (a name that is too long is no folder)
        raise refused("is a folder; give the setup file in it")
    try:
        with path.open("rb") as stream:
            raw = stream.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise refused("there is no such file; `vireton new FILE` writes one") from None
    except PermissionError:
        raise refused("may not be read; check the file's permissions") from None
    except (OSError, ValueError) as problem:  # ValueError: a NUL in the name
        reason = getattr(problem, "strerror", None) or problem
        raise refused(f"cannot be read: {reason}") from None
    if len(raw) > LARGEST_FILE:
        raise refused("is larger than 1 MiB, so it is no setup file")
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as problem:
        line = raw.count(b"\n", 0, problem.start) + 1
        raise refused("is not UTF-8 text; save it as UTF-8 in your editor", line) from None


def _parse_toml(text: str, file: str) -> dict[str, Any]:
    too_deep = Problem("", "lists or tables are nested too deeply for a setup file")
    if DEEP_PATH.search(text):
        raise SetupError(file, [too_deep])
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise SetupError(file, [too_deep]) from None
    except ValueError as problem:  # TOMLDecodeError is one; so is a number of 5000 digits
        raise SetupError(file, [syntax_problem(str(problem), text)]) from None


#: tomllib's commonest messages, in words for people who have never heard of TOML.
_PLAIN_WORDS = (
    (r"Cannot declare \('(.*)',?\) twice", r"the table [\1] is there twice"),
    (r"Cannot overwrite a value", "the same key is there twice"),
    (r"Exceeds the limit .*", "a number has far too many digits"),
    (r"Illegal character '\\n'", "a quote is opened and not closed on this line"),
    (r"Expected newline or end of document after a statement", "the value ends too early"),
)


def syntax_problem(message: str, text: str) -> Problem:
    """What tomllib says of a text that is no TOML, with its line and column."""
    place = re.search(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$", message)
    said = message[: place.start()] if place else message
    for pattern, words in _PLAIN_WORDS:
        said = re.sub(rf"^{pattern}$", words, said).replace("', '", ".")
    if place is None:
        return Problem("", f"not valid TOML: {said}")
    lines = text.split("\n")
    line = int(place[1]) if place[1] else len(text.rstrip().split("\n"))
    column = f"column {place[2]}" if place[2] else "the end of the file"
    return Problem("", f"not valid TOML at {column}: {said}{_quote_hint(lines[line - 1])}", line)


def _quote_hint(line: str) -> str:
    """For the commonest slip, a quantity without quotes."""
    match = re.match(r"\s*([A-Za-z0-9_-]+)\s*=\s*([^\s\"'#\[\]{}][^\"'#\[\]{}]*)(?:#.*)?$", line)
    if match is None:
        return ""
    return f"; put the value in quotes: {match[1]} = {as_typed(match[2].strip())}"
