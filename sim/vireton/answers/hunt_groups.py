"""How far out a circle holds nine of ten arrows."""

from dataclasses import dataclass
from typing import Any

from vireton.answers.table import Span

#: Share of the arrows that a circle has to hold.
INSIDE = 0.9


def farthest_inside(distance: Any, hits: Any) -> float:
    """Where the share of ``hits`` (n,) at ``distance`` (n,) m falls to :data:`INSIDE`, m.

    inf where it does not. A group that grows with the distance has hits of 1 − exp(−c ÷ d²), so
    1 ÷ √−ln(1 − hits) is a straight line, in which is read between two distances (worked out here,
    for errors that are normal and alike on both axes).
    """
    import numpy as np

    width = 1.0 / np.sqrt(-np.log1p(-np.clip(hits, 1e-9, 1.0 - 1e-12)))
    wanted = 1.0 / np.sqrt(-np.log1p(-INSIDE))
    if width[-1] <= wanted:
        return float("inf")
    grown = np.maximum.accumulate([0.0, *width])
    return float(np.interp(wanted, grown, [0.0, *distance]))


@dataclass(frozen=True)
class Stays:
    """The ``circle``, diameter in m, and how far out it holds 9 of 10 arrows, m.

    inf for beyond ``looked``, the last distance that was looked at.
    """

    circle: float
    far: Span
    looked: float

    @property
    def capped(self) -> Span:
        """The same, no farther than was looked."""
        return Span(*(min(one, self.looked) for one in self.far))

    @property
    def goes_on(self) -> bool:
        """Whether it holds them at the last distance too."""
        return self.far.nominal > self.looked
