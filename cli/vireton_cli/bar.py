"""A sight's bar: how marks on it are read and shown."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from vireton.studies.mark_fit import ShotMark
from vireton.units.numbers import INCH
from vireton.units.problems import InputProblem
from vireton.units.quantities import FARTHEST, LIKE_DISTANCE, NEAREST, quantity
from vireton.units.text import UnitError, as_typed, parse, split
from vireton_cli.options import UnitChoice

_CLICKS = re.compile(r"^(?P<count>[+-]?\s*[0-9]*\.?[0-9]+)\s*(?:clicks?)?$", re.IGNORECASE)


@dataclass(frozen=True)
class Bar:
    """Marks as the user writes them; inside they are m and rise as the pin goes down.

    ``size`` m of one ``unit``; ``sign`` −1 where the bar's own number falls as the pin goes down;
    ``digits`` shown.
    """

    unit: str
    size: float
    digits: int
    sign: float
    has_clicks: bool

    @property
    def word(self) -> str:
        """The unit in words."""
        return "inches" if self.unit == "in" else self.unit

    @staticmethod
    def of(click: str | None, units: UnitChoice, *, falling: bool) -> "Bar":
        """The bar for these options; ``click`` is the length of one, as typed."""
        sign = -1.0 if falling else 1.0
        if click is not None:
            size = quantity(click, "length", "--click", "0.0001 in", "1/4 in", like="0.01 in")
            return Bar("clicks", size, 1, sign, True)
        if units is UnitChoice.US:
            return Bar("in", INCH, 3, sign, False)
        return Bar("mm", 1e-3, 2, sign, False)

    def read(self, text: str, option: str) -> float:
        """A mark in m, rising as the pin goes down."""
        clicks = _CLICKS.match(text.strip())
        if clicks is not None:
            if not self.has_clicks:
                if "click" in text.lower():
                    raise InputProblem(
                        f"{option}: {as_typed(text)} is in clicks; say how long one is with "
                        "--click, such as --click 0.01in"
                    )
                parse(text, "length", where=option, like="1.20 in")  # says what is missing
            return self.sign * float(clicks["count"].replace(" ", "")) * self.size
        return self.sign * quantity(text, "length", option, "-20 in", "40 in", like="1.20 in")

    def shown(self, meters: float, low: float, high: float) -> str:
        """A mark with its interval, no finer than the interval supports."""
        value, one, other = (self.sign * each / self.size for each in (meters, low, high))
        ends = sorted((one, other))
        digits = self._digits(ends[1] - ends[0])
        return f"{value:.{digits}f} ({ends[0]:.{digits}f}…{ends[1]:.{digits}f})"

    def plain(self, meters: float) -> str:
        """A length along the bar, without band."""
        return f"{meters / self.size:.{min(self.digits, 2)}f} {self.unit}"

    def _digits(self, width: float) -> int:
        digits = self.digits
        # the last digit is no finer than a thirtieth of the interval
        while digits > 0 and 10.0**-digits * 30.0 < width:
            digits -= 1
        return digits


def read_shots(texts: Sequence[str], option: str, bar: Bar) -> list[ShotMark]:
    """Shot-in marks as typed, ``"20yd=1.20in"``."""
    shots = []
    for text in texts:
        distance, equals, mark = text.partition("=")
        if not equals:
            raise InputProblem(
                f"{option}: {as_typed(text)} is not understood; write the distance and its "
                "mark on the bar, such as '20yd=1.20in'"
            )
        try:
            split(distance)
        except UnitError as problem:
            raise InputProblem(f"{option}: {problem}; write it like '20yd=1.20in'") from None
        where = quantity(distance, "length", option, NEAREST, FARTHEST, like=LIKE_DISTANCE)
        shots.append(ShotMark(where, bar.read(mark, option)))
    return shots
