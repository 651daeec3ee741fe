"""The figures of one arrow: closed forms, symmetry, and the way they go."""

import math
from dataclasses import replace

import numpy as np
import pytest

from demo import AIR, CONDITIONS, MAPLE, MILL, YARD
from vireton.bow.bow import Sight
from vireton.flight.flight import Conditions, fly
from vireton.rig import assemble_rig
from vireton.studies.arrow_figures import CROSSWIND, YAW_RATE, arrow_figures

TARGETS = np.array([20.0, 40.0, 60.0, 100.0]) * YARD
NO_SIGHT = Sight(None, 0.0)


def figures(conditions=CONDITIONS, bow=MILL, **vanes):
    parts = replace(MAPLE, vanes=replace(MAPLE.vanes, **vanes)) if vanes else MAPLE
    return arrow_figures(assemble_rig(bow, parts, conditions, NO_SIGHT), TARGETS)


def test_drift_follows_the_lag_rule():
    """drift = W·(t − x/v₀), the time lost to drag (Didion's rule; McCoy 1999, ch. 7).

    It is for a point that flies straight into the relative wind. The arrow swings into it from an
    angle W/v₀, which puts its lift, some 8 m/s² for 1/30 s, on it to and fro: 1 cm.
    """
    rig = assemble_rig(MILL, MAPLE, CONDITIONS, NO_SIGHT)
    flight = rig.shoot(rig.fletched, TARGETS)
    run = TARGETS + MILL.brace_height - rig.fletched.total_length
    lag = flight.time - run / rig.launch(rig.fletched).speed
    assert figures()["drift"] == pytest.approx(CROSSWIND * lag, rel=0.03, abs=0.010)


def test_the_yaw_rate_shift_is_the_aerodynamic_jump():
    """slope = (I/m)·(lift ÷ moment)·ω/v (McCoy 1999, ch. 12), once the swing has died."""
    one = figures()
    rig = assemble_rig(MILL, MAPLE, CONDITIONS, NO_SIGHT)
    arrow = rig.fletched
    # moment = (lift + drag)·margin; the drag is a few per cent of the lift
    area = 2.0 * math.pi / one["yaw_wavelength"]
    moment = area**2 * arrow.transverse_inertia / (0.5 * AIR.density)
    lift = moment / one["static_margin"] - one["drag_area"]
    jump = arrow.transverse_inertia / arrow.mass * lift / moment * YAW_RATE / one["launch_speed"]
    slope = (one["yaw_rate_shift"][3] - one["yaw_rate_shift"][1]) / (TARGETS[3] - TARGETS[1])
    assert slope == pytest.approx(jump, rel=0.05)


def test_drag_coefficient_is_the_area_on_the_shafts_section():
    one = figures(Conditions(AIR, drag_coefficient=2.0))
    section = math.pi / 4.0 * MAPLE.shaft.outside_diameter**2
    assert one["drag_coefficient"] == pytest.approx(one["drag_area"] / section, rel=1e-12)
    # the measured one, and what offset vanes brake until they spin
    assert one["spinning_drag_coefficient"] == pytest.approx(2.0, abs=0.02)
    assert one["drag_coefficient"] > one["spinning_drag_coefficient"]


def test_more_drag_leaves_less_speed_and_more_drop_and_drift():
    little, much = (figures(Conditions(AIR, drag_coefficient=cd)) for cd in (1.5, 2.5))
    assert (much["speed"] < little["speed"]).all()
    assert (much["kinetic_energy"] < little["kinetic_energy"]).all()
    assert (much["drop"] > little["drop"]).all()
    assert (much["drift"] > little["drift"]).all()
    # drag alone: v = v₀·exp(−ρ·S·CD·x/2m), while the drop's slope is small
    rate = 0.5 * AIR.density * math.pi / 4 * MAPLE.shaft.outside_diameter**2 / little["mass"]
    assert much["speed"][1] / little["speed"][1] == pytest.approx(
        math.exp(-rate * (TARGETS[1] - 0.6)), rel=2e-3
    )


def test_energy_is_half_m_v_squared():
    one = figures()
    assert one["kinetic_energy"] == pytest.approx(0.5 * one["mass"] * one["speed"] ** 2, rel=1e-12)


def test_left_and_right_vanes_give_the_same_figures():
    right, left = figures(), figures(turn="left")
    for name, values in right.items():
        # what is read sideways leans a little with the spin: wind and yaw rate are not mirrored
        sideways = name in {"drift", "yaw_rate_shift", "bare_separation_20yd"}
        limit = 2e-4 if sideways else 1e-5
        assert left[name] == pytest.approx(values, rel=1e-6, abs=limit), name


def test_a_straight_arrow_goes_nowhere_sideways_and_never_spins():
    one = figures(offset=0.0)
    assert one["steady_spin"] == pytest.approx(0.0, abs=1e-9)
    assert math.isnan(one["spin_up_distance"])
    assert one["drag_coefficient"] == pytest.approx(one["spinning_drag_coefficient"], rel=1e-9)


def test_more_vane_steers_and_settles_sooner():
    three, four, tall = figures(), figures(count=4), figures(height=0.7 * 0.0254)
    for more in (four, tall):
        assert more["yaw_wavelength"] < three["yaw_wavelength"]
        assert more["settling_distance"] < three["settling_distance"]
        assert more["drag_coefficient"] > three["drag_coefficient"]


def test_without_vanes_there_is_nothing_to_separate():
    one = arrow_figures(
        assemble_rig(MILL, replace(MAPLE, vanes=None), CONDITIONS, NO_SIGHT), TARGETS
    )
    for value in (
        one["bare_separation_20yd"],
        one["spin_up_distance"],
        one["yaw_wavelength"],
        one["settling_distance"],
    ):
        assert math.isnan(value)
    assert one["steady_spin"] == 0.0


def test_a_crooked_launch_sends_the_bare_shaft_farther_that_way():
    rig = assemble_rig(MILL, MAPLE, CONDITIONS, NO_SIGHT)

    def right(arrow, rate):
        launch = replace(rig.launch(arrow), yaw_rate=rate)
        flown = fly(arrow, launch, CONDITIONS, [20.0 * YARD], brace_height=MILL.brace_height)
        return flown.right[0]

    apart = [right(rig.bare, rate) - right(rig.fletched, rate) for rate in (0.0, YAW_RATE)]
    # one-sided here, and the bare shaft's answer is not quite in proportion
    assert figures()["bare_separation_20yd"] == pytest.approx(apart[1] - apart[0], rel=0.02)
    assert figures()["bare_separation_20yd"] > 0.0


def test_a_distance_out_of_reach_is_nan():
    rig = assemble_rig(MILL, MAPLE, CONDITIONS, NO_SIGHT)
    far = arrow_figures(rig, np.array([1900.0]))
    assert np.isnan(far["speed"]).all()
