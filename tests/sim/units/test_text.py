"""Reading and showing quantities: exact cases, refusals, display."""

import math
import subprocess
import sys
import time

import pytest

from vireton.units.problems import InputProblem
from vireton.units.text import (
    UnitError,
    UnitSystem,
    as_fraction_inches,
    convert,
    parse,
    show,
    split,
)

# Expected values follow from the definitions of inch, foot, yard, pound and grain (1959 agreement,
# from memory) by hand.
EXACT = [
    ("28 1/2 in", "length", 0.7239),
    ("1 3/8 in", "length", 0.034925),  # the trap: not 3/8 in
    ("3/32 in", "length", 0.00238125),
    ("-1/16 in", "length", -0.0015875),
    ("- 1 1/2 in", "length", -0.0381),
    ("+1/4 in", "length", 0.00635),
    ("28-1/2 in", "length", 0.7239),
    (".094 in", "length", 0.0023876),
    ("1/32in", "length", 0.00079375),
    ("28½ in", "length", 0.7239),
    ("1 ⅜ in", "length", 0.034925),
    ("½ in", "length", 0.0127),
    ("1 ½ in", "length", 0.0381),
    ('1/4"', "length", 0.00635),
    ('28 1/2"', "length", 0.7239),
    ("28 1/2″", "length", 0.7239),
    ("28-1/2 ”", "length", 0.7239),
    ("28 1/2’’", "length", 0.7239),
    ("28 1/2''", "length", 0.7239),
    ("28.5′′", "length", 0.7239),
    ("6'", "length", 1.8288),
    ("3/32", "length", 0.00238125),
    ("28 1/2", "length", 0.7239),
    ("½", "length", 0.0127),
    ("-1/16", "length", -0.0015875),
    ("70#", "force", 70.0 * 4.4482216152605),
    ("70 pounds", "force", 70.0 * 4.4482216152605),
    ("2 pounds", "mass", 0.90718474),
    ("8.5 gpi", "mass_per_length", 8.5 * 6.479891e-5 / 0.0254),
    ("8.5 GPI", "mass_per_length", 8.5 * 6.479891e-5 / 0.0254),
    ("−1/16 in", "length", -0.0015875),
    ("1⁄16 in", "length", 0.0015875),
    ("1\u00a03/8\u00a0in", "length", 0.034925),
    ("2.4 mm", "length", 0.0024),
    ("20 yd", "length", 18.288),
    ("6 ft", "length", 1.8288),
    ("1e3 mm", "length", 1.0),
    ("5. m", "length", 5.0),
    ("100 gr", "mass", 0.006479891),
    ("100 grains", "mass", 0.006479891),
    ("8.5 gr/in", "mass_per_length", 8.5 * 6.479891e-5 / 0.0254),
    ("8.5 gr / in", "mass_per_length", 8.5 * 6.479891e-5 / 0.0254),
    ("280 fps", "speed", 85.344),
    ("10 mph", "speed", 4.4704),
    ("60 lbf", "force", 60.0 * 4.4482216152605),
    ("60 lb", "force", 60.0 * 4.4482216152605),
    ("60 lbs", "force", 60.0 * 4.4482216152605),
    ("2 lb", "mass", 0.90718474),
    ("68 degF", "temperature", 293.15),
    ("68 F", "temperature", 293.15),
    ("20 degC", "temperature", 293.15),
    ("20 °C", "temperature", 293.15),
    ("-40 degF", "temperature", 233.15),
    ("2 deg", "angle", math.pi / 90.0),
    ("2°", "angle", math.pi / 90.0),
    ("0.5 rad/s", "angular_rate", 0.5),
    ("30 deg/s", "angular_rate", math.pi / 6.0),
    ("2 rev/s", "angular_rate", 4.0 * math.pi),
    ("5 gr/lbf", "mass_per_force", 5.0 * 6.479891e-5 / 4.4482216152605),
    ("101.3 kPa", "pressure", 101300.0),
    ("80 %", "fraction", 0.8),
    ("80%", "fraction", 0.8),
    ("1.225 kg/m³", "density", 1.225),
    ("1.225 kg/m^3", "density", 1.225),
    ("12 ms", "time", 0.012),
]


def test_reads_what_the_trade_writes() -> None:
    for text, dimension, expected in EXACT:
        assert parse(text, dimension) == pytest.approx(expected, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "dimension", "expected"),
    [
        ("3 furlong", "length", 603.504),  # 660 ft, to the survey foot's 2 parts in a million
        ("2 knot", "speed", 2.0 * 1852.0 / 3600.0),
        ("1 kg/m**3", "density", 1.0),
        ("1 atm", "pressure", 101325.0),
        ("540 degR", "temperature", 300.0),
        ("8 thou", "length", 8 * 2.54e-5),
        ("5 lb/ft^3", "density", 5 * 0.45359237 / 0.3048**3),
        ("2 oz/ft", "mass_per_length", 2 * 0.028349523125 / 0.3048),
        ("90 in/s", "speed", 90 * 0.0254),
        ("1.2 g/l", "density", 1.2),
        ("2 drams", "mass", 2 * 0.028349523125 / 16),
        ("1 slug", "mass", 14.593902937),
    ],
)
def test_other_units_are_looked_up(text: str, dimension: str, expected: float) -> None:
    assert parse(text, dimension) == pytest.approx(expected, rel=3e-6)


def test_a_whole_percentage_is_the_float_that_is_meant() -> None:
    for percent in range(0, 301):
        assert parse(f"{percent} %", "fraction") == percent / 100


BAD = [
    ("28.5", "length", 'write it like "28.5 in"'),
    ("1/23", "length", 'has no unit; write it like "1/23 in"'),
    ("2 clicks", "length", "whole clicks are for moves of the rest"),
    ('5" 2', "length", "not one plain number with one unit"),
    ('5""', "length", "not one plain number with one unit"),
    ("70##", "force", "not one plain number with one unit"),
    ("8.5 gpi", "mass", "is a mass per length, not a mass"),
    ("0.8", "fraction", 'write it like "80 %"'),
    ("80", "fraction", 'write it like "80 %"'),
    ("28,5 in", "length", "decimals take a point"),
    ("1,000 yd", "length", "decimals take a point"),
    ("5 kg", "length", "is a mass, not a length"),
    ("50 %", "angle", "is a percentage, not an angle"),
    ("2 deg", "fraction", "is an angle, not a percentage"),
    ("5 Hz", "angular_rate", "not an angular rate"),
    ("5 psi", "length", "is not a length"),
    ("5 inn", "length", "did you mean in?"),
    ("280 FPS", "speed", "did you mean fps?"),
    ("5 zzqq", "length", "known here: in, inch"),
    ("5 Mm", "length", 'unknown unit "Mm"; did you mean mm?'),
    ("5 Mg", "mass", "did you mean mg?"),
    ("101 mPa", "pressure", "did you mean"),
    ("1 c", "speed", "known here: fps"),
    ("5 px", "length", "known here: in"),
    ("5 kN", "force", "did you mean N?"),
    ("5 nm", "length", "unknown unit"),
    ("5 Gg/m", "mass_per_length", "did you mean g/m?"),
    ("5 in/ns", "speed", "unknown unit"),
    ("5 kg/Mm**3", "density", "unknown unit"),
    ("5 au", "length", "unknown unit"),
    ("½0 in", "length", "not one plain number with one unit"),
    ("1½2 in", "length", "not one plain number with one unit"),
    ("1½½ in", "length", "not one plain number with one unit"),
    ("½ ½ in", "length", "not one plain number with one unit"),
    ("5 in.", "length", "not one plain number with one unit"),
    ("5 ft 2 in", "length", "not one plain number with one unit"),
    ("1.5/8 in", "length", "not one plain number with one unit"),
    ("1 3/8.5 in", "length", "not one plain number with one unit"),
    ("2**9999999 in", "length", "not one plain number with one unit"),
    ("5 m^9999", "length", "not one plain number with one unit"),
    ("5 m**99", "length", "not one plain number with one unit"),
    ("5 degC/m", "temperature", "is not a temperature"),
    ("5 delta_degC", "temperature", "not one plain number with one unit"),
    ("1 9/8 in", "length", "its fraction 9/8 is not below 1"),
    ("1 8/8 in", "length", "its fraction 8/8 is not below 1"),
    ("1/0 in", "length", "divides by zero"),
    ("nan in", "length", "does not start with a plain number"),
    ("inf m", "length", "does not start with a plain number"),
    ("--5 m", "length", "does not start with a plain number"),
    ("12.5.3 in", "length", "does not start with a plain number"),
    ("__import__('os')", "length", "does not start with a plain number"),
    ("((((((1)))))) in", "length", "does not start with a plain number"),
    ("٣ in", "length", "does not start with a plain number"),
    ("in", "length", "does not start with a plain number"),
    ("", "length", "it is empty"),
    ("   ", "length", "it is empty"),
    ("1e999 m", "length", "too large a number"),
    ("1e308 km", "length", "too large a number"),
    ("9" * 90 + "/1 in", "length", None),
    ("1" + " " * 99 + "in", "length", "too long for a quantity"),
    ("-500 degF", "temperature", "below absolute zero"),
    ("-1 K", "temperature", "below absolute zero"),
    ("5 in\x00", "length", "not one plain number with one unit"),
]


@pytest.mark.parametrize(("text", "dimension", "said"), [case for case in BAD if case[2]])
def test_refuses_with_a_hint(text: str, dimension: str, said: str) -> None:
    started = time.perf_counter()
    with pytest.raises(UnitError) as caught:
        parse(text, dimension, where="arrow.length")
    assert time.perf_counter() - started < 2.0  # building pint's registry is the slowest of it
    message = str(caught.value)
    assert message.startswith("arrow.length: ")
    assert said in message
    assert "write it like" in message
    assert message.isprintable()


def test_a_long_but_finite_number_is_read() -> None:
    assert parse("9" * 90 + "/1 in", "length") == pytest.approx(0.0254e90, rel=1e-12)


def test_an_error_is_an_input_problem_and_a_value_error() -> None:
    assert issubclass(UnitError, InputProblem)
    assert issubclass(UnitError, ValueError)


def test_the_spelling_to_show_can_be_given() -> None:
    with pytest.raises(UnitError, match=r'write it like "0\.340 in"'):
        parse("wide", "length", like="0.340 in")
    with pytest.raises(UnitError, match=r'write it like "2 mm"'):
        parse("2", "length", like="2.4 mm")


def test_an_unknown_dimension_is_a_bug() -> None:
    with pytest.raises(KeyError):
        parse("5 in", "lenght")


def test_a_fraction_is_of_an_inch_only_where_inches_are_usual() -> None:
    assert parse("1/2", "length", like="1/32 in") == pytest.approx(0.0127)
    with pytest.raises(UnitError, match=r'write it like "1/2 yd" or "1/2 m"'):
        parse("1/2", "length", like="20 yd")
    with pytest.raises(UnitError, match="has no unit"):
        parse("1/2", "mass")


def test_split_keeps_number_and_unit_apart() -> None:
    assert split("- 1 1/2 gr/in") == (-1.5, "gr/in")
    assert split("7") == (7.0, "")


def test_ordinary_units_never_import_pint() -> None:
    code = (
        "import sys; from vireton.units.text import parse, convert; parse('28 1/2 in', 'length'); "
        "convert(1.0, 'fps'); sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [
        (0.0254, "in", 1.0),
        (18.288, "yd", 20.0),
        (85.344, "fps", 280.0),
        (0.006479891, "gr", 100.0),
        (math.pi, "deg", 180.0),
        (2.0 * math.pi, "rev/s", 1.0),
        (1.3558179483314004, "ft·lbf", 1.0),
        (4.4482216152605, "lbf", 1.0),
        (0.45359237, "lb", 1.0),
        (0.01, "cm", 1.0),
        (293.15, "°F", 68.0),
        (293.15, "degC", 20.0),
        (300.0, "K", 300.0),
        (0.8, "%", 80.0),
    ],
)
def test_convert(value: float, unit: str, expected: float) -> None:
    assert convert(value, unit) == pytest.approx(expected, rel=1e-12)


def test_convert_keeps_nan_and_refuses_what_it_does_not_know() -> None:
    assert math.isnan(convert(math.nan, "in"))
    with pytest.raises(ValueError, match="no unit 'parsec'"):
        convert(1.0, "parsec")


@pytest.mark.parametrize(
    ("value", "kind", "system", "digits", "expected"),
    [
        (85.344, "speed", "us", None, "280 fps"),
        (85.344, "speed", "metric", None, "85.3 m/s"),
        (0.0381, "impact", "us", None, "1.5 in"),
        (0.0381, "impact", "metric", None, "3.8 cm"),
        (-0.0381, "impact", "us", 2, "-1.50 in"),
        (-1e-6, "impact", "us", None, "0.0 in"),
        (18.288, "distance", "us", None, "20 yd"),
        (293.15, "temperature", "us", None, "68 °F"),
        (0.115, "fraction", "us", 1, "11.5 %"),
        (math.nan, "impact", "us", None, "not known"),
    ],
)
def test_show(
    value: float, kind: str, system: UnitSystem, digits: int | None, expected: str
) -> None:
    assert show(value, kind, system, digits) == expected


@pytest.mark.parametrize(
    ("inches", "denominator", "expected"),
    [
        (0.0, 32, "0 in"),
        (0.0625, 32, "1/16 in"),
        (1.375, 32, "1 3/8 in"),
        (-1.375, 32, "-1 3/8 in"),
        (-0.001, 32, "0 in"),
        (2.0, 32, "2 in"),
        (1.0 / 64.0, 64, "1/64 in"),
        (0.3, 16, "5/16 in"),
        (0.7, 1, "1 in"),
    ],
)
def test_bench_fraction(inches: float, denominator: int, expected: str) -> None:
    assert as_fraction_inches(inches * 0.0254, denominator) == expected


@pytest.mark.parametrize("denominator", [0, -4, 129])
def test_bench_fraction_refuses_odd_denominators(denominator: int) -> None:
    with pytest.raises(ValueError, match="outside 1 to 128"):
        as_fraction_inches(0.0254, denominator)
