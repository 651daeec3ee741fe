"""Air against the published atmosphere and moist-air formula."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vireton.flight.air import from_measured, standard, sutherland_viscosity

# US Standard Atmosphere 1976, geometric height; derived from its defining equations
STANDARD_1976 = [
    (0.0, 1.22500, 1.7894e-5, 340.29),
    (1000.0, 1.11166, 1.7579e-5, 336.43),
    (2000.0, 1.00655, 1.7260e-5, 332.53),
    (3000.0, 0.90925, 1.6938e-5, 328.58),
]
# CIPM-2007 (Picard et al. 2008, Metrologia 45:149), 400 ppm CO2, 101 325 Pa; derived from it
CIPM_2007 = [(20.0, 0.5, 1.19931), (15.0, 0.0, 1.22552), (30.0, 0.8, 1.15001)]


@pytest.mark.parametrize(("height", "density", "viscosity", "sound"), STANDARD_1976)
def test_standard_atmosphere_to_the_printed_digits(height, density, viscosity, sound):
    air = standard(height)
    assert air.density == pytest.approx(density, abs=0.51e-5)
    assert air.viscosity == pytest.approx(viscosity, abs=0.51e-9)
    assert air.speed_of_sound == pytest.approx(sound, abs=0.51e-2)


def test_isothermal_layer_starts_where_the_1976_table_says():
    # US Standard Atmosphere 1976, table 4: 11 km geopotential = 11 019.1 m, 216.65 K, 226.32 hPa
    air = standard(11_019.07)
    assert air.temperature == pytest.approx(216.65, abs=1e-3)
    assert air.pressure == pytest.approx(22_632.0, abs=1.0)
    # and goes on: 15 km geometric, 121.11 hPa and 0.19476 kg/m3 (table 1, from memory)
    assert standard(15_000.0).pressure == pytest.approx(12_111.0, abs=2.0)
    assert standard(15_000.0).density == pytest.approx(0.19476, abs=2e-5)


@pytest.mark.parametrize(("celsius", "humidity", "density"), CIPM_2007)
def test_moist_air_to_the_printed_digits(celsius, humidity, density):
    air = from_measured(celsius + 273.15, 101_325.0, humidity)
    assert air.density == pytest.approx(density, abs=0.51e-5)


@given(st.floats(-30.0, 50.0), st.floats(6e4, 1.05e5), st.floats(0.0, 0.9))
def test_moisture_makes_air_lighter_and_heat_too(celsius, pressure, humidity):
    here = from_measured(celsius + 273.15, pressure, humidity)
    assert from_measured(celsius + 273.15, pressure, humidity + 0.1).density < here.density
    assert from_measured(celsius + 274.15, pressure, humidity).density < here.density


def test_the_two_ways_to_air_agree_when_dry():
    # the 1976 air holds less carbon dioxide and another gas constant: a few parts in ten thousand
    measured = from_measured(288.15, 101_325.0, 0.0)
    assert measured.density == pytest.approx(standard(0.0).density, rel=6e-4)


def test_sutherland_at_the_ice_point():
    # 1.716e-5 Pa·s at 273.15 K, the common reference of Sutherland's formula (from memory)
    assert sutherland_viscosity(273.15) == pytest.approx(1.716e-5, rel=2e-3)


@pytest.mark.parametrize("altitude", [-2001.0, 20_001.0, float("nan"), float("inf")])
def test_altitudes_outside_the_table_are_refused(altitude):
    with pytest.raises(ValueError, match="outside"):
        standard(altitude)


@pytest.mark.parametrize(
    "bad", [(200.0, 1e5, 0.5), (293.0, 1e3, 0.5), (293.0, 1e5, 1.5), (float("nan"), 1e5, 0.5)]
)
def test_impossible_weather_is_refused(bad):
    with pytest.raises(ValueError, match="outside"):
        from_measured(*bad)
