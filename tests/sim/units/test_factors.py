"""The table of units, against definitions and against pint."""

import math
from typing import Any

import pint
import pytest

from vireton.units.factors import EXAMPLES, FACTORS, KINDS
from vireton.units.text import parse

REGISTRY: Any = pint.UnitRegistry()

SI = {
    "length": "m",
    "mass": "kg",
    "force": "N",
    "speed": "m/s",
    "angle": "rad",
    "angular_rate": "rad/s",
    "mass_per_length": "kg/m",
    "temperature": "delta_degC",
    "pressure": "Pa",
    "fraction": "",
    "time": "s",
    "frequency": "1/s",
    "mass_per_force": "kg/N",
    "density": "kg/m**3",
    "energy": "J",
    "momentum": "kg*m/s",
    "stiffness": "N/m",
    "turning_stiffness": "N*m/rad",
}

# the trade's spellings that pint has not, or takes for something else
SPELT_FOR_PINT = {
    ("force", "lb"): "lbf",
    ("force", "lbs"): "lbf",
    ("stiffness", "lb/in"): "lbf/in",
    ("mass_per_force", "gr/lb"): "gr/lbf",
    ("angle", "moa"): "arcmin",
    ("angular_rate", "rev/s"): "turn/s",
    ("temperature", "degF"): "delta_degF",
    ("temperature", "°F"): "delta_degF",
    ("temperature", "F"): "delta_degF",
    ("temperature", "degC"): "delta_degC",
    ("temperature", "°C"): "delta_degC",
    ("temperature", "C"): "delta_degC",
    ("temperature", "K"): "delta_degC",
}

ALL = [(dimension, unit) for dimension, units in FACTORS.items() for unit in units]


def test_every_size_agrees_with_pint() -> None:
    for dimension, unit in ALL:
        spelt = SPELT_FOR_PINT.get((dimension, unit), unit).replace("³", "**3").replace("·", "*")
        expected = REGISTRY.Quantity(1.0, REGISTRY.Unit(spelt)).to(SI[dimension]).magnitude
        assert FACTORS[dimension][unit] == pytest.approx(expected, rel=1e-14)


@pytest.mark.parametrize(
    ("dimension", "unit", "size"),
    [
        # international yard and pound agreement of 1959, by definition (from memory)
        ("length", "in", 0.0254),
        ("length", "ft", 0.3048),
        ("length", "yd", 0.9144),
        ("mass", "lb", 0.45359237),
        ("mass", "gr", 0.45359237 / 7000.0),
        ("force", "lbf", 0.45359237 * 9.80665),
        # 1 inHg (conventional) is 3386.389 Pa (from memory)
        ("pressure", "inHg", 3386.389),
        ("energy", "ft·lbf", 1.3558179483314004),
        ("angular_rate", "rpm", math.pi / 30.0),
    ],
)
def test_sizes_by_definition(dimension: str, unit: str, size: float) -> None:
    assert FACTORS[dimension][unit] == pytest.approx(size, rel=2e-7 if unit == "inHg" else 1e-15)


def test_the_example_of_a_message_can_be_read() -> None:
    for dimension in EXAMPLES:
        assert math.isfinite(parse(EXAMPLES[dimension], dimension))


def test_every_kind_shows_both_systems_in_one_dimension() -> None:
    for kind in KINDS:
        us, _, metric, _ = KINDS[kind]
        assert any(us in units and metric in units for units in FACTORS.values())
