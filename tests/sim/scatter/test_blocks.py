"""One block: what the draws do to a shot, and who may shoot it."""

import math
from dataclasses import replace

import numpy as np
import pytest

from demo import CONDITIONS, INCH, MAPLE, MILL, SIGHT, YARD, mill_rig
from vireton.flight.flight import Wind
from vireton.rig import assemble_rig
from vireton.scatter.blocks import Block, run_here, shoot_block, shots
from vireton.scatter.case import make_case
from vireton.scatter.sources import SOURCES, Scatter
from vireton.units.problems import InputProblem

WHERE = [20 * YARD, 60 * YARD]


def draws(**values):
    """One shot, in SDs."""
    return np.array([[values.get(name, 0.0) for name in SOURCES]])


def case(**spread):
    return make_case(mill_rig(), Scatter(**spread), WHERE, 8 * INCH, seed=1)


def test_a_shot_without_deviation_lands_where_no_scatter_does():
    some = case(aim_right=1e-3, gust_across=1.0, speed=0.3, mass=1e-4, spine=1e-4)
    assert shots(some, draws())[:, 0] == pytest.approx(some.landing, abs=1e-8)


def test_windage_turns_the_whole_flight_about_the_grip():
    some = case(aim_right=2e-3)
    there = shots(some, draws(aim_right=1.5))[:, 0] - some.landing
    assert there[0, :, 0] == pytest.approx(np.tan(3e-3) * np.array(WHERE), rel=1e-5)


def test_a_gust_is_a_wind_of_its_own():
    some = case(gust_across=1.0, gust_along=2.0)
    there = shots(some, draws(gust_across=3.0, gust_along=-1.0))[0, 0]
    windy = replace(CONDITIONS, wind=Wind(-2.0, 3.0))
    rig = assemble_rig(MILL, MAPLE, windy, SIGHT)
    flight = rig.shoot(rig.fletched, WHERE)
    assert there[:, 0] == pytest.approx(flight.right, abs=1e-9)
    assert there[:, 1] == pytest.approx(flight.up, abs=1e-9)


def test_launch_deviations_come_on_top_of_the_launch():
    some = case(yaw=math.radians(0.2), pitch_rate=0.3, speed=1.0)
    there = shots(some, draws(yaw=1.0, pitch_rate=-2.0, speed=1.0))[1, 0]
    rig = mill_rig()
    launch = rig.launch(rig.bare)
    from vireton.flight.flight import fly

    flight = fly(
        rig.bare,
        replace(
            launch,
            yaw=launch.yaw + math.radians(0.2),
            pitch_rate=launch.pitch_rate - 0.6,
            speed=launch.speed + 1.0,
        ),
        rig.conditions,
        WHERE,
        aim=rig.aim,
        brace_height=rig.bow.brace_height,
    )
    assert there == pytest.approx(np.column_stack([flight.right, flight.up]), abs=1e-7)


def test_no_sideways_deviation_means_no_sideways_scatter():
    # straight vanes: nothing turns up into sideways
    straight = replace(MAPLE, vanes=replace(MAPLE.vanes, offset=0.0))
    rig = assemble_rig(MILL, straight, CONDITIONS, SIGHT)
    spread = Scatter(aim_up=1e-3, pitch_rate=0.3, pitch=2e-3, speed=0.3, gust_along=1.0, mass=1e-4)
    record = shoot_block(make_case(rig, spread, WHERE, 8 * INCH, seed=1), Block(0, 0, 0, 64))
    assert abs(record.deviation[..., 0]).max() < 1e-12
    assert (record.products[..., 1, 1] > 0.0).all()


def test_mirrored_deviations_land_mirrored():
    straight = replace(MAPLE, vanes=replace(MAPLE.vanes, offset=0.0))
    rig = assemble_rig(MILL, straight, CONDITIONS, SIGHT)
    spread = Scatter(aim_right=1e-3, yaw_rate=0.3, yaw=2e-3, gust_across=1.0, pitch_rate=0.2)
    some = make_case(rig, spread, WHERE, 8 * INCH, seed=1)
    one = shots(some, draws(aim_right=1, yaw_rate=0.5, yaw=-2, gust_across=1.2, pitch_rate=1))
    other = shots(some, draws(aim_right=-1, yaw_rate=-0.5, yaw=2, gust_across=-1.2, pitch_rate=1))
    assert other[..., 0] == pytest.approx(-one[..., 0], abs=1e-9)
    assert other[..., 1] == pytest.approx(one[..., 1], abs=1e-9)


def same(one, other):
    return all(np.array_equal(value, getattr(other, name)) for name, value in vars(one).items())


def test_a_block_is_the_same_to_the_last_bit_on_any_number_of_threads_and_in_any_order():
    some = [case(aim_up=1e-3, yaw_rate=0.1, mass=1e-4), case(aim_up=1e-3)]
    blocks = [Block(i, r, first, 32) for i in (0, 1) for r in (0, 1) for first in (0, 32)]
    alone = list(run_here(some, blocks, threads=1))
    for threads in (2, 5):
        assert all(map(same, alone, run_here(some, blocks, threads)))
    backwards = list(run_here(some, blocks[::-1], threads=2))[::-1]
    assert all(map(same, alone, backwards))


def test_other_sources_may_not_shoot_it():
    foreign = replace(case(), program="another version")
    with pytest.raises(InputProblem, match="another version of Vireton"):
        shoot_block(foreign, Block(0, 0, 0, 16))
    with pytest.raises(InputProblem):
        list(run_here([foreign], [Block(0, 0, 0, 16)]))
