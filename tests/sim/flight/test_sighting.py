"""Sight-in, and what a sight can and cannot hide."""

from dataclasses import replace

import numpy as np
import pytest

from demo import CONDITIONS, FPS, INCH, MAPLE, MILL, YARD
from vireton.bow.arrow import assemble, bare
from vireton.flight.flight import Conditions, fly
from vireton.flight.sighting import NotSightedError, sight_in
from vireton.launch import Launch

FLETCHED = assemble(MAPLE)
STRAIGHT = Launch(280 * FPS)
HEIGHT = 3.5 * INCH
BRACE = MILL.brace_height
FAR = np.array([30.0, 40.0, 60.0]) * YARD


def sighted(launch, conditions=CONDITIONS, distance=20 * YARD, height=HEIGHT):
    return sight_in(FLETCHED, launch, conditions, distance, height, BRACE)


def flown(launch, aim, distances, arrow=FLETCHED):
    return fly(arrow, launch, CONDITIONS, distances, aim=aim, brace_height=BRACE)


@pytest.mark.parametrize("yards", [10, 20, 60, 100, 300])
def test_the_fletched_arrow_meets_the_aim_point(yards):
    aim = sighted(STRAIGHT, distance=yards * YARD)
    flight = flown(STRAIGHT, aim, [yards * YARD])
    assert abs(flight.up[0]) < 1e-6
    assert abs(flight.right[0]) < 1e-6


def test_elevation_by_hand_without_air():
    # v² sin 2θ / g ≈ range from the line of sight lowered by its height; close range, small angles
    nothing = Conditions(replace(CONDITIONS.air, density=1e-15, viscosity=1e-20))
    aim = sight_in(FLETCHED, STRAIGHT, nothing, 50.0, 0.0, 0.0)
    run = 50.0 - FLETCHED.total_length
    drop = 0.5 * 9.80665 * (run / STRAIGHT.speed) ** 2
    assert aim.elevation == pytest.approx(drop / 50.0, rel=2e-2)


def test_a_launch_direction_vanishes_when_the_sight_is_set():
    crooked = replace(STRAIGHT, direction_right=0.01, direction_up=-0.005)
    aim = sighted(crooked)
    straight = flown(STRAIGHT, sighted(STRAIGHT), FAR)
    flight = flown(crooked, aim, FAR)
    # all but the parallax: the bow now points left by as much, and its arrow starts that far left
    start = -0.01 * (FLETCHED.balance - BRACE)
    assert flight.right == pytest.approx(start * (1.0 - FAR / (20 * YARD)), abs=3e-4)
    assert flight.up == pytest.approx(straight.up, abs=4e-3)


def test_a_yaw_rate_does_not_vanish_for_the_bare_shaft():
    turning = replace(STRAIGHT, yaw_rate=0.5)
    aim = sighted(turning)
    assert np.abs(flown(turning, aim, FAR).right).max() < 1 * INCH
    assert flown(turning, aim, FAR, bare(FLETCHED)).right[-1] > 5 * INCH


def test_the_far_side_of_the_range_is_not_reached():
    with pytest.raises(NotSightedError, match="1500"):
        sighted(STRAIGHT, distance=1500.0)
