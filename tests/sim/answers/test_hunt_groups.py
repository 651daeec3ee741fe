"""How far out a circle holds nine of ten arrows."""

import numpy as np
import pytest

from vireton.answers.hunt_groups import Stays, farthest_inside
from vireton.answers.table import Span
from vireton.units.numbers import INCH, YARD


@pytest.mark.parametrize("sd", [1.0, 2.5])
def test_where_the_arrows_leave_a_circle(sd):
    """Round groups that grow with the distance: 1 − exp(−r² ÷ 2σ²) are inside r (any text)."""
    where = np.linspace(6, 60, 10) * YARD
    sigma = sd * INCH * where / (20 * YARD)
    hits = -np.expm1(-((3 * INCH) ** 2) / (2.0 * sigma**2))
    wanted = 3.0 / (sd * np.sqrt(2.0 * np.log(10.0))) * 20 * YARD
    assert farthest_inside(where, hits) == pytest.approx(wanted, rel=1e-6)


def test_arrows_that_never_leave_it_and_never_are_in_it():
    where = np.array([10.0, 20.0])
    assert farthest_inside(where, np.array([1.0, 0.95])) == np.inf
    assert farthest_inside(where, np.array([0.0, 0.0])) < 0.01
    far = Stays(0.15, Span(np.inf, 15.0, np.inf), 20.0)
    assert far.goes_on
    assert tuple(far.capped) == (20.0, 15.0, 20.0)
