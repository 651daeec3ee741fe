"""What differs from shot to shot."""

import pytest

from vireton.scatter.sources import SOURCES, Scatter


def test_only_what_differs_is_active_and_in_the_order_of_the_columns():
    spread = Scatter(mass=1e-4, aim_up=1e-3)
    assert spread.active == ("aim_up", "mass")
    assert Scatter().active == ()
    assert set(spread.active) < set(SOURCES)


@pytest.mark.parametrize("odd", [-1.0, float("nan"), float("inf")])
def test_a_standard_deviation_is_a_number_from_0_on(odd):
    with pytest.raises(ValueError, match="speed"):
        Scatter(speed=odd)
