"""From launch angles and hold to the kernel's state."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vireton.kernel.door import release
from vireton.kernel.start import START

ANGLE = st.floats(-0.5, 0.5)


def start(**numbers: float) -> np.ndarray:
    known = {"speed": 80.0, "balance": 0.4, **numbers}
    return np.array([[known.get(name, 0.0) for name in START]])


def test_straight_ahead():
    (state,) = release(start(height=0.1, offset_right=0.002, offset_up=0.003, spin=7.0), 0.15)
    assert state[0:3] == pytest.approx([0.25, -0.097, 0.002])
    assert state[3:6] == pytest.approx([80.0, 0.0, 0.0])
    assert state[6:9] == pytest.approx([1.0, 0.0, 0.0])
    assert state[9:12] == pytest.approx([0.0, 0.0, 0.0])
    assert state[12] == 7.0
    assert state[13:16] == pytest.approx([0.0, 0.0, 1.0])


def test_signs():
    """Yaw nose right (+z), pitch nose up (+y), elevation up, windage right; rates likewise."""
    (state,) = release(start(yaw=0.01, pitch=0.02), 0.0)
    assert state[8] == pytest.approx(math.cos(0.02) * math.sin(0.01))
    assert state[7] == pytest.approx(math.sin(0.02))
    (state,) = release(start(elevation=0.03), 0.0)
    assert state[4] == pytest.approx(80.0 * math.sin(0.03))
    (state,) = release(start(windage=0.03), 0.0)
    assert state[5] == pytest.approx(80.0 * math.sin(0.03))
    (state,) = release(start(yaw_rate=0.5, pitch_rate=-0.25), 0.0)
    axis_rate = np.cross(state[9:12], state[6:9])
    assert axis_rate == pytest.approx([0.0, -0.25, 0.5])


def test_cant_turns_the_bow_about_the_line_of_sight():
    """The grip, below the line, swings left as the top goes right; an elevated path goes right."""
    (state,) = release(start(height=0.1, elevation=0.02, cant=0.3, balance=0.0), 0.0)
    assert state[1] == pytest.approx(-0.1 * math.cos(0.3))
    assert state[2] == pytest.approx(-0.1 * math.sin(0.3))
    up, right = 80.0 * math.sin(0.02) * math.cos(0.3), 80.0 * math.sin(0.02) * math.sin(0.3)
    assert state[4:6] == pytest.approx([up, right])


@given(*[ANGLE] * 7)
def test_vectors_stay_unit_and_square(yaw, pitch, right, up, elevation, windage, cant):
    (state,) = release(
        start(
            yaw=yaw,
            pitch=pitch,
            direction_right=right,
            direction_up=up,
            elevation=elevation,
            windage=windage,
            cant=cant,
            yaw_rate=1.0,
            pitch_rate=-2.0,
        ),
        0.15,
    )
    axis, reference = state[6:9], state[13:16]
    assert np.linalg.norm(axis) == pytest.approx(1.0, abs=1e-14)
    assert np.linalg.norm(reference) == pytest.approx(1.0, abs=1e-14)
    assert axis @ reference == pytest.approx(0.0, abs=1e-14)
    assert axis @ state[9:12] == pytest.approx(0.0, abs=1e-13)
    assert np.linalg.norm(state[3:6]) == pytest.approx(80.0)


@pytest.mark.parametrize("name", START)
def test_complex_starts_carry_the_derivative(name):
    base = start(yaw=0.02, pitch=-0.01, yaw_rate=0.3, pitch_rate=0.2, elevation=0.05, windage=-0.02)
    base[0, START.index("cant")], base[0, START.index("height")] = 0.1, 0.1
    tilted = base.astype(complex)
    tilted[0, START.index(name)] += 1e-30j
    exact = release(tilted, 0.15).imag[0] / 1e-30
    step = 1e-4 * max(1.0, abs(base[0, START.index(name)]))
    ends = []
    for sign in (1.0, -1.0):
        moved = base.copy()
        moved[0, START.index(name)] += sign * step
        ends.append(release(moved, 0.15)[0])
    assert exact == pytest.approx((ends[0] - ends[1]) / (2.0 * step), abs=2e-6)


def test_what_does_not_fit_is_refused():
    with pytest.raises(ValueError, match="15 numbers each"):
        release(np.zeros((2, 14)), 0.15)
    with pytest.raises(ValueError, match="no finite number"):
        release(start(yaw=math.nan), 0.15)
