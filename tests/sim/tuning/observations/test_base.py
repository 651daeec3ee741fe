"""What every kind of observation is and does."""

import dataclasses

import pytest

from vireton.film.clip import Clip, Frame
from vireton.job.format import RoundTable
from vireton.tuning.observations import (
    OBSERVATION_KINDS,
    Film,
    Found,
    Looked,
    Observation,
    Tear,
    WalkbackPoint,
    group_of_shots,
    parse_arrow,
    parse_shot_arrow,
)
from vireton.units.problems import InputProblem
from vireton.units.text import UnitSystem

INCH = 0.0254
FILM = Clip(
    "above",
    (Frame(3, (310.0, 540.5), (958.0, 548.25)), Frame(4, (610.0, 541.0), (1258.0, 1 / 3 + 549))),
    120.0,
    (3840.0, 2160.0),
    1.0 / 3000.0,
    0.0031,
    1.0 / 3.0,
    2.5,
)
SEEN: tuple[Observation, ...] = (
    Tear("bare", 1.8288, 0.001, -1 / 300),
    group_of_shots("fletched", 18.288, ((0.01, 0.02), (0.03, -0.04))),
    WalkbackPoint(27.0, -0.4 * INCH),
    Film("bare", FILM),
    Looked("slipped", 4, True),
    Found("contact", "lower vane", "powder"),
)


def said(call: object, *arguments: object) -> str:
    assert callable(call)
    with pytest.raises(InputProblem) as caught:
        call(*arguments)
    return str(caught.value)


def test_arrows() -> None:
    assert parse_arrow("bare") == parse_arrow(" Bare ") == "bare"
    assert parse_arrow("FLETCHED") == "fletched"
    assert 'write "bare" or "fletched"' in said(parse_arrow, "broadhead", "--tear")
    assert parse_shot_arrow("Broadheads") == "broadhead"
    assert parse_shot_arrow("bare") == "bare"
    assert '"fletched" or "broadhead"' in said(parse_shot_arrow, "dart", "--group")


def test_every_kind_is_here_once() -> None:
    assert tuple(type(one) for one in SEEN) == OBSERVATION_KINDS
    assert (
        len({kind.key for kind in OBSERVATION_KINDS})
        == len({kind.json_key for kind in OBSERVATION_KINDS})
        == len(OBSERVATION_KINDS)
    )
    assert set(RoundTable.model_fields) >= {kind.key for kind in OBSERVATION_KINDS}


@pytest.mark.parametrize("one", SEEN, ids=lambda one: one.key)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_table_reads_back_exactly(one: Observation, units: UnitSystem) -> None:
    assert one.from_table(one.table.model_validate(one.to_table(units))) == one


@pytest.mark.parametrize("one", SEEN, ids=lambda one: one.key)
def test_what_was_seen_cannot_be_changed(one: Observation) -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        setattr(one, dataclasses.fields(one)[0].name, None)  # type: ignore[arg-type]
