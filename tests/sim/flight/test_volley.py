"""Many arrows at once against the single flight."""

import math
from dataclasses import replace

import numpy as np
import pytest

from demo import CONDITIONS, FPS, MILL, YARD, mill_rig
from vireton.flight.flight import fly, prepare
from vireton.flight.volley import Aim, places_across, shoot_volley, start_of, starts_around
from vireton.kernel.start import START
from vireton.launch import Launch

RIG = mill_rig()
ARROW = RIG.fletched
LAUNCH = Launch(280.0 * FPS, yaw_rate=0.3, pitch=0.004)
AIM = Aim(elevation=0.02, windage=-0.001, height=0.09, cant=0.02)
START_ROW = start_of(LAUNCH, AIM, ARROW.balance)
BODY = [prepare(ARROW, LAUNCH.speed, CONDITIONS)]
FRONT = ARROW.total_length - ARROW.balance
DISTANCES = [20.0 * YARD, 40.0 * YARD]


def test_a_start_holds_launch_and_aim():
    known = dict(zip(START, START_ROW, strict=True))
    assert known["speed"] == LAUNCH.speed
    assert (known["elevation"], known["cant"]) == (0.02, 0.02)
    assert known["balance"] == ARROW.balance


def test_changes_are_added_to_their_own_numbers():
    rows = starts_around(START_ROW, yaw_rate=[0.0, 0.1, 0.2], windage=0.001)
    assert rows.shape == (3, len(START))
    assert rows[:, START.index("yaw_rate")] == pytest.approx([0.3, 0.4, 0.5])
    assert rows[:, START.index("windage")] == pytest.approx([0.0, 0.0, 0.0])
    with pytest.raises(ValueError, match="no 'jaw'; it has balance"):
        starts_around(START_ROW, jaw=[0.1])


def test_a_volley_is_the_single_flights_to_the_last_bit():
    rates = np.linspace(-0.5, 0.5, 9)
    rows = starts_around(START_ROW, yaw_rate=rates)
    volley = shoot_volley(rows, BODY, FRONT, DISTANCES, MILL.brace_height)
    for i, rate in enumerate(rates):
        launch = replace(LAUNCH, yaw_rate=LAUNCH.yaw_rate + rate)
        flight = fly(ARROW, launch, CONDITIONS, DISTANCES, aim=AIM, brace_height=MILL.brace_height)
        np.testing.assert_array_equal(volley.right[i], flight.right)
        np.testing.assert_array_equal(volley.up[i], flight.up)
        np.testing.assert_array_equal(volley.time[i], flight.time)
        assert volley.speed[i] == pytest.approx(flight.speed, rel=1e-14)


def test_each_arrow_may_have_its_own_body_and_length():
    rows = starts_around(START_ROW, balance=[0.0, 0.01])
    bodies = [BODY[0], BODY[0]._replace(mass=BODY[0].mass * 1.1)]
    volley = shoot_volley(rows, bodies, [FRONT, FRONT - 0.01], DISTANCES, MILL.brace_height)
    assert (volley.speed[1] > volley.speed[0]).all()  # heavier: keeps more


def test_places_are_right_and_up():
    state = np.zeros(16)
    state[0:3], state[6:9] = [1.0, 2.0, 3.0], [0.8, math.sqrt(0.2), 0.4]
    assert places_across(state, 0.5) == pytest.approx([3.2, 2.0 + 0.5 * math.sqrt(0.2)])
