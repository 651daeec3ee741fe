"""What things cost in arrows."""

import pytest

from vireton.setup import load_setup
from vireton.tuning.costs import Costs
from vireton.units.numbers import INCH


def test_a_setup_that_says_nothing_has_the_usual_costs(pytestconfig):
    setup = load_setup(pytestconfig.rootpath / "examples" / "mill_bow.toml")
    assert setup.costs == Costs()


def test_who_is_content_with_twice_as_much_pays_a_quarter_for_an_inch():
    wide = Costs().near(1.0 * INCH)
    assert wide.inch_left == pytest.approx(Costs().inch_left / 4.0)
    assert wide.most_inches == pytest.approx(2.0 * Costs().most_inches)
    assert Costs().near(0.5 * INCH) == Costs()
