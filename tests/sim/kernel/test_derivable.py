"""Root and quotient that carry a derivative."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vireton.kernel.compiled import compiled
from vireton.kernel.derivable import quotient, square_root

TINY = 1e-30
NUMBERS = st.floats(1e-6, 1e6)
SLOPES = st.floats(-1e3, 1e3)


@compiled
def both(a, b):
    return square_root(a), quotient(a, b)


@given(NUMBERS, NUMBERS, SLOPES, SLOPES)
def test_derivatives_follow_the_rules_of_calculus(a, b, da, db):
    for root, ratio in (
        both(complex(a, TINY * da), complex(b, TINY * db)),
        (
            square_root(complex(a, TINY * da)),
            quotient(complex(a, TINY * da), complex(b, TINY * db)),
        ),
    ):
        assert root.real == math.sqrt(a)
        assert ratio.real == pytest.approx(a / b, rel=1e-15)
        assert root.imag / TINY == pytest.approx(da / (2.0 * math.sqrt(a)), rel=1e-14, abs=1e-200)
        size = (abs(da * b) + abs(a * db)) / b**2
        assert ratio.imag / TINY == pytest.approx(
            (da * b - a * db) / b**2, abs=1e-14 * size + 1e-200
        )


@given(NUMBERS, NUMBERS)
def test_floats_stay_floats(a, b):
    root, ratio = both(a, b)
    assert (root, ratio) == (math.sqrt(a), a / b)
    assert (square_root(a), quotient(a, b)) == (math.sqrt(a), a / b)
    assert isinstance(square_root(np.float64(a)), float)
