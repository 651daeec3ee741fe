"""Where the rest would leave nothing, by each draw of what is believed."""

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.studies.rest_moves import TALKING_DISTANCE
from vireton.tuning.belief import Aim, Belief
from vireton.tuning.moves import TRAVEL
from vireton.units.numbers import INCH

_STEP = INCH / 32.0  # m, between the moves from which each draw's answer is read
#: A turn of less than this share of what up and down does is none (our choice).
_NONE = 1e-3


def best_moves(belief: Belief, aim: Aim) -> FloatArray:
    """Rest moves (k, 2), right and up, m, after which each draw leaves nothing at 20 yd.

    A draw whose arrows do not carry so far has none and is left out.
    An arrow answers a rest move in proportion, to within what a picture shows. A draw whose answer
    to one side is next to none would move for ever: all moves are held within the rest's travel.
    """
    tried = np.array([0.0, _STEP, 1j * _STEP]).astype(np.complex128)
    left = belief.left(aim, tried, TALKING_DISTANCE)
    left = left[np.isfinite(left).all(axis=1)]
    here, by_right, by_up = left[:, 0], left[:, 1] - left[:, 0], left[:, 2] - left[:, 0]
    area = by_right.real * by_up.imag - by_right.imag * by_up.real
    least = _NONE * np.abs(by_up) ** 2
    area = np.where(np.abs(area) < least, np.copysign(np.maximum(least, 1e-18), area), area)
    right = -(here.real * by_up.imag - here.imag * by_up.real) / area
    up = -(by_right.real * here.imag - by_right.imag * here.real) / area
    return np.asarray(np.clip(_STEP * np.column_stack([right, up]), -TRAVEL, TRAVEL))
