"""From a parsed TOML file to checked models, or to all that is wrong with it."""

import difflib
from collections.abc import Iterator
from functools import cache
from typing import Any, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from vireton.files.places import KeyPath, line_of
from vireton.files.problems import Problem
from vireton.setup.checks import Values, cross_checks
from vireton.setup.models_around import SetupFile
from vireton.setup.usual import Filled
from vireton.units.kind import Kind, shown
from vireton.units.problems import printable

#: What a file of few keys gives instead of its arrow's parts, and what a longer one gives.
_MASS, _SHAFT = ("arrow", "mass"), ("arrow", "shaft", "mass_per_length")

#: Problems beyond this are not put in words: looking for what each unknown key may have meant takes
#: its time, and a file of 50 000 of them is no setup file.
_MOST_SAID = 200


def read_models(
    filled: Filled, lines: dict[KeyPath, int]
) -> tuple[SetupFile | None, list[Problem]]:
    """The file as models, and its problems: of single keys and of keys that do not fit together.

    The models are None where a single key is wrong.
    """
    problems: list[Problem] = []
    models, data = None, filled.data
    try:
        models = SetupFile.model_validate(data)
    except ValidationError as error:
        details = _without_echoes(error.errors(include_url=False))
        problems = [_problem(one, lines) for one in details[:_MOST_SAID]]
    values = Values(left_open=filled.left_open)
    _collect(values, SetupFile, data)
    for key, text in cross_checks(values):
        problems.append(Problem(key, text, line_of(lines, tuple(key.split(".")))))
    return models, problems


def _without_echoes(details: list[ErrorDetails]) -> list[ErrorDetails]:
    """Leave out "missing" for a key that a misspelt neighbor was meant to be."""
    meant = {
        (*one["loc"][:-1], _near(_path(one["loc"])))
        for one in details
        if one["type"] == "extra_forbidden"
    }
    return [one for one in details if not (one["type"] == "missing" and _is_meant(one, meant))]


def _is_meant(missing: ErrorDetails, meant: set[tuple[int | str | None, ...]]) -> bool:
    """Whether the key, or a table that it is in, stands there misspelt."""
    path = _MASS if missing["loc"] == _SHAFT else missing["loc"]
    return any(path[: end + 1] in meant for end in range(len(path)))


def _path(loc: tuple[int | str, ...]) -> KeyPath:
    # the tables of a list are counted from 1, as people do
    return tuple(str(part + 1) if isinstance(part, int) else part for part in loc)


def _problem(detail: ErrorDetails, lines: dict[KeyPath, int]) -> Problem:
    path = _path(detail["loc"])
    if detail["type"] == "missing" and path == _SHAFT:
        text = f"{_missing(_MASS)}; or list the arrow's parts, with {'.'.join(_SHAFT)}"
        return Problem(".".join(_MASS), text, line_of(lines, _MASS))
    match detail["type"]:
        case "missing":
            text = _missing(path)
        case "extra_forbidden":
            text = _replaced(path, detail["input"]) or _unknown(path)
        case "value_error":
            text = str(detail["ctx"]["error"])
        case _:  # only tables are left to pydantic itself
            what = "list of tables" if _header(path).startswith("[[") else "table"
            text = f"{shown(detail['input'])} where a {what} is needed: {_table_hint(path)}"
    line = line_of(lines, path)
    return Problem(".".join(printable(part, 40) for part in path), text, line)


def _header(path: KeyPath) -> str:
    """How the table is opened; one of a list has double brackets."""
    name = ".".join(key for key in path if not key.isdigit())
    field = _field(path)
    return f"[[{name}]]" if field is not None and _is_list(field) else f"[{name}]"


def _table_hint(path: KeyPath) -> str:
    return f"write {_header(path)} on a line of its own and its keys below"


def _missing(path: KeyPath) -> str:
    field = _field(path)
    kind = kind_of(field) if field else None
    if kind is None:
        return f"the table is missing: {_table_hint(path)}"
    where = f"under {_header(path[:-1])}" if len(path) > 1 else "at the top of the file"
    return f"is missing; write it {where}, such as {path[-1]} = {kind.example} ({_said(field)})"


def _said(field: FieldInfo | None) -> str:
    return (field.description if field and field.description else "needed").rstrip(".")


def _replaced(path: KeyPath, value: object) -> str:
    """What took the place of a key of earlier versions; empty where it never was one."""
    if path[-1] != "sideways_softness":
        return ""
    if path[0] == "uncertainty":
        return (
            f"{shown(value)}: the cams' sideways give is no longer a softness, for it has mass. "
            'Delete the line, or give the range of what took its place: cam_stiffness = ["1 N/mm", '
            '"100 N/mm"] and cam_mass = ["100 g", "400 g"]'
        )
    return (
        f"{shown(value)}: the cams' sideways give is no longer a softness, for it has mass. Delete "
        'the line, or write in its place, under [bow.string], cam_mass = "200 g" (cams, axles and '
        'limb tips together) and cam_stiffness = "10 N/mm" (how hard the limbs hold them)'
    )


def _near(path: KeyPath) -> str | None:
    """The key of the same table that this unknown one comes nearest to."""
    near = difflib.get_close_matches(path[-1], keys_of(path[:-1]), n=1, cutoff=0.6)
    return near[0] if near else None


def _unknown(path: KeyPath) -> str:
    above, key = path[:-1], path[-1]
    elsewhere = [table for table in _tables() if key in keys_of(table) and table != above]
    if elsewhere:
        names = " or ".join(_header(t) if t else "the top of the file" for t in elsewhere)
        return f"unknown key here; it belongs under {names}"
    near = _near(path)
    if near:
        return f'unknown key; did you mean "{near}"?'
    return f"unknown key; known here: {', '.join(keys_of(above))}"


def kind_of(field: FieldInfo) -> Kind | None:
    """The kind that a field's annotation carries; None for a table."""
    return next((one for one in field.metadata if isinstance(one, Kind)), None)


def _parts(annotation: Any) -> Iterator[Any]:
    """The annotation and all that it is made of."""
    yield annotation
    for one in get_args(annotation):
        yield from _parts(one)


def _model_of(field: FieldInfo) -> type[BaseModel] | None:
    for one in _parts(field.annotation):
        if isinstance(one, type) and issubclass(one, BaseModel):
            return one
    return None


def _is_list(field: FieldInfo) -> bool:
    """Whether it is a list of tables."""
    return _model_of(field) is not None and any(
        get_origin(one) is tuple for one in _parts(field.annotation)
    )


def _named(model: type[BaseModel]) -> dict[str, FieldInfo]:
    return {field.alias or name: field for name, field in model.model_fields.items()}


def _field(path: KeyPath) -> FieldInfo | None:
    model: type[BaseModel] | None = SetupFile
    field = None
    for key in path:
        if key.isdigit():  # which of a list
            continue
        field = _named(model).get(key) if model else None
        model = _model_of(field) if field else None
    return field


def keys_of(table: KeyPath) -> list[str]:
    """The keys that a table may hold."""
    field = _field(table)
    model = SetupFile if not table else _model_of(field) if field else None
    return list(_named(model)) if model else []


def _tables(model: type[BaseModel] = SetupFile, above: KeyPath = ()) -> Iterator[KeyPath]:
    yield above
    for key, field in _named(model).items():
        inner = _model_of(field)
        if inner is not None:
            yield from _tables(inner, (*above, key))


@cache
def single_kinds() -> dict[str, Kind]:
    """Every key of a setup file that holds one value, by its dotted path, with its kind."""
    found = {}
    for table in _tables():
        for key in keys_of(table):
            field = _field((*table, key))
            kind = kind_of(field) if field else None
            if kind is not None:
                found[".".join((*table, key))] = kind
    return found


def description_of(key: str) -> str:
    """What the models say of a key, by its dotted path."""
    return _said(_field(tuple(key.split("."))))


def _collect(values: Values, model: type[BaseModel], data: dict[str, Any], above: str = "") -> None:
    """Read every single value by itself, by its key path: what is given, or else the default.

    So the keys that are right are checked against each other even where others are wrong.
    """
    for name, field in _named(model).items():
        given, kind, inner = data.get(name), kind_of(field), _model_of(field)
        key = f"{above}{name}"
        if inner is not None:
            # a table that may be left out has no values unless it is there
            if isinstance(given, dict) or (given is None and field.default_factory is not None):
                _collect(values, inner, given or {}, f"{key}.")
            continue
        written = field.default if given is None and not field.is_required() else given
        if kind is None or written is None:
            continue
        try:
            values.si[key] = kind.read(written)
            values.written[key] = shown(written)
        except ValueError:
            values.unreadable.add(key)
