"""Air: its density, viscosity and speed of sound, by altitude or from a weather station."""

import math
from dataclasses import dataclass, replace

#: US Standard Atmosphere 1976 (NOAA-S/T 76-1562), table 2: constants as defined there.
_EARTH_RADIUS = 6_356_766.0  # m
_GRAVITY = 9.80665  # m/s²
_GAS_CONSTANT = 8314.32  # J/(kmol·K)
_MOLAR_MASS = 28.9644  # kg/kmol
_RATIO_OF_HEATS = 1.4
_SEA_LEVEL_PRESSURE = 101_325.0  # Pa

#: The layers of table 4 of the same up to 20 km: geopotential height m, temperature K, lapse K/m.
_LAYERS = ((0.0, 288.15, -0.0065), (11_000.0, 216.65, 0.0))

LOWEST_ALTITUDE, HIGHEST_ALTITUDE = -2_000.0, 20_000.0


@dataclass(frozen=True)
class Air:
    """The air of one shot.

    ``density`` kg/m³; ``viscosity`` Pa·s (dynamic); ``speed_of_sound`` m/s; ``temperature`` K;
    ``pressure`` Pa; ``relative_humidity`` 0 to 1.
    """

    density: float
    viscosity: float
    speed_of_sound: float
    temperature: float
    pressure: float
    relative_humidity: float = 0.0

    @property
    def kinematic_viscosity(self) -> float:
        """Viscosity ÷ density, m²/s."""
        return self.viscosity / self.density

    def denser(self, factor: float) -> "Air":
        """Air of the same temperature with density and pressure times ``factor``."""
        if factor == 1.0:
            return self
        return replace(self, density=factor * self.density, pressure=factor * self.pressure)


def sutherland_viscosity(temperature: float) -> float:
    """Dynamic viscosity of air, Pa·s, at ``temperature`` K: β T^1.5/(T + S).

    β = 1.458e-6 kg/(s·m·√K), S = 110.4 K (US Standard Atmosphere 1976, eq. 51). Good for 100 to
    1900 K; moisture is left out (under 1 % at 30 °C and 80 %).
    """
    return 1.458e-6 * temperature * math.sqrt(temperature) / (temperature + 110.4)


def standard(altitude: float) -> Air:
    """The US Standard Atmosphere 1976 at ``altitude`` m (geometric), −2 000 to 20 000; dry.

    Eqs. 18 (geopotential height), 23 and 33 (temperature and pressure in a layer), 42, 50, 51.
    Raises ValueError outside the range.
    """
    if not LOWEST_ALTITUDE <= altitude <= HIGHEST_ALTITUDE:
        raise ValueError(
            f"altitude {altitude:g} m is outside {LOWEST_ALTITUDE:.0f} to {HIGHEST_ALTITUDE:.0f} m"
        )
    height = _EARTH_RADIUS * altitude / (_EARTH_RADIUS + altitude)
    pressure = _SEA_LEVEL_PRESSURE
    hydrostatic = _GRAVITY * _MOLAR_MASS / _GAS_CONSTANT  # K/m
    temperature = _LAYERS[0][1]
    for i, (base, at_base, lapse) in enumerate(_LAYERS):
        above = _LAYERS[i + 1][0] if i + 1 < len(_LAYERS) else math.inf
        rise = min(height, above) - base
        temperature = at_base + lapse * rise
        if lapse == 0.0:
            pressure *= math.exp(-hydrostatic * rise / at_base)
        else:
            pressure *= (at_base / temperature) ** (hydrostatic / lapse)
        if height <= above:
            break
    density = pressure * _MOLAR_MASS / (_GAS_CONSTANT * temperature)
    return Air(
        density=density,
        viscosity=sutherland_viscosity(temperature),
        speed_of_sound=math.sqrt(_RATIO_OF_HEATS * pressure / density),
        temperature=temperature,
        pressure=pressure,
    )


def from_measured(temperature: float, pressure: float, relative_humidity: float) -> Air:
    """Moist air from a thermometer, a barometer and a hygrometer.

    Args:
        temperature: K, 233 to 333.
        pressure: Pa at the place itself (not reduced to sea level), 3e4 to 1.2e5.
        relative_humidity: 0 to 1.

    Density by CIPM-2007 (Picard, Davis, Gläser, Fujii 2008, "Revised formula for the density of
    moist air (CIPM-2007)", Metrologia 45:149–155, eq. 1 and appendix A) with 400 ppm of carbon
    dioxide. Its own range is 15–27 °C and 600–1100 hPa; outside that it is extrapolated, where it
    stays within a few parts in ten thousand of the ideal-gas mixture, far below what arrows feel.
    Viscosity by Sutherland's formula, speed of sound from pressure and density. Raises ValueError
    outside the ranges.
    """
    for name, value, low, high in (
        ("temperature", temperature, 233.0, 333.0),
        ("pressure", pressure, 3e4, 1.2e5),
        ("relative humidity", relative_humidity, 0.0, 1.0),
    ):
        if not low <= value <= high:
            raise ValueError(f"{name} {value:g} is outside {low:g} to {high:g} (K, Pa, fraction)")
    celsius = temperature - 273.15
    vapor = relative_humidity * _enhancement(celsius, pressure) * _saturation(temperature)
    fraction = vapor / pressure
    compressibility = _compressibility(temperature, celsius, pressure, fraction)
    dry_molar_mass = 28.96546e-3  # kg/mol, eq. 3 at 400 ppm
    density = (
        pressure
        * dry_molar_mass
        / (compressibility * 8.314472 * temperature)
        * (1.0 - fraction * (1.0 - 18.01528e-3 / dry_molar_mass))
    )
    return Air(
        density=density,
        viscosity=sutherland_viscosity(temperature),
        speed_of_sound=math.sqrt(_RATIO_OF_HEATS * pressure / density),
        temperature=temperature,
        pressure=pressure,
        relative_humidity=relative_humidity,
    )


def _saturation(temperature: float) -> float:
    """Saturation vapor pressure, Pa (CIPM-2007, eq. A1.1)."""
    t = temperature
    return math.exp(1.2378847e-5 * t * t - 1.9121316e-2 * t + 33.93711047 - 6.3431645e3 / t)


def _enhancement(celsius: float, pressure: float) -> float:
    """Enhancement factor of the vapor pressure in air (CIPM-2007, eq. A1.2)."""
    return 1.00062 + 3.14e-8 * pressure + 5.6e-7 * celsius * celsius


def _compressibility(t: float, celsius: float, pressure: float, fraction: float) -> float:
    """Compressibility factor of moist air (CIPM-2007, eq. A1.4)."""
    ratio = pressure / t
    virial = (
        1.58123e-6
        - 2.9331e-8 * celsius
        + 1.1043e-10 * celsius * celsius
        + (5.707e-6 - 2.051e-8 * celsius) * fraction
        + (1.9898e-4 - 2.376e-6 * celsius) * fraction * fraction
    )
    return 1.0 - ratio * virial + ratio * ratio * (1.83e-11 - 0.765e-8 * fraction * fraction)
