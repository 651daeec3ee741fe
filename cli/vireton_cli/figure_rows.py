"""The rows of a comparison: names, units, keys and words of each figure."""

import math
from dataclasses import dataclass

from vireton.answers.arrow import FOOT_POUND
from vireton.answers.compare import FIGURES
from vireton.studies.compare import Compared, Verdict, at_index
from vireton.uncertain import Banded
from vireton_cli.options import UnitChoice
from vireton_cli.showing import FOOT, GRAIN, INCH, YARD, digits_for, plain

_REV = 2.0 * math.pi

#: For a figure that an arrow does not have.
NONE = "none"
#: Behind a difference whose band holds 0, or that nobody could see.
SAME = "≈"


@dataclass(frozen=True)
class Row:
    """One figure: ``name`` in the library, ``title`` in tables.

    ``us`` and ``metric`` are a unit and its size in SI, ``finest`` the most decimals shown.
    ``higher`` and ``lower`` say a clear difference, {} standing for its size; a row without them is
    not told in words, for another row says the same. ``spoken`` is the unit in words where it is
    another one.
    """

    name: str
    title: str
    us: tuple[str, float]
    metric: tuple[str, float]
    finest: int = 2
    higher: str = ""
    lower: str = ""
    spoken: str | None = None

    @property
    def key(self) -> str:
        """Its key in JSON, in US units."""
        return FIGURES[self.name].key

    @property
    def at_distance(self) -> bool:
        """Whether it has a value at each distance."""
        return FIGURES[self.name].at_distance

    def unit(self, units: UnitChoice) -> tuple[str, float]:
        """Name and size of the unit to show."""
        return self.us if units is UnitChoice.US else self.metric


_SPEED = ("fps", FOOT), ("m/s", 1.0)
_FAR = ("yd", YARD), ("m", 1.0)
_SMALL = ("in", INCH), ("cm", 0.01)
_PERCENT = ("%", 0.01), ("%", 0.01)
_NUMBER = ("", 1.0), ("", 1.0)
_TURNS = ("rev/s", _REV), ("rev/s", _REV)

ROWS = (
    Row("mass", "mass", ("gr", GRAIN), ("g", 1e-3), 1,
        higher="{} heavier", lower="{} lighter"),
    Row("foc", "FOC", *_PERCENT, 1,
        higher="FOC {} higher", lower="FOC {} lower", spoken="points"),
    Row("launch_speed", "launch speed", *_SPEED, 1,
        higher="{} faster off the string", lower="{} slower off the string"),
    Row("drag_area", "drag area", ("cm²", 1e-4), ("cm²", 1e-4), 3),
    Row("drag_coefficient", "drag coefficient", *_NUMBER,
        higher="drag coefficient {} higher", lower="drag coefficient {} lower"),
    Row("spinning_drag_coefficient", "drag coefficient, spinning", *_NUMBER),
    Row("margin", "pressure behind balance", *_SMALL,
        higher="center of pressure {} farther back, seen from the balance point",
        lower="center of pressure {} farther forward, seen from the balance point"),
    Row("margin_share", "pressure behind balance", ("% of length", 0.01), ("% of length", 0.01), 1),
    Row("wavelength", "length of one swing", *_FAR,
        higher="each swing {} longer", lower="each swing {} shorter"),
    Row("settling", "settled after", *_FAR, 0,
        higher="settles {} later", lower="settles {} sooner"),
    Row("steady_spin", "steady spin", *_TURNS, 1,
        higher="spins {} faster", lower="spins {} slower"),
    Row("spin_up", "spun up after", *_FAR, 1,
        higher="spun up {} later", lower="spun up {} sooner"),
    Row("bare_separation", "crooked launch, bare", *_SMALL,
        higher="a crooked launch parts bare and fletched by {} more at 20 yd",
        lower="a crooked launch parts bare and fletched by {} less at 20 yd"),
    Row("speed", "speed", *_SPEED, 1,
        higher="{} faster", lower="{} slower"),
    Row("energy", "energy", ("ft·lbf", FOOT_POUND), ("J", 1.0), 1,
        higher="{} more energy", lower="{} less energy"),
    Row("drop", "drop", *_SMALL,
        higher="hits {} lower", lower="hits {} higher"),
    Row("drift", "wind drift", *_SMALL,
        higher="{} more wind drift", lower="{} less wind drift"),
    Row("yaw_rate_shift", "crooked launch", *_SMALL,
        higher="a crooked launch moves it {} more", lower="a crooked launch moves it {} less"),
)  # fmt: skip


def _digits(row: Row, width: float) -> int:
    # a tenth of a per mille of drag area matters no more than one of a coefficient
    extra = 1 if row.finest > 2 else 0
    scale = 10.0**extra
    return min(row.finest, digits_for(width * scale) + extra)


def value_text(row: Row, values: Banded, size: float) -> str:
    """``"2.8 (2.5…3.1)"``; a value without a band stands alone."""
    value, low, high = _in_units(values, size)
    if not math.isfinite(value):
        return NONE
    if not (math.isfinite(low) and math.isfinite(high)):
        return f"{value:.{min(row.finest, 1)}f} (?)"
    digits = _digits(row, high - low)
    texts = [f"{one:.{digits}f}" for one in (value, low, high)]
    return texts[0] if texts[1] == texts[2] else f"{texts[0]} ({texts[1]}…{texts[2]})"


def difference_text(row: Row, values: Banded, size: float, verdict: Verdict) -> str:
    """The same with signs; ``≈`` behind one that is not clear."""
    if verdict == "cannot_tell":
        return "?"
    value, low, high = _in_units(values, size)
    digits = _digits(row, high - low)
    texts = [plain(one, digits) for one in (value, low, high)]
    said = texts[0] if texts[1] == texts[2] else f"{texts[0]} ({texts[1]}…{texts[2]})"
    return f"{said} {SAME}" if verdict == "no_clear_difference" else said


def _in_units(values: Banded, size: float) -> tuple[float, float, float]:
    return (float(values.nominal) / size, float(values.low) / size, float(values.high) / size)


def reading(one: Compared, index: int, at: str, units: UnitChoice) -> list[str]:
    """What clearly sets this contender apart from the first, and what does not, in words.

    ``index`` and ``at`` are the distance that is spoken of.
    """
    clear: list[str] = []
    here: list[str] = []
    alike: list[str] = []
    unknown: list[str] = []
    for row in ROWS:
        if not row.higher:
            continue
        place = index if row.at_distance else None
        verdict = one.verdict(row.name, place)
        if verdict == "cannot_tell":
            unknown.append(row.title)
        elif verdict == "no_clear_difference":
            alike.append(f"{row.title} at {at}" if row.at_distance else row.title)
        else:
            words = row.higher if verdict == "higher" else row.lower
            amount = _amount(row, at_index(one.differences[row.name], place), units)
            (here if row.at_distance else clear).append(words.format(amount))
    if here:
        clear.append(f"at {at} " + ", ".join(here))
    lines = [f"{one.contender.label}: " + ("; ".join(clear) or "nothing clearly different")]
    if alike:
        lines.append("no clear difference: " + ", ".join(alike))
    if unknown:
        lines.append("cannot tell: " + ", ".join(unknown))
    return lines


def _amount(row: Row, difference: Banded, units: UnitChoice) -> str:
    """``"2.6 in (2.3 to 2.9)"``, without a sign."""
    unit, size = row.unit(units)
    if row.spoken is not None:
        unit = row.spoken
    value, low, high = _in_units(difference, size)
    digits = _digits(row, high - low)
    ends = sorted(f"{abs(end):.{digits}f}" for end in (low, high))
    said = f"{abs(value):.{digits}f}{' ' * bool(unit)}{unit}"
    if ends[0] == ends[1]:
        return said
    ends = [f"{end:.{digits}f}" for end in sorted((abs(low), abs(high)))]
    return f"{said} ({ends[0]} to {ends[1]})"
