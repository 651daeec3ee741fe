"""From banded results to what the figures draw."""

from vireton.bands import Banded
from vireton.plots import ShiftBand


def shift_band(values: Banded) -> ShiftBand:
    """Columns (right, up) of a banded (n, 2) result."""
    ends = (values.nominal, values.low, values.high)
    right, right_low, right_high = (one[:, 0] for one in ends)
    up, up_low, up_high = (one[:, 1] for one in ends)
    return ShiftBand(right, up, right_low, right_high, up_low, up_high)
