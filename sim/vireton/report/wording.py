"""Places in words, with no more digits than their error supports; the page's script does alike."""

import math

from vireton.kernel.arrays import FloatArray

_NOTHING = 0.005  # what is shown to two decimals at most

#: The words for right and left, up and down of what a place is measured from.
SIDES = (("right", "left"), ("high", "low"))


def digits_of(half: float) -> int:
    """Decimals worth showing of a number known to ± ``half``, 0 to 2."""
    if not half > 0.0:
        return 2
    return min(2, max(0, math.floor(1.5 - math.log10(2.0 * half))))


def rounded(size: float, digits: int) -> str:
    """A size, halves upwards as scripts round them."""
    scale = 10.0**digits
    return f"{math.floor(size * scale + 0.5) / scale:.{digits}f}"


def place_words(value: float, half: float, axis: int, error: float = 0.0) -> str:
    """``"3.1 left ± 1.2"``; ``axis`` 0 sideways, 1 up and down; ``half`` of its interval.

    ``error`` of the tables that it was read from: it bounds the digits too.
    """
    if max(abs(value), half) < _NOTHING:
        return "0"
    digits = digits_of(max(half, error))
    amount = rounded(abs(value), digits)
    side = f" {SIDES[axis][0 if value > 0.0 else 1]}" if float(amount) else ""
    around = rounded(half, digits)
    return f"{amount}{side}" + (f" ± {around}" if float(around) else "")


def both_words(place: FloatArray, half: FloatArray, error: float = 0.0) -> tuple[str, str]:
    """Sideways, then up and down."""
    return (
        place_words(float(place[0]), float(half[0]), 0, error),
        place_words(float(place[1]), float(half[1]), 1, error),
    )
