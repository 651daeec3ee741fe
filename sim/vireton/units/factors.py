"""The table of units: their SI sizes, how messages spell them, and which kind is shown in which.

The sizes are exact by definition; the tests hold each against pint's.
"""

import math

_IN, _FT, _YD, _MILE = 0.0254, 0.3048, 0.9144, 1609.344  # m, by definition
_GR, _OZ, _LB = 6.479891e-5, 0.028349523125, 0.45359237  # kg, by definition
_G = 9.80665  # m/s², by definition
_LBF = _LB * _G
_DEG, _TURN = math.pi / 180.0, 2.0 * math.pi
_INHG = 13.5951e3 * _G * _IN  # conventional mercury, ISO 80000-4 (from memory); as in pint

#: SI size of each unit, by dimension. The first is the one that hints show.
FACTORS: dict[str, dict[str, float]] = {
    "length": {"in": _IN, "inch": _IN, "inches": _IN, "ft": _FT, "feet": _FT, "foot": _FT}
    | {"yd": _YD, "yds": _YD, "yard": _YD, "yards": _YD}
    | {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "km": 1e3},
    "mass": {"gr": _GR, "grain": _GR, "grains": _GR, "g": 1e-3, "kg": 1.0, "oz": _OZ}
    | {"lb": _LB, "lbs": _LB},
    # a bow scale is read in pounds, and everyone means force by it
    "force": {"lbf": _LBF, "lb": _LBF, "lbs": _LBF, "N": 1.0, "kgf": _G},
    "speed": {"fps": _FT, "ft/s": _FT, "m/s": 1.0, "mph": _MILE / 3600.0, "km/h": 1.0 / 3.6},
    "angle": {"deg": _DEG, "degree": _DEG, "degrees": _DEG, "°": _DEG, "rad": 1.0, "mrad": 1e-3}
    | {"arcmin": _DEG / 60.0, "moa": _DEG / 60.0},
    "angular_rate": {"rad/s": 1.0, "deg/s": _DEG, "°/s": _DEG, "mrad/s": 1e-3}
    | {"rev/s": _TURN, "rpm": _TURN / 60.0},
    "mass_per_length": {"gr/in": _GR / _IN, "g/m": 1e-3, "g/cm": 0.1, "kg/m": 1.0},
    "temperature": {"degF": 5.0 / 9.0, "°F": 5.0 / 9.0, "F": 5.0 / 9.0}
    | {"degC": 1.0, "°C": 1.0, "C": 1.0, "K": 1.0},
    "pressure": {"inHg": _INHG, "kPa": 1e3, "hPa": 100.0, "mbar": 100.0, "Pa": 1.0},
    "fraction": {"%": 0.01, "percent": 0.01},
    "time": {"s": 1.0, "ms": 1e-3, "min": 60.0},
    "frequency": {"Hz": 1.0, "kHz": 1e3},
    "mass_per_force": {"gr/lbf": _GR / _LBF, "gr/lb": _GR / _LBF, "g/N": 1e-3, "kg/N": 1.0},
    "density": {"kg/m³": 1.0, "kg/m^3": 1.0, "g/cm³": 1e3, "g/cm^3": 1e3},
    "stiffness": {"N/mm": 1e3, "N/m": 1.0, "lbf/in": _LBF / _IN, "lb/in": _LBF / _IN},
    "turning_stiffness": {"N·m/rad": 1.0, "N*m/rad": 1.0}
    | {"in·lbf/deg": _IN * _LBF / _DEG, "in*lbf/deg": _IN * _LBF / _DEG},
    "energy": {"ft·lbf": _FT * _LBF, "ft*lbf": _FT * _LBF, "J": 1.0},
    "momentum": {"slug·ft/s": _LBF, "kg·m/s": 1.0},
}

#: What else is said at a bench, on a scale or a weather station, by the kind it is of; each alone
#: or in a pair (``lb/ft``). All else that a table of units knows is more likely a slip: megameters.
ALSO_SAID = {
    "length": "millimeter millimeters millimetre millimetres centimeter centimeters centimetre "
    "centimetres meter meters metre metres kilometer kilometers dm µm um micron microns thou mi "
    "mile miles furlong furlongs",
    "mass": "mg gram grams kilogram kilograms ounce ounces pound pounds dram drams slug slugs",
    "force": "newton newtons ozf gf",
    "speed": "kph knot knots",
    "time": "sec second seconds minute minutes h hr hour hours",
    "temperature": "celsius fahrenheit kelvin degR rankine",
    "pressure": "psi atm bar mmHg torr",
    "density": "l liter liters litre litres",
}

#: Marks and words of the trade for a unit, in lower case, by the name that it has above.
MARKS = (
    dict.fromkeys(('"', "''", "″", "“", "”", "’’", "′′"), "in")
    | dict.fromkeys(("'", "′", "’"), "ft")
    | dict.fromkeys(("#", "pound", "pounds"), "lb")
    | dict.fromkeys(("gpi", "grains per inch", "grains/inch"), "gr/in")
)

#: What a number without a unit may be in beside the unit of its example: 20 is yards or meters.
ALSO_IN = {"yd": ("m",), "ft": ("yd", "m"), "in": ("mm",)}

#: Added to a temperature before (°F) or after (°C) it is scaled; K has none.
ZERO = {"degF": 459.67, "°F": 459.67, "F": 459.67, "degC": 273.15, "°C": 273.15, "C": 273.15}

#: What :func:`parse` reads, each with a spelling that error messages show.
EXAMPLES = {
    "length": "28 1/2 in",
    "mass": "100 gr",
    "force": "60 lbf",
    "speed": "280 fps",
    "angle": "2 deg",
    "angular_rate": "0.5 rad/s",
    "mass_per_length": "8.5 gr/in",
    "temperature": "68 degF",
    "pressure": "29.92 inHg",
    "fraction": "80 %",
    "time": "0.5 s",
    "frequency": "120 Hz",
    "mass_per_force": "5 gr/lbf",
    "density": "1.225 kg/m³",
    "stiffness": "5 N/mm",
    "turning_stiffness": "0.1 N·m/rad",
    "energy": "72 ft·lbf",
}

#: Per kind of number: the US unit and its usual decimals, the metric unit and its.
KINDS: dict[str, tuple[str, int, str, int]] = {
    "distance": ("yd", 0, "m", 0),
    "impact": ("in", 1, "cm", 1),
    "bench": ("in", 3, "mm", 2),
    "height": ("ft", 0, "m", 0),
    "mass": ("gr", 0, "g", 1),
    "mass_per_length": ("gr/in", 2, "g/m", 2),
    "mass_per_force": ("gr/lbf", 1, "gr/lbf", 1),
    "force": ("lbf", 1, "N", 0),
    "speed": ("fps", 0, "m/s", 1),
    "wind": ("mph", 0, "m/s", 1),
    "angle": ("deg", 2, "deg", 2),
    "angular_rate": ("rad/s", 2, "rad/s", 2),
    "spin": ("rev/s", 1, "rev/s", 1),
    "time": ("s", 3, "s", 3),
    "energy": ("ft·lbf", 1, "J", 1),
    "momentum": ("slug·ft/s", 3, "kg·m/s", 2),
    "temperature": ("°F", 0, "°C", 0),
    "pressure": ("inHg", 2, "hPa", 0),
    "fraction": ("%", 0, "%", 0),
    "density": ("kg/m³", 3, "kg/m³", 3),
}
