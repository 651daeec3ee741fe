"""Families of arrows against arrows worked out one by one."""

from dataclasses import replace

import numpy as np
import pytest

from demo import CONDITIONS, FPS, GRAIN, INCH, MAPLE, MILL, SIGHT, YARD, mill_rig
from vireton.flight.flight import prepare
from vireton.flight.volley import shoot_volley, start_of
from vireton.kernel.parameters import Parameters
from vireton.rig import assemble_rig
from vireton.scatter.arrows import LAUNCH, families, one_of
from vireton.scatter.sources import Scatter
from vireton.units.problems import InputProblem

USUAL = Scatter(mass=1 * GRAIN, spine=0.003 * INCH, speed=1 * FPS)
WIDE = Scatter(mass=9 * GRAIN, spine=0.012 * INCH, speed=8 * FPS)
FAR = [60 * YARD]


def moved_rest():
    """A rest that is off both ways: the launch then depends on spine in both planes."""
    rest = replace(MILL.rest, offset_right=INCH / 32, offset_up=INCH / 32)
    return mill_rig(rest=rest)


def landing(rig, launch, arrow_numbers, body):
    balance, front = arrow_numbers
    start = start_of(launch, rig.aim, balance)[None]
    volley = shoot_volley(start, [body], front, FAR, rig.bow.brace_height)
    return np.array([volley.right[0, 0], volley.up[0, 0]])


@pytest.mark.parametrize("spread", [USUAL, WIDE])
@pytest.mark.parametrize("rig", [mill_rig, moved_rest])
def test_an_interpolated_arrow_lands_where_its_own_would(spread, rig):
    # to 0.01 mm at 60 yd, 5 SDs out; 0.1 mm is what matters
    rig = rig()
    for kind, family in families(rig, spread).items():
        for mass, spine, speed in [(-5, 4, 3), (5, -5, -5), (2.5, 5, 1), (-1.3, -2.1, 0.4)]:
            one = one_of(rig, mass * spread.mass, spine * spread.spine)
            arrow = getattr(one, kind)
            launch = one.launch(arrow)
            launch = replace(launch, speed=launch.speed + speed * spread.speed)
            truth = landing(
                rig,
                launch,
                (arrow.balance, arrow.total_length - arrow.balance),
                prepare(arrow, launch.speed, rig.conditions),
            )
            told = family.launched(np.array([float(mass)]), np.array([float(spine)]))
            near = replace(launch, **{name: float(told[name][0]) for name in LAUNCH})
            near = replace(near, speed=near.speed + speed * spread.speed)
            body = family.packed(np.array([float(mass)]), np.array([float(speed)]))[0]
            found = landing(rig, near, (float(told["balance"][0]), told["front"]), body)
            assert abs(found - truth).max() < 1e-5, (kind, mass, spine, speed)


def test_what_does_not_differ_is_the_rigs_own():
    rig = mill_rig()
    family = families(rig, Scatter())["fletched"]
    nothing = np.zeros(1)
    launch = rig.launch(rig.fletched)
    told = family.launched(nothing, nothing)
    assert {name: told[name][0] for name in LAUNCH} == pytest.approx(
        {name: getattr(launch, name) for name in LAUNCH}
    )
    body = prepare(rig.fletched, launch.speed, rig.conditions)
    assert family.packed(nothing, nothing)[0] == pytest.approx(np.array(body))


def test_both_inertias_across_are_one_number_so_that_the_short_state_serves():
    draws = np.linspace(-4.0, 4.0, 33)
    for family in families(mill_rig(), USUAL).values():
        rows = family.packed(draws, draws[::-1])
        across = [Parameters._fields.index(n) for n in ("inertia_across", "inertia_across_other")]
        assert np.array_equal(rows[:, across[0]], rows[:, across[1]])


def test_a_heavier_arrow_is_slower_and_its_bare_shaft_heavier_by_as_much():
    rig = mill_rig()
    heavy = one_of(rig, 5 * GRAIN, 0.0)
    assert heavy.fletched.mass == pytest.approx(rig.fletched.mass + 5 * GRAIN)
    assert heavy.bare.mass == pytest.approx(rig.bare.mass + 5 * GRAIN)
    assert heavy.launch(heavy.fletched).speed < rig.launch(rig.fletched).speed


def test_a_shaft_without_vanes_is_a_family_of_its_own():
    naked = assemble_rig(MILL, replace(MAPLE, vanes=None), CONDITIONS, SIGHT)
    assert list(families(naked, USUAL)) == ["bare"]


@pytest.mark.parametrize("name, size", [("mass", 12 * GRAIN), ("spine", 0.014 * INCH)])
def test_arrows_that_are_no_longer_the_same_are_refused(name, size):
    with pytest.raises(InputProblem, match=rf"scatter\.{name}"):
        families(mill_rig(), Scatter(**{name: size}))


def test_an_unknown_spine_cannot_differ():
    limp = replace(MAPLE, shaft=replace(MAPLE.shaft, spine_deflection=None))
    with pytest.raises(InputProblem, match=r"arrow\.shaft\.spine"):
        families(assemble_rig(MILL, limp, CONDITIONS, SIGHT), USUAL)
