"""The draw-force curve, its readings, and the push that it gives in a shot."""

import numpy as np
import pytest
from scipy.integrate import trapezoid
from scipy.interpolate import PchipInterpolator

from demo import INCH, MILL, POUND
from vireton.bow.bow import DrawCurve
from vireton.launch.draw_force import (
    Draw,
    draw_of,
    highest_push,
    push_table,
    static_force,
    stopping,
    stored_energy,
)
from vireton.launch.stroke import push_at

STROKE = 0.527
PLAIN = Draw(267.0, 53.0, STROKE, DrawCurve(), 1.0)
#: Invented readings of a bow scale at every inch, N.
READ = tuple(
    (min(i * INCH, STROKE), one * POUND)
    for i, one in enumerate(
        [9, 19, 30, 42, 52, 57, 59, 60, 60, 60, 60, 60, 60, 59, 57, 54, 48, 38, 24, 14, 13], start=1
    )
)
MEASURED = PLAIN._replace(curve=DrawCurve(points=READ))
CURVES = (
    PLAIN,
    PLAIN._replace(curve=DrawCurve(0.15, 0.2, 0.1)),
    PLAIN._replace(curve=DrawCurve(0.5, 0.28, 0.3)),  # more than the stroke: the rise gives way
    MEASURED,
)
AT = np.linspace(0.0, STROKE, 20_001)


def test_the_usual_shape_at_its_corners():
    at = np.array([0.0, 0.125, 0.25, 0.5, 0.72, 0.86, 1.0]) * STROKE
    expected = 267.0 * np.array([0.0, np.sqrt(0.5), 1.0, 1.0, 1.0, 0.5, 0.0])
    expected[5:] = 53.0 + (267.0 - 53.0) * np.array([0.5, 0.0])
    assert static_force(at, PLAIN)[0] == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("one", CURVES)
def test_slope_and_area_are_those_of_the_force(one):
    force, slope = static_force(AT, one)
    assert np.gradient(force, AT)[1:-1] == pytest.approx(slope[1:-1], abs=2.0)
    assert trapezoid(force, AT) == pytest.approx(stored_energy(one), rel=1e-6)
    assert (force >= 0.0).all()


def test_a_valley_holds_the_holding_weight():
    force, _ = static_force(np.array([0.91, 1.0]) * STROKE, CURVES[1])
    assert force == pytest.approx([53.0, 53.0])


def test_readings_are_met_and_never_overshot():
    draw, force = np.array(READ).T
    assert static_force(draw, MEASURED)[0] == pytest.approx(force)
    between = static_force(AT, MEASURED)[0]
    assert between.max() == pytest.approx(force.max())
    reference = PchipInterpolator([0.0, *draw], [0.0, *force])(AT)
    assert between[AT > INCH] == pytest.approx(reference[AT > INCH], abs=POUND)


@pytest.mark.parametrize("one", CURVES)
@pytest.mark.parametrize("tension", [1.0, 2.0])
def test_the_table_is_the_push_and_stores_the_energy(one, tension):
    one = one._replace(brace_tension=tension)
    table = push_table(one)
    push, work = np.array([push_at(table, STROKE - draw, STROKE) for draw in AT[::50]]).T
    raised = static_force(AT, one)[0] * stopping(AT, one)[0]
    scale = stored_energy(one) / trapezoid(raised, AT)
    assert push == pytest.approx(scale * raised[::50], abs=0.3)
    assert work[0] == pytest.approx(stored_energy(one), rel=1e-9)
    assert work[-1] == 0.0
    assert np.gradient(-work, AT[::50])[2:-2] == pytest.approx(push[2:-2], rel=0.02, abs=1.0)


def test_tension_near_brace_is_raised_and_nowhere_else():
    factor, slope = stopping(AT, PLAIN._replace(brace_tension=1.8))
    assert factor[0] == pytest.approx(1.8)
    assert factor[AT >= 0.25 * STROKE] == pytest.approx(1.0)
    assert np.gradient(factor, AT)[1:-1] == pytest.approx(slope[1:-1], abs=1e-2)
    assert (stopping(AT, PLAIN)[0] == 1.0).all()


def test_the_highest_push_at_the_farthest_draw():
    most, draw = highest_push(PLAIN)
    assert most == pytest.approx(267.0)
    assert draw == pytest.approx(0.72 * STROKE, rel=2e-3)


def test_what_a_bow_gives_of_itself():
    own = draw_of(MILL)
    assert own.holding == pytest.approx(12 * POUND)
    assert own.stroke == MILL.power_stroke
