"""Moves of rest and nocking point that may be advised."""

from dataclasses import dataclass

import numpy as np

from vireton.bow.setting import BowSetting
from vireton.kernel.arrays import BoolArray, ComplexArray, FloatArray
from vireton.tuning.costs import Costs
from vireton.units.numbers import INCH

#: m from where it stood: what rests have (our choice).
TRAVEL = 0.25 * INCH


@dataclass(frozen=True)
class Moves:
    """What may be done to the bow: nothing first.

    ``by`` (m,) complex: what each does to the arrow, m of rest, right + i·up. ``by_nock`` (m,):
    whether its way up or down is the nocking point's, for the rest is at its end.
    """

    by: ComplexArray
    by_nock: BoolArray

    def costs(self, costs: Costs) -> FloatArray:
        """(m,) in arrows."""
        moved = costs.move * (np.abs(self.by) > 0.0)
        return np.asarray(np.where(self.by_nock, costs.nock + moved * (self.by.real != 0), moved))

    def setting(self, which: int) -> BowSetting:
        """As a move of the bow's parts: a nock that goes down is a rest that goes up."""
        move = complex(self.by[which])
        if self.by_nock[which]:
            return BowSetting(move.real, 0.0, -move.imag)
        return BowSetting(move.real, move.imag)


def moves_within(step: float, farthest: float, stands: complex, travel: float) -> Moves:
    """Moves in whole steps on both axes that keep the rest within its travel.

    Args:
        step: m, smallest move of this rest.
        farthest: m that one advice may move on an axis; one step is always allowed.
        stands: right + i·up, m, where the rest stands from the start of the log.
        travel: m either way from there that the rest has. Up or down beyond it goes the nocking
            point. A rest that stands farther out may come back.
    """
    most = max(1, int(farthest / step + 1e-6))
    steps = step * np.arange(-most, most + 1)
    moves = (steps[:, None] + 1j * steps[None, :]).ravel()
    moves = np.concatenate([np.zeros(1, complex), moves[np.abs(moves) > 1e-9]])

    def inside(by: FloatArray, at: float) -> BoolArray:
        there = np.abs(at + by)
        return np.asarray((there <= travel + 1e-9) | (there <= abs(at) + 1e-9))

    kept = inside(moves.real, stands.real)
    by_nock = ~inside(moves.imag, stands.imag)
    return Moves(moves[kept], by_nock[kept])
