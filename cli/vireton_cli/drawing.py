"""From banded results to what the figures draw."""

from vireton.api.pictures import shift_band

__all__ = ["shift_band"]
