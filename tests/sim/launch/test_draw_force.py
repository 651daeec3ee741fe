"""The draw-force curve and its exact integral."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from vireton.launch.draw_force import (
    FALL_SHARE,
    RISE_SHARE,
    force,
    force_per_draw,
    stored_energy,
)

PEAK, HOLDING, STROKE = 270.0, 54.0, 0.53


def test_ends_and_plateau():
    assert force(0.0, PEAK, HOLDING, STROKE) == 0.0
    assert force(STROKE, PEAK, HOLDING, STROKE) == pytest.approx(HOLDING, rel=1e-12)
    assert force(0.5 * STROKE, PEAK, HOLDING, STROKE) == PEAK


@given(st.floats(0.0, 1.0), st.floats(0.05, 1.0))
def test_energy_is_the_integral_of_the_force(share, hold):
    draw = share * STROKE
    joints = [RISE_SHARE * STROKE, (1 - FALL_SHARE) * STROKE]
    expected, _ = quad(
        lambda x: force(x, PEAK, hold * PEAK, STROKE),
        0.0,
        draw,
        points=[joint for joint in joints if joint < draw] or None,
        epsabs=1e-11,
    )
    assert stored_energy(draw, PEAK, hold * PEAK, STROKE) == pytest.approx(expected, abs=1e-8)


@given(st.floats(1e-3, 1.0))
def test_force_per_draw(share):
    draw = share * STROKE
    assert force_per_draw(draw, PEAK, HOLDING, STROKE) == pytest.approx(
        force(draw, PEAK, HOLDING, STROKE) / draw, rel=1e-12
    )


def test_force_per_draw_stays_finite_at_the_straight_string():
    # the limit is the slope of the quarter sine: π/2 · peak / rise
    slope = 0.5 * 3.141592653589793 * PEAK / (RISE_SHARE * STROKE)
    assert force_per_draw(0.0, PEAK, HOLDING, STROKE) == pytest.approx(slope, rel=1e-6)
