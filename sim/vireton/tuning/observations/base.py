"""What every kind of observation is and does."""

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Literal, Self, get_args

from vireton.units.bench_words import problem
from vireton.units.kinds import Choice
from vireton.units.problems import InputProblem
from vireton.units.quantity import Quantity
from vireton.units.table import Table
from vireton.units.text import UnitSystem, as_typed

if TYPE_CHECKING:
    from vireton.tuning.response import Shooter

ArrowKind = Literal["bare", "fletched"]
#: A broadhead is a fletched arrow with its broadhead, shot at a target beside field points; nobody
#: shoots one through paper.
ShotArrow = Literal["bare", "fletched", "broadhead"]

#: What may be predicted of a flight at a distance.
Plane = Literal["target", "paper", "film rate", "film angle"]

PAPER_ARROW = Choice(get_args(ArrowKind))
SHOT_ARROW = Choice(get_args(ShotArrow))
TARGET = Quantity("length", "2 yd", "300 yd", "20 yd")
IMPACT = Quantity("length", "-10 ft", "10 ft", "0.5 in")


@dataclass(frozen=True)
class Measurement:
    """What an observation says of one arrow's flight, for the fit of the launch errors.

    ``value`` right and up, ``distance`` m from the grip: m of the point on a ``target`` or of the
    tear in a ``paper``; of a film rad/s by which the shaft turns (``film rate``), or rad from the
    flight's own path (``film angle``) plus the rate times ``later`` s. ``variance`` of each of the
    two; ``axes`` 1 for an axis that was seen, 0 for one that was not.
    """

    arrow: ShotArrow
    plane: Plane
    distance: float
    value: tuple[float, float]
    variance: float
    axes: tuple[float, float] = (1.0, 1.0)
    later: float = 0.0


class Observation(ABC):
    """One thing that was seen. Subclasses are frozen dataclasses in SI, right and up positive.

    ``key`` is its list of tables in a round of the log, with the ``description`` of that list and
    its ``table``; ``json_key`` its list in JSON.
    """

    key: ClassVar[str]
    description: ClassVar[str]
    table: ClassVar[type[Table]]
    json_key: ClassVar[str]

    @classmethod
    @abstractmethod
    def from_table(cls, table: Any) -> Self:
        """From a checked table of the file, of the type ``cls.table``."""

    @abstractmethod
    def to_table(self, units: UnitSystem) -> dict[str, Any]:
        """As TOML holds it, spelled in ``units`` and read back exactly."""

    @abstractmethod
    def words(self, units: UnitSystem) -> str:
        """As it was understood: both axes said, zero or not."""

    @abstractmethod
    def to_dict(self) -> dict[str, Any]:
        """For JSON: inches and yards, signs as in the log."""

    @abstractmethod
    def measurement(self, spread_angle: float) -> Measurement | None:
        """What the fit of the launch errors takes from it; None where another question asks it.

        ``spread_angle`` rad: the standard deviation of one arrow on one axis.
        """

    @property
    def speaks_of(self) -> ShotArrow | None:
        """The arrow whose launch it says something of; None where it says nothing."""
        found = self.measurement(1.0)
        return None if found is None else found.arrow

    def measurements(self, spread_angle: float, shooter: "Shooter") -> "tuple[Measurement, ...]":
        """All that the fit takes from it; ``shooter``: the bow and its arrows."""
        found = self.measurement(spread_angle)
        return () if found is None else (found,)


def parse_arrow(text: str, where: str = "") -> ArrowKind:
    """``bare`` or ``fletched``, in any case. Raises InputProblem with ``where`` in front."""
    match text.strip().lower():
        case "bare":
            return "bare"
        case "fletched":
            return "fletched"
    raise problem(where, f'{as_typed(text)} is no arrow for this; write "bare" or "fletched"')


def parse_shot_arrow(text: str, where: str = "") -> ShotArrow:
    """As :func:`parse_arrow`, or ``broadhead``."""
    if text.strip().lower() in ("broadhead", "broadheads"):
        return "broadhead"
    try:
        return parse_arrow(text)
    except InputProblem:
        raise problem(
            where, f'{as_typed(text)} is no arrow; write "bare", "fletched" or "broadhead"'
        ) from None
