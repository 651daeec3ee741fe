"""Bows that are changed: what a change does to a truth, and whether intervals hold afterwards."""

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

ROOT = Path(__file__).parents[2]
sys.path.append(str(ROOT / "validation" / "tuning"))

import changes  # noqa: E402
import changes_table  # noqa: E402
from protocol import AT, HERE, INCH, PAPER  # noqa: E402
from truths.changed import Bow  # noqa: E402
from truths.effects import EFFECTS, Told, put_back  # noqa: E402
from truths.rig import mass_balance_inertia, read  # noqa: E402

from vireton.tuning.changes import CHANGE_KINDS, Change, Loosens  # noqa: E402

RIG = read(ROOT / "examples" / "mill_bow.toml")


def bow(seed=1):
    random = np.random.default_rng(seed)
    return random, Bow.draw(random, RIG)


def test_every_kind_of_change_is_played():
    assert set(CHANGE_KINDS) <= set(EFFECTS)


@pytest.mark.parametrize("kind", [one for one in EFFECTS if one not in ("loose part", "visit")])
def test_what_is_told_can_be_told(kind):
    for seed in range(8):
        told = EFFECTS[kind](*bow(seed))[1]
        row = CHANGE_KINDS[told.what]
        for name in ("right", "up", "turns"):
            assert not getattr(told, name) or name in row.takes
        for key in told.sets:
            assert any(key == one or key.startswith(f"{one}.") for one in row.sets)


def test_a_sight_and_a_nock_leave_the_launch_alone():
    random, one = bow()
    assert EFFECTS["sight"](random, one)[0] == one
    turned = EFFECTS["nock turned"](random, one)[0]
    assert np.hypot(*turned.bend) == pytest.approx(np.hypot(*one.bend))
    assert replace(turned, bend=one.bend, paper=one.paper) == one


def test_another_arrow_takes_the_same_energy():
    random, one = bow()
    for kind in ("point", "arrow", "vanes"):
        after = EFFECTS[kind](random, one)[0]
        masses = [mass_balance_inertia((*b.rig.parts, b.rig.vanes))[0] for b in (one, after)]
        energies = [
            0.5 * mass / b.air.efficiency * b.rig.speed**2
            for mass, b in zip(masses, (one, after), strict=True)
        ]
        assert energies[1] == pytest.approx(energies[0])
        assert (after.rig.speed < one.rig.speed) == (masses[1] > masses[0])


def test_a_bend_lands_the_bare_shaft_off_and_tape_brings_it_down():
    _, one = bow()
    straight = replace(one, bend=HERE, paper=HERE)
    truths = [b.truth(np.random.default_rng(0)) for b in (one, straight)]
    for distance, grown in ((AT, 1.0), (2 * AT, 4.0)):
        off = np.subtract(*(truth.separation(HERE, distance) for truth in truths))
        assert off == pytest.approx(grown * np.array(one.bend))
    torn = np.subtract(*(truth.mean_tear("bare", HERE, PAPER) for truth in truths))
    assert torn == pytest.approx(np.array(one.paper))
    taped = replace(straight, tape=True).truth(np.random.default_rng(0))
    assert taped.clean().up < truths[1].clean().up - 0.1 * INCH


def test_put_back_is_nearly_as_it_was():
    random, one = bow()
    after = EFFECTS["cam spacer"](random, one)[0]
    back = put_back(random, one, after)
    gone = after.causes.rest_right - one.causes.rest_right
    assert abs(back.causes.rest_right - one.causes.rest_right) <= 0.15 * abs(gone)
    assert back.bend == one.bend


def test_told_numbers_make_another_arrow():
    heavy = Told("point", sets={"arrow.point.mass": "125 gr"})
    change = changes.round_of(heavy, 3, None).changes[0]
    tuner = changes.tuner_for(change)
    assert tuner.flown_of(1) is not tuner.flown
    assert changes.tuner_for(Change("new string")).later == {}


SEEDS = range(29900, 29908)


def held(kind):
    """How many of the intervals held, by when they were said: 16 each."""
    rows = [one for seed in SEEDS for one in changes.play(kind, seed) if one.what != "happened"]
    return {when: sum(one.held for one in rows if one.when == when) for when in changes_table.WHEN}


def test_intervals_hold_after_a_change_that_is_known_to_leave_something_open(monkeypatch):
    counts = held("new string")
    assert min(counts.values()) >= 14
    # and would not, were it taken to leave nothing open
    nothing = replace(CHANGE_KINDS["new string"], loosens=Loosens())
    monkeypatch.setitem(CHANGE_KINDS, "new string", nothing)
    assert held("new string")["unshot"] <= 12


def test_intervals_hold_after_a_change_is_put_back():
    assert min(held("put back: cam spacer").values()) >= 14


def test_a_row_of_the_table():
    def said(when, axis, off, held):
        return changes_table.Said("peep", 1, when, axis, off, 1.25, held, 0)

    rows = [said(when, axis, 0.0, 1) for when in changes_table.WHEN for axis in ("right", "up")]
    rows += [said("shot", "happened", 0.8, 1), said("shot", "happened", 0.2, 0)]
    cells = " | ".join(["100 (0) ±1.2 · 100 (0) ±1.2"] * 4)
    assert changes_table.table(rows).splitlines()[2:] == [
        f"| peep | {cells} | 100 of 1 |",
        f"| all | {cells} | 100 of 1 |",
    ]
