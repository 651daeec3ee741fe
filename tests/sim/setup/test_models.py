"""The tables of bow and arrow: every key described, every default and example readable."""

import tomllib
from collections.abc import Iterator
from typing import get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from vireton.bow.bow import Hand, RestType
from vireton.bow.parts import PointShape, VaneOutline, VaneTurn
from vireton.setup.models import ArrowTable, BowTable
from vireton.setup.models_around import SetupFile
from vireton.units.kind import Kind


def fields(model: type[BaseModel], above: str = "") -> Iterator[tuple[str, FieldInfo]]:
    for name, field in model.model_fields.items():
        key = f"{above}{field.alias or name}"
        yield key, field
        for one in (field.annotation, *get_args(field.annotation)):
            if isinstance(one, type) and issubclass(one, BaseModel):
                yield from fields(one, f"{key}.")


ALL = dict(fields(SetupFile))
LEAVES = {
    key: next(one for one in field.metadata if isinstance(one, Kind))
    for key, field in ALL.items()
    if any(isinstance(one, Kind) for one in field.metadata)
}


def test_every_key_is_described() -> None:
    for key, field in ALL.items():
        assert field.description, key


def test_every_example_can_be_read() -> None:
    for kind in LEAVES.values():
        written = tomllib.loads(f"value = {kind.example}")["value"]
        kind.read(written)


def test_every_default_can_be_read() -> None:
    for key, kind in LEAVES.items():
        field = ALL[key]
        if not field.is_required() and field.default is not None:
            kind.read(field.default)


def test_the_choices_are_those_of_the_library() -> None:
    for key, choices in (
        ("bow.hand", Hand),
        ("bow.rest.type", RestType),
        ("arrow.point.shape", PointShape),
        ("arrow.vanes.turn", VaneTurn),
        ("arrow.vanes.outline", VaneOutline),
    ):
        assert LEAVES[key].describe()["enum"] == list(get_args(choices))


def test_what_must_be_given() -> None:
    needed = {key for key, field in ALL.items() if field.is_required()}
    assert {key for key in needed if key.count(".") < 2} == {
        *("schema", "bow", "arrow", "bow.name", "bow.hand", "bow.draw_weight", "bow.let_off"),
        *("bow.draw_length", "bow.brace_height", "bow.arrow_speed", "bow.rest"),
        *("arrow.name", "arrow.length", "arrow.nock", "arrow.shaft", "arrow.point"),
        *("wind.speed", "wind.from_clock"),
    }


def test_tables_cannot_be_changed_after_reading() -> None:
    assert BowTable.model_config["frozen"]
    assert ArrowTable.model_config["extra"] == "forbid"
