"""Formulas of what arrows do, each flown once."""

import numpy as np
import pytest
from bench import AT, PAPER, tuner

from vireton.tuning import flown as module
from vireton.tuning.flown import Flown

SHOOTER = tuner().flown.shooter


def test_each_is_flown_once(monkeypatch):
    asked = []
    surfaces = module.surfaces

    def counted(*what):
        asked.append(what[1:])
        return surfaces(*what)

    monkeypatch.setattr(module, "surfaces", counted)
    flown = Flown(SHOOTER)
    for _ in range(2):
        flown.surface("bare", "target", AT)
        flown.surface("bare", "paper", PAPER)
    assert asked == [("bare", (AT,), ()), ("bare", (), (PAPER,))]


def test_films_close_together_are_one_place():
    flown = Flown(SHOOTER)
    one = flown.surface("bare", "film rate", 1.2)
    assert flown.surface("bare", "film rate", 1.201) is one
    assert flown.surface("bare", "film rate", 1.3) is not one


def test_entries_say_which_arrow_and_plane_they_are_of():
    found = tuner().flown.planes(
        [("bare", "target", 2.0 * AT), ("fletched", "target", AT), ("bare", "paper", PAPER)]
    )
    assert list(found.bare) == [1.0, 0.0, 1.0]
    assert list(found.paper) == [0.0, 0.0, 1.0]
    assert found.far[:2] == pytest.approx([4.0, 1.0])
    assert np.array_equal(found.of(np.array([1])).coefficients[0], found.coefficients[1])


def test_an_angle_seen_later_holds_some_of_the_rate():
    flown = tuner().flown
    where = [("bare", "film angle", 1.2)]
    now, later = flown.planes(where), flown.planes(where, [0.01])
    rate = flown.surface("bare", "film rate", 1.2)
    assert later.coefficients[0] == pytest.approx(now.coefficients[0] + 0.01 * rate)
