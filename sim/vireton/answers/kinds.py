"""What a question's fields may be: the kinds of the setup file, and lists, wind, files besides.

From the command line they read text; from Python also numbers in SI. Each raises ValueError with
what is wrong and what is right.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar

from vireton.units.kind import Kind, shown
from vireton.units.quantities import FARTHEST, LARGEST_MOVE, LIKE_MOVE, NEAREST, quantities, wind
from vireton.units.quantity import Quantity
from vireton.units.text import split

_SI = {
    "length": "m",
    "mass": "kg",
    "speed": "m/s",
    "angle": "rad",
    "angular_rate": "rad/s",
    "temperature": "K",
    "fraction": "share",
}


@dataclass(frozen=True)
class One(Kind):
    """One quantity: text with its unit, or from Python a number in SI.

    ``bare`` refuses a number, where two units are as likely: 20 may be yards or meters.
    """

    quantity: Quantity
    bare: bool = True

    def read(self, value: Any) -> float:
        """The quantity in SI."""
        if isinstance(value, str):
            return self.quantity.read(value)
        unit = _SI[self.quantity.dimension]
        try:
            number = float(value)
        except (TypeError, ValueError):
            raise ValueError(
                f"{value!r} is no quantity; write it like {self.quantity.example}, or give a "
                f"number in {unit}"
            ) from None
        if not self.bare:
            _, usual = split(self.quantity.like)
            raise ValueError(
                f"{shown(number)} has no unit; write '{number:g} {usual}' or '{number:g} {unit}'"
            )
        low, high = self.quantity.bounds
        if not low <= number <= high:
            raise ValueError(
                f"{shown(number)} {unit} is outside {self.quantity.low} to {self.quantity.high}; a "
                f"number without a unit is in {unit}, so write other units as text"
            )
        return number

    def describe(self) -> dict[str, Any]:
        """That of the quantity."""
        return self.quantity.describe()

    @property
    def example(self) -> str:
        """That of the quantity."""
        return self.quantity.example


@dataclass(frozen=True)
class Several(Kind):
    """One quantity or more: ``"10,20,30 yd"``, a sweep ``"10:60:5 yd"``, a list; (n,) SI.

    ``rising`` sorts them and takes each once.
    """

    item: One
    rising: bool = False

    def read(self, value: Any) -> tuple[float, ...]:
        """The quantities in SI."""
        one = self.item.quantity
        if isinstance(value, str):
            values = quantities(
                value,
                one.dimension,
                "",
                one.low,
                one.high,
                like=one.like,
                completed=one.completed,
            )
        else:
            given = value if isinstance(value, Iterable) else [value]
            values = [self.item.read(each) for each in given]
        if not values:
            raise ValueError("the list is empty")
        return tuple(sorted(set(values))) if self.rising else tuple(values)

    def describe(self) -> dict[str, Any]:
        """A string with a list or a sweep."""
        return {"type": "string", "x-range": self.item.describe()["x-range"]}

    @property
    def example(self) -> str:
        """One of them is a list too."""
        return self.item.example


@dataclass(frozen=True)
class WindFrom(Kind):
    """``"5 mph from 9"``, or (m/s, clock): speed m/s and the clock direction it comes out of."""

    def read(self, value: Any) -> tuple[float, float]:
        """Speed and clock."""
        if isinstance(value, str):
            return wind(value, "")
        try:
            speed, clock = map(float, value)
        except (TypeError, ValueError):
            raise ValueError(
                f"{value!r} is not understood; write '10 mph from 3', or give (m/s, clock)"
            ) from None
        if not 0.0 <= clock <= 12.0:
            raise ValueError(f"{clock:g} is no clock direction; it goes from 0 to 12")
        return One(Quantity("speed", "0 m/s", "60 m/s", "10 mph")).read(speed), clock

    def describe(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "x-range": "0 to 60 m/s, from 0 to 12"}

    @property
    def example(self) -> str:
        """From the right."""
        return '"10 mph from 3"'


@dataclass(frozen=True)
class Whole(Kind):
    """A whole number, ``low`` to ``high``; ``why`` nothing else does."""

    low: int
    high: int | None = None
    why: str = ""

    def read(self, value: Any) -> int:
        """The number."""
        most = "" if self.high is None else f" to {self.high}"
        inside = isinstance(value, int) and value >= self.low
        if not inside or (self.high is not None and value > self.high):
            reach = f"outside {self.low}{most}" if most else f"below {self.low}"
            raise ValueError(f"{value!r} is {reach}" + (f": {self.why}" if self.why else ""))
        return int(value)

    def describe(self) -> dict[str, Any]:
        """An integer."""
        most = {} if self.high is None else {"maximum": self.high}
        return {"type": "integer", "minimum": self.low, **most}

    @property
    def example(self) -> str:
        """The least."""
        return str(self.low)


@dataclass(frozen=True)
class Flag(Kind):
    """On or off."""

    def read(self, value: Any) -> bool:
        """Whether it is on."""
        return bool(value)

    def describe(self) -> dict[str, Any]:
        """A boolean."""
        return {"type": "boolean"}

    @property
    def example(self) -> str:
        """On."""
        return "true"


@dataclass(frozen=True)
class Words(Kind):
    """Text that the question itself reads."""

    like: str

    def read(self, value: Any) -> Any:
        """As given."""
        return value

    def describe(self) -> dict[str, Any]:
        """A string."""
        return {"type": "string", "examples": [self.like]}

    @property
    def example(self) -> str:
        """As it is typed."""
        return self.like


@dataclass(frozen=True)
class Repeated(Kind):
    """Several texts, each given apart."""

    item: Words

    def read(self, value: Any) -> tuple[Any, ...]:
        """Each of them."""
        given = [value] if isinstance(value, str) else value
        return tuple(self.item.read(one) for one in given)

    def describe(self) -> dict[str, Any]:
        """An array."""
        return {"type": "array", "items": self.item.describe()}

    @property
    def example(self) -> str:
        """One of them."""
        return self.item.example


class Elsewhere(One):
    """A sight-in distance, or ``"none"`` for the bore line, which reads as inf."""

    def read(self, value: Any) -> float:
        """The distance in m; inf for the bore line."""
        if isinstance(value, str) and value.strip().lower() == "none":
            return float("inf")
        return super().read(value)


class File(Kind):
    """A file that the user owns: what is asked about. ``label`` stands for it in help."""

    label: ClassVar[str] = "SETUP"

    def describe(self) -> dict[str, Any]:
        """A path."""
        return {"type": "string"}

    @property
    def example(self) -> str:
        """None: every command shows one in its example."""
        return ""


class SetupSource(File):
    """A setup, or the file of one."""

    def read(self, value: Any) -> Any:
        """The setup."""
        from vireton.setup import Setup, load_setup

        return value if isinstance(value, Setup) else load_setup(Path(value))


class SetupSources(SetupSource):
    """Setups or their files, one or several, each read by the question itself."""

    def read(self, value: Any) -> Any:
        """As given."""
        return tuple(value)


class LogSource(File):
    """A tuning log, or the file of one."""

    label = "JOB"

    def read(self, value: Any) -> Any:
        """The log."""
        from vireton.job import TuningLog, read_log

        return value if isinstance(value, TuningLog) else read_log(value)


class BowSource(File):
    """A bow: a setup or a tuning log, or the file of either."""

    label = "SETUP|JOB"

    def read(self, value: Any) -> Any:
        """The setup or the log."""
        from vireton.job import TuningLog, is_job_file, read_log
        from vireton.setup import Setup, load_setup

        if isinstance(value, Setup | TuningLog):
            return value
        return read_log(value) if is_job_file(Path(value)) else load_setup(Path(value))


#: What many questions ask in the same words.
DISTANCE = Quantity("length", NEAREST, FARTHEST, "20 yd")
DISTANCES = Several(One(DISTANCE, bare=False), rising=True)
MOVE = One(Quantity("length", f"-{LARGEST_MOVE}", LARGEST_MOVE, LIKE_MOVE))
SIGHT_IN = Elsewhere(DISTANCE, bare=False)
DRAWS = Whole(8, 10_000, "fewer make no band, more take long")
SEED = Whole(0)


def angle(most: str, like: str = "1 deg") -> One:
    """An angle up to ``most`` either way."""
    return One(Quantity("angle", f"-{most}", most, like))


def rate(most: str) -> One:
    """An angular rate up to ``most`` either way."""
    return One(Quantity("angular_rate", f"-{most}", most, "0.5 rad/s"))


def allowed(kind: Kind) -> str:
    """``", 1 m to 2000 m"``: the range, as help and docstrings put it behind their words."""
    described = kind.describe()
    if found := described.get("x-range"):
        return f", {found}"
    low, high = described.get("minimum"), described.get("maximum")
    return f", {low:,} to {high:,}" if low is not None and high is not None else ""
