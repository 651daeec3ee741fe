"""The whole file and the tables around bow and arrow."""

import pytest
from pydantic import ValidationError

from vireton.setup.models_around import (
    AirTable,
    RuleTable,
    SightTable,
    UncertaintyTable,
    WindTable,
)


def test_what_is_there_without_a_word() -> None:
    assert AirTable().altitude is None
    assert SightTable().sight_in is None
    assert SightTable().height_above_arrow == pytest.approx(3.5 * 0.0254, rel=1e-15)
    plausible = UncertaintyTable()
    assert plausible.rest_lets_go is None
    assert plausible.crossflow_drag == (0.75, 1.25)
    assert plausible.vane_lift == (0.8, 1.2)
    assert plausible.boundary_layer == (0.8, 1.2)
    assert plausible.friction == (0.85, 1.15)
    assert plausible.point_lift == (0.7, 1.3)


def test_a_wind_needs_its_direction() -> None:
    with pytest.raises(ValidationError, match="from_clock"):
        WindTable.model_validate({"speed": "10 mph"})


def test_from_clock_is_twelve_hours() -> None:
    assert WindTable.model_validate({"speed": "10 mph", "from_clock": 12}).from_clock == 12.0
    with pytest.raises(ValidationError):
        WindTable.model_validate({"speed": "10 mph", "from_clock": 13})


@pytest.mark.parametrize("exponent", [-0.1, 0.7, "0.14"])
def test_a_wind_profile_that_cannot_be(exponent: object) -> None:
    given = {"speed": "10 mph", "from_clock": 3, "profile_exponent": exponent}
    with pytest.raises(ValidationError, match="profile_exponent"):
        WindTable.model_validate(given)


def test_a_rule_keeps_its_limits_in_si() -> None:
    who = {"name": "a", "place": "b", "date": "c"}
    limits = RuleTable.model_validate({**who, "least_energy": "40 ft·lbf"}).limits
    assert limits == {"least_energy": pytest.approx(54.2327, abs=1e-4)}
    with pytest.raises(ValidationError, match="gives no limit"):
        RuleTable.model_validate(who)
