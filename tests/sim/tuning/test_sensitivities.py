"""Derivatives of flights against closed forms and against differences of high order."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from demo import CONDITIONS, MILL, YARD, mill_rig
from vireton.flight.air import standard
from vireton.kernel.start import START
from vireton.tuning.sensitivities import (
    INPUTS,
    Released,
    by_difference,
    by_input,
    by_start,
    released,
    sensitivities,
)

RIG = mill_rig(rest=replace(MILL.rest, offset_right=0.001, offset_up=0.0005))
TARGETS = (20.0 * YARD, 40.0 * YARD, 60.0 * YARD)
PAPER = 2.0 * YARD
BRACE = MILL.brace_height
STARTS = [name for name in START if name not in ("balance", "height")]


def _all(shot: Released, tolerance: float = 1e-12) -> np.ndarray:
    """Points and tears (4, 2)."""
    flown = sensitivities(shot, [], TARGETS, [PAPER], brace_height=BRACE, tolerance=tolerance)
    return np.vstack([flown.points, flown.tears])


def _derivative(shot: Released, direction: Released, tolerance: float = 1e-8) -> np.ndarray:
    found = sensitivities(
        shot, [direction], TARGETS, [PAPER], brace_height=BRACE, tolerance=tolerance
    )
    return np.vstack([found.points_by[:, :, 0], found.tears_by[:, :, 0]])


def _sixth_order(values, step: float) -> np.ndarray:
    """Seven-point central difference (Abramowitz and Stegun 1964, table 25.2, from memory)."""
    weights = ((1, 45.0), (2, -9.0), (3, 1.0))
    return sum(w * (values(i * step) - values(-i * step)) for i, w in weights) / (60.0 * step)


@pytest.mark.parametrize("name", STARTS)
@pytest.mark.parametrize("kind", ["fletched", "bare"])
def test_by_start_agrees_with_differences_of_sixth_order(kind: str, name: str) -> None:
    """To a millionth for the bare shaft, to 2e-4 for the fletched one at the default tolerance.

    The fletched arrow's own flights at that tolerance are no better: its crossflow keeps coming
    near nothing, where the drag of a cylinder is steepest. At 1e-12 both agree to 3e-6.
    """
    shot = released(RIG, getattr(RIG, kind))
    place = START.index(name)

    def moved(change: float) -> np.ndarray:
        start = shot.start.copy()
        start[place] += change
        return _all(replace(shot, start=start))

    step = {"speed": 0.1, "yaw_rate": 0.002, "pitch_rate": 0.002, "spin": 0.5}.get(name, 5e-5)
    expected = _sixth_order(moved, step)
    size = np.abs(expected).max()
    assert _derivative(shot, by_start(name), 1e-12) == pytest.approx(expected, abs=3e-6 * size)
    limit = 1e-6 if kind == "bare" else 1e-3 if name in ("yaw", "pitch") else 2e-4
    assert _derivative(shot, by_start(name)) == pytest.approx(expected, abs=limit * size)


@pytest.mark.parametrize("name", INPUTS)
def test_by_input_agrees_with_differences_of_sixth_order(name: str) -> None:
    """Through launch model, packing and flight."""
    arrow = RIG.fletched
    make, step = INPUTS[name]
    # a wind from straight ahead has a kink of its own at no crossflow: stay close to it
    near = step * (0.01 if name.startswith("wind") else 1.0)
    expected = _sixth_order(lambda change: _all(make(RIG, arrow, change)), near)
    found = _derivative(released(RIG, arrow), by_input(RIG, arrow, name), 1e-12)
    assert found == pytest.approx(expected, abs=5e-6 * np.abs(expected).max())


def test_it_beats_plain_differences() -> None:
    """Of the same flights, with whatever step: the best of all is worse by a factor of ten."""
    shot = released(RIG, RIG.bare)
    place = START.index("yaw_rate")
    exact = _derivative(shot, by_start("yaw_rate"), 1e-13)

    def moved(change: float) -> np.ndarray:
        start = shot.start.copy()
        start[place] += change
        return _all(replace(shot, start=start), 1e-10)

    steps = np.logspace(-8, 0, 17)
    errors = [np.abs((moved(step) - moved(0.0)) / step - exact).max() for step in steps]
    mine = np.abs(_derivative(shot, by_start("yaw_rate"), 1e-10) - exact).max()
    assert 10.0 * mine < min(errors)


def test_in_nothing_it_is_geometry() -> None:
    """No air to speak of: a direction swings the path, a rate turns the arrow and no more."""
    nothing = replace(standard(0.0), density=1e-12, viscosity=1.8e-17)
    rig = mill_rig(conditions=replace(CONDITIONS, air=nothing))
    shot = released(rig, rig.fletched)
    place = _derivative(shot, by_start("windage"))
    point = np.array(TARGETS) / math.cos(rig.aim.elevation)
    # up and down gravity takes part, sideways it is the distance from the grip
    assert place[:3, 0] == pytest.approx(point, rel=1e-3)
    time = rig.shoot(rig.fletched, TARGETS).time
    assert _derivative(shot, by_start("yaw_rate"))[:3, 0] == pytest.approx(
        shot.front * time, rel=1e-3
    )


@given(st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
@settings(max_examples=10)
def test_mirror(yaw_rate: float, pitch_rate: float) -> None:
    """Mirrored sideways in all that turns, the sideways derivative is mirrored too."""
    shot = released(mill_rig(), RIG.bare)
    derivatives = []
    for sign in (1.0, -1.0):
        start = shot.start.copy()
        start[START.index("yaw_rate")] = sign * yaw_rate
        start[START.index("windage")] *= sign
        start[START.index("pitch_rate")] = pitch_rate
        derivatives.append(_derivative(replace(shot, start=start), by_start("pitch_rate")))
    right, left = derivatives
    size = np.abs(right).max()
    assert right[:, 1] == pytest.approx(left[:, 1], abs=1e-9 * size)
    assert right[:, 0] == pytest.approx(-left[:, 0], abs=1e-9 * size)


def test_by_difference_is_of_fourth_order() -> None:
    shot = released(RIG, RIG.bare)

    def bent(change: float) -> Released:
        return replace(
            shot,
            start=np.full(15, math.exp(change)),
            body=np.full(3, math.sin(change)),
            front=change,
        )

    errors = []
    for step in (0.2, 0.1):
        slope = by_difference(bent, step)
        assert slope.front == pytest.approx(1.0)
        assert slope.body == pytest.approx(np.ones(3), abs=1e-3)
        errors.append(abs(slope.start[0] - 1.0))
    assert math.log2(errors[0] / errors[1]) == pytest.approx(4.0, abs=0.05)


def test_values_come_along_and_several_directions_at_once() -> None:
    shot = released(RIG, RIG.fletched)
    together = sensitivities(
        shot, [by_start("yaw"), by_start("speed")], TARGETS, [PAPER], brace_height=BRACE
    )
    assert together.points_by.shape == (3, 2, 2)
    assert together.tears_by.shape == (1, 2, 2)
    np.testing.assert_array_equal(
        together.points_by[:, :, 1], _derivative(shot, by_start("speed"))[:3]
    )
    flight = RIG.shoot(RIG.fletched, TARGETS)
    assert together.points[:, 0] == pytest.approx(flight.right, abs=1e-5)
    assert together.tears[0] == pytest.approx(RIG.tear(RIG.fletched, PAPER), abs=1e-5)


def test_unknown_names_are_refused() -> None:
    with pytest.raises(ValueError, match="no 'color' to derive by"):
        by_start("color")
    with pytest.raises(ValueError, match="no 'balance' to derive by"):
        by_input(RIG, RIG.bare, "balance")
    soft = replace(RIG.bare, stiffness=None)
    with pytest.raises(ValueError, match="unknown spine"):
        by_input(RIG, soft, "shaft_stiffness")
