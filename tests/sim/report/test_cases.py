"""Which cases are worth drawing, and the wind."""

from dataclasses import replace

import numpy as np
import pytest
from formula import FormulaCase

from demo import CONDITIONS, mill_rig
from vireton.flight.flight import Wind
from vireton.report.cases import across, bodies_in_wind, likely, symmetric


def test_the_likelier_first_and_nothing_unlikely():
    cases = [FormulaCase(0.3, -1), FormulaCase(0.7, 1)]
    assert [case.weight for case in likely(cases)] == [0.7, 0.3]
    assert [case.weight for case in likely([FormulaCase(0.05), FormulaCase(0.95)])] == [0.95]
    assert len(likely([FormulaCase(0.05)])) == 1


def test_a_crosswind_leaves_the_wind_along_the_shot():
    blowing = replace(CONDITIONS, wind=Wind(towards_x=-3.0, towards_right=1.0))
    assert across(blowing, 2.0).wind == Wind(towards_x=-3.0, towards_right=2.0)


def test_bodies_differ_by_the_wind_alone():
    one, two, three = bodies_in_wind(mill_rig(), "bare", 85.0, np.array([1.0, 2.0, 1.0]))
    assert one == three
    assert one._replace(wind_right=2.0) == two


def test_symmetric():
    found = symmetric(np.array([[1.0, 0.2], [0.4, 1.0]]))
    assert found[0, 1] == found[1, 0] == pytest.approx(0.3)
