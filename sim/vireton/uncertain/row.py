"""What a row of the table of uncertain inputs holds."""

import json
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any, Literal, cast

from vireton.bow.bow import Bow
from vireton.bow.parts import ArrowParts
from vireton.flight.coefficients import Coefficients
from vireton.units.kinds import Band
from vireton.units.quantity import Quantity

Range = tuple[float, float]

#: A range whose ends are this many times apart says that not even the size is known.
DECADE = 10.0

#: A factor on something, 100 % for the best estimate.
FACTOR = Quantity("fraction", "1 %", "500 %", "100 %")


@dataclass(frozen=True)
class Pieces:
    """What an uncertain input may change: the bow, the arrow's parts, factors of the flight.

    ``density``: a factor on the air's. ``sight_higher``: m by which the line of sight is higher
    above the arrow than the setup says.
    """

    bow: Bow
    parts: ArrowParts
    factors: Coefficients = field(default_factory=Coefficients)
    density: float = 1.0
    sight_higher: float = 0.0


def spans_decades(within: Range) -> bool:
    """Whether a range is drawn evenly in the logarithm, and not as it is."""
    return within[0] > 0.0 and within[1] >= DECADE * within[0]


def of_bow(name: str) -> Callable[[Pieces, float], Pieces]:
    """The change that puts a value into this field of the bow."""
    return lambda one, value: replace(one, bow=replace(one.bow, **cast(Any, {name: value})))


def has_no_readings(one: Pieces) -> bool:
    """Whether the draw force was not read on a bow scale, so that a typical shape stands in."""
    return not one.bow.draw_curve.points


@dataclass(frozen=True)
class Input:
    """One uncertain input.

    ``key`` names it in the setup file, in the draws and in shares of variance; ``words`` for
    people. ``change`` puts a value (SI) into the pieces.

    ``kind``: what the setup file takes, its example a usual band. An input without one is drawn
    only, and only where the file does not give ``own``. ``own``: the key of the setup file with
    the input's best value, which a band must hold. ``usual``: the range (SI) where the file gives
    none; without it the example of the kind. ``says``: what the input is; with ``own``, what the
    usual range is. ``when_open``: the wider range where the file leaves ``own`` open.
    ``applies``: whether it counts for these pieces at all.

    ``known_of`` tells who shares one true value: ``everything``, the arrows of one ``bow``, those
    on one kind of ``shaft``, or those of one setup file, whose ``chronograph`` errs by itself.
    """

    key: str
    words: str
    change: Callable[[Pieces, float], Pieces]
    kind: Band | None = None
    own: str = ""
    usual: Callable[[Pieces], Range] | None = None
    when_open: Callable[[Pieces], Range] | None = None
    says: str = ""
    applies: Callable[[Pieces], bool] = lambda pieces: True
    known_of: Literal["everything", "shaft", "bow", "chronograph"] = "everything"

    @property
    def is_factor(self) -> bool:
        """Whether it multiplies the model's best estimate."""
        return self.kind is not None and self.kind.item is FACTOR

    @property
    def description(self) -> str:
        """For the schema of setup files."""
        if self.own:
            return f"Of {self.own}; without it {self.says}"
        return f"{self.says}, of the model's best estimate" if self._of_the_model else self.says

    @property
    def template_line(self) -> str:
        """Its line in a new setup file; behind a comment mark where it follows another number."""
        if self.kind is None:
            return ""
        mark, says = ("# ", f"of {self.own}; else {self.says}") if self.own else ("", self.says)
        return f"{mark}{self.key} = {self.kind.like}".ljust(37) + f" # {says[0].lower()}{says[1:]}"

    @property
    def written(self) -> Any:
        """The usual band as the setup file writes it; None where it follows another number."""
        return None if self.kind is None or self.usual else json.loads(self.kind.like)

    @property
    def _of_the_model(self) -> bool:
        return self.key in Coefficients.__dataclass_fields__

    def usual_range(self, pieces: Pieces, *, is_open: bool = False) -> Range:
        """Plausible low and high, SI, where nobody says anything else.

        ``is_open``: the setup file leaves ``own`` open, and a usual value stands in for it.
        """
        if is_open and self.when_open is not None:
            return self.when_open(pieces)
        if self.usual is not None:
            return self.usual(pieces)
        if self.kind is None:
            raise ValueError(f"{self.key} has neither a usual range nor a kind with an example")
        return self.kind.read(self.written)
