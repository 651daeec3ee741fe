"""Units at the edges: what people write, read into SI floats, and SI floats shown to people.

The number is read here, by a strict pattern; nothing is ever evaluated. The trade's own units are
plain factors (exact by definition, checked against pint in the tests), so that an ordinary run
never pays for pint; any other unit is looked up in pint, which is imported only then.
"""

import difflib
import math
import re
from fractions import Fraction
from functools import cache
from typing import Any, Literal

from vireton.units.factors import ALSO_IN, ALSO_SAID, EXAMPLES, FACTORS, KINDS, MARKS, ZERO
from vireton.units.problems import InputProblem, printable

UnitSystem = Literal["us", "metric"]

LONGEST_TEXT = 100

#: Dimensions that pint may look units up for. Not the dimensionless ones: to pint a percentage is
#: an angle and a hertz is a radian per second.
_PINT_UNITS = {
    "length": "m",
    "mass": "kg",
    "force": "N",
    "speed": "m/s",
    "mass_per_length": "kg/m",
    "temperature": "K",
    "pressure": "Pa",
    "time": "s",
    "mass_per_force": "kg/N",
    "density": "kg/m**3",
}

_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3"} | {
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_SAME = {"−": "-", "⁄": "/", "\u00a0": " ", "\u2009": " ", "\u202f": " ", "μ": "µ", "º": "°"}

_DECIMAL = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_NUMBER = re.compile(
    r"(?P<sign>[+-]?)\s*(?:"
    r"(?:(?P<whole>[0-9]+)[\s-]\s*)?(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)"
    rf"|(?P<decimal>{_DECIMAL})"
    r")(?=[^0-9.,]|$)"
)
_WORD = r"[A-Za-z°µ%]{1,20}(?:(?:\^|\*\*)-?[1-4]|[²³])?"
_POWER = re.compile(r"(?:\^|\*\*)-?[1-4]|[²³]")
#: Words of units that are looked up.
_WORDS = {word for said in ALSO_SAID.values() for word in said.split()} | {
    word for units in FACTORS.values() for unit in units for word in re.split(r"[/*·^³]+", unit)
}
_UNIT = re.compile(rf"{_WORD}(?:\s?[/*·]\s?{_WORD}){{0,3}}")
_MARK = "|".join(sorted(map(re.escape, MARKS), key=len, reverse=True))
_UNIT_AT_END = re.compile(
    rf"(?<=[0-9.\s½¼¾⅓⅔⅛⅜⅝⅞])(?:{_MARK}|[A-Za-z°µ%][A-Za-z°µ%/*·^²³]*)(?=\s*$)", re.IGNORECASE
)
#: Parts that a ruler has: nobody measures them of anything else at a bow. 1/23 is a slip.
_OF_AN_INCH = re.compile(r"[+-]?\s*(?:[0-9]+[\s-]\s*)?[0-9]+\s*/\s*(?:2|4|8|16|32|64)")


class UnitError(InputProblem):
    """A quantity that cannot be read. The message shows a spelling that can."""


def as_typed(text: str) -> str:
    """A text as an error message repeats it: quoted, cut short, nothing unprintable."""
    return f'"{printable(text, 40)}"'


def capital(text: str) -> str:
    """As a sentence begins."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """With a capital, and a full stop where it has no end of its own."""
    return capital(text) + ("" if text.endswith((".", "!", "?")) else ".")


def _normal(text: str) -> str:
    if text.isascii():
        return text.strip()
    for vulgar, plain in _VULGAR.items():
        text = text.replace(vulgar, f" {plain} ")  # "½0" is no 1/20
    for odd, plain in _SAME.items():
        text = text.replace(odd, plain)
    return text.strip()


def split(text: str) -> tuple[float, str]:
    """The number and the unit text of a quantity; the unit is ``""`` where there is none.

    Reads decimals (``.094``, ``1e-3``), fractions (``3/32``) and mixed numbers (``28 1/2``,
    ``28-1/2``, ``28½``), each with a sign. A mark of the trade (``"``, ``#``, ``gpi``) becomes the
    unit that it stands for. Raises UnitError for anything else.
    """
    if len(text) > LONGEST_TEXT:
        raise UnitError(f"{as_typed(text)} is too long for a quantity")
    plain = _normal(text)
    if not plain:
        raise UnitError("it is empty")
    match = _NUMBER.match(plain)
    if match is None:
        if re.match(r"[+-]?\s*[0-9]*,[0-9]", plain) or re.match(rf"[+-]?\s*{_DECIMAL},", plain):
            raise UnitError(
                f"{as_typed(text)} has a comma: decimals take a point, thousands nothing"
            )
        raise UnitError(f"{as_typed(text)} does not start with a plain number")
    number = _value(match, text)
    unit = plain[match.end() :].strip()
    return number, MARKS.get(" ".join(unit.lower().split()), unit)


def unit_at_end(text: str) -> str:
    """The unit that a number ends in, as it was written; empty without one."""
    match = _UNIT_AT_END.search(text)
    return match[0] if match else ""


def of_an_inch(text: str, like: str) -> str:
    """A fraction without a unit (``3/32``, ``28 1/2``) as one of an inch; any other text as it is.

    Only parts that a ruler has, and only where ``like``, a right spelling, is in inches: half a
    yard is something else.
    """
    if split(like)[1] == "in" and _OF_AN_INCH.fullmatch(_normal(text)):
        return f"{text.strip()} in"
    return text


def _value(match: re.Match[str], text: str) -> float:
    sign = -1.0 if match["sign"] == "-" else 1.0
    if match["decimal"] is not None:
        number = float(match["decimal"])
    else:
        top, bottom = int(match["top"]), int(match["bottom"])
        if bottom == 0:
            raise UnitError(f"{as_typed(text)} divides by zero")
        if match["whole"] is not None and top >= bottom:
            raise UnitError(
                f"{as_typed(text)} is no mixed number: its fraction {top}/{bottom} is not below 1"
            )
        try:
            number = float(int(match["whole"] or 0) + Fraction(top, bottom))
        except OverflowError:
            number = math.inf
    if not math.isfinite(number):
        raise UnitError(f"{as_typed(text)} is too large a number")
    return sign * number


def parse(text: str, dimension: str, *, where: str = "", like: str = "") -> float:
    """Read a quantity as the trade writes it, into SI.

    Args:
        text: a number and a unit, such as ``"28 1/2 in"``, ``"1/32in"``, ``"80 %"``; see
            :func:`of_an_inch` for a fraction without one.
        dimension: a key of :data:`EXAMPLES`.
        where: what the value is for (a key, an option); put before the message of an error.
        like: a right spelling to show in an error, instead of the usual one of the dimension.

    Returns:
        A finite float: m, kg, N, m/s, rad, rad/s, kg/m, K, Pa, a fraction (``"80 %"`` is 0.8), s,
        kg/N or kg/m³. The sign is kept.

    Raises UnitError for a missing, unknown or wrong unit, and for any text that is not one plain
    number with one unit. An unknown ``dimension`` is a KeyError: a bug, not an input.
    """
    try:
        number, unit = split(of_an_inch(text, like or EXAMPLES[dimension]))
        if not unit:
            raise UnitError(f"{as_typed(text)} has no unit")
        value = _in_si(number, unit, dimension, text)
        if not math.isfinite(value):
            raise UnitError(f"{as_typed(text)} is too large a number")
    except UnitError as problem:
        said = f"{problem}; write it like {_spelling(text, like or EXAMPLES[dimension])}"
        raise UnitError(f"{where}: {said}" if where else said) from None
    return value


def _spelling(text: str, example: str) -> str:
    """The example, or the very number that was given with the example's unit put to it."""
    try:
        number, given = split(text)
    except UnitError:
        return f'"{example}"'
    _, unit = split(example)
    if given:
        return f'"{example}"'
    if unit == "%":
        return f'"{100.0 * number if abs(number) <= 1.0 else number:g} %"'
    far = () if unit == "in" else ALSO_IN.get(unit, ())
    *others, last = (f'"{text.strip()} {one}"' for one in (unit, *far))
    return f"{', '.join(others)} or {last}" if others else last


def _in_si(number: float, unit: str, dimension: str, text: str) -> float:
    own = FACTORS[dimension]
    if unit.lower() in ("click", "clicks"):
        raise UnitError(f"{as_typed(text)}: whole clicks are for moves of the rest")
    unit = re.sub(r"\s*([/*·])\s*", r"\1", unit)
    if unit in own:
        if dimension == "temperature":
            return _kelvin(number, unit, text)
        return _scaled(number, own[unit])
    if not _UNIT.fullmatch(unit):
        raise UnitError(f"{as_typed(text)} is not one plain number with one unit")
    others = [name for name in EXAMPLES if unit in FACTORS[name]]
    if others:
        raise UnitError(f"{as_typed(text)} is {_said(others[0])}, not {_said(dimension)}")
    return _through_pint(number, unit, dimension, text)


def _scaled(number: float, size: float) -> float:
    # 100 is an exact float and 0.01 is not: "70 %" becomes the float 0.7, not the one after it
    whole = round(1.0 / size)
    return number / whole if whole * size == 1.0 else number * size


def _said(dimension: str) -> str:
    word = {"fraction": "percentage", "mass_per_force": "mass per draw weight"}.get(
        dimension, dimension.replace("_", " ")
    )
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"


def _kelvin(number: float, unit: str, text: str) -> float:
    if unit in ("degF", "°F", "F"):
        kelvin = (number + ZERO[unit]) * 5.0 / 9.0
    else:
        kelvin = number + ZERO.get(unit, 0.0)
    if kelvin < 0.0:
        raise UnitError(f"{as_typed(text)} is below absolute zero")
    return kelvin


@cache
def _registry() -> Any:
    import pint  # noqa: PLC0415 (half a second, and most files never need it)

    return pint.UnitRegistry()


def _through_pint(number: float, unit: str, dimension: str, text: str) -> float:
    import pint  # noqa: PLC0415

    registry = _registry()
    try:
        found = registry.Unit(unit)
    except (pint.errors.PintError, AttributeError, ValueError, TypeError):
        raise UnitError(_unknown(unit, dimension)) from None
    wanted = registry.Unit(_PINT_UNITS[dimension]) if dimension in _PINT_UNITS else None
    if wanted is None or found.dimensionality != wanted.dimensionality:
        raise UnitError(f"{as_typed(text)} is not {_said(dimension)}")
    if not set(re.split(r"[/*·]", _POWER.sub("", unit))) <= _WORDS:
        raise UnitError(_unknown(unit, dimension))
    try:
        return float(registry.Quantity(number, found).to(wanted).magnitude)
    except (pint.errors.PintError, OverflowError):
        raise UnitError(f"{as_typed(text)} cannot be turned into {_said(dimension)}") from None


def _unknown(unit: str, dimension: str) -> str:
    known = list(FACTORS[dimension])
    said = [*known, *ALSO_SAID.get(dimension, "").split()]
    near = difflib.get_close_matches(unit, known, n=1, cutoff=0.5)
    folded = [name for name in said if name.lower() == unit.lower()]
    best = (folded or near or [""])[0]
    asked = f"; did you mean {best}?" if best else f"; known here: {', '.join(known)}"
    return f'unknown unit "{unit}"{asked}'


@cache
def _size(unit: str) -> tuple[str, float]:
    for dimension, factors in FACTORS.items():
        if unit in factors and not (dimension == "force" and unit in ("lb", "lbs")):
            return dimension, factors[unit]
    raise ValueError(f"no unit {unit!r} to convert to")


def convert(value_si: float, unit: str) -> float:
    """An SI value in ``unit``, any unit in :data:`FACTORS` (``lb`` is the mass). nan stays nan."""
    dimension, size = _size(unit)
    if dimension == "temperature":
        if size != 1.0:
            return value_si * 9.0 / 5.0 - ZERO[unit]
        return value_si - ZERO.get(unit, 0.0)
    return value_si / size


def show(value_si: float, kind: str, system: UnitSystem, digits: int | None = None) -> str:
    """A number with its unit for people, such as ``"280 fps"``.

    Args:
        value_si: SI value; a nan shows as "not known".
        kind: a key of :data:`KINDS`.
        system: whose units.
        digits: decimals, instead of the usual ones of that kind.
    """
    us, us_digits, metric, metric_digits = KINDS[kind]
    unit, usual = (us, us_digits) if system == "us" else (metric, metric_digits)
    value = convert(value_si, unit)
    if math.isnan(value):
        return "not known"
    decimals = usual if digits is None else digits
    # a rounded nothing has no sign
    return f"{round(value, decimals) + 0.0:.{decimals}f} {unit}"


def as_fraction_inches(value_si: float, denominator: int = 32) -> str:
    """A length to the nearest bench fraction: ``"1/16 in"``, ``"-1 3/8 in"``, ``"0 in"``.

    Args:
        value_si: m, finite.
        denominator: of the finest fraction, 1 to 128; halves round to the even step.
    """
    if not 1 <= denominator <= 128:
        raise ValueError(f"denominator {denominator} is outside 1 to 128")
    steps = round(value_si / FACTORS["length"]["in"] * denominator)
    whole, part = divmod(Fraction(abs(steps), denominator), 1)
    pieces = [str(piece) for piece in (whole, part) if piece] or ["0"]
    return f"{'-' if steps < 0 else ''}{' '.join(pieces)} in"
