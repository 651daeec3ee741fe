"""Steps, planes and statuses."""

import math
import time

import numba
import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodies import BARE, FLETCHED, VACUUM, YARD, launch_state
from vireton.kernel.door import fly_to_planes
from vireton.kernel.integrator import (
    BEHIND,
    MESSAGES,
    NOT_FINITE,
    NOT_REACHED,
    REACHED,
    TOO_MANY_STEPS,
)
from vireton.kernel.parameters import Parameters

FloatArray = npt.NDArray[np.float64]


@pytest.mark.parametrize("tolerance", [1e-3, 1e-6, 1e-9])
def test_vacuum_parabola(tolerance: float) -> None:
    """Galileo's parabola to 1e-9 m whatever the tolerance: a polynomial has no error."""
    speed, up, right = 70.0, 0.3, -0.05
    start = launch_state(speed, up_angle=up, right_angle=right)
    planes = np.array([0.5, 18.0, 90.0, 250.0])
    result = fly_to_planes(start, VACUUM, planes, 0.0, tolerance=tolerance)
    times = planes / (speed * np.cos(up) * np.cos(right))
    np.testing.assert_allclose(result.times, times, rtol=1e-13)
    height = speed * np.sin(up) * times - 0.5 * 9.80665 * times**2
    expected = np.column_stack([planes, height, planes * np.tan(right)])
    np.testing.assert_allclose(result.states[:, 0:3], expected, atol=1e-9)
    velocity = np.tile(start[3:6], (4, 1))
    velocity[:, 1] -= 9.80665 * times
    np.testing.assert_allclose(result.states[:, 3:6], velocity, atol=1e-9)


# Flat fire of a point mass: d 5 mm, 20 g, 57 m/s, ρ 1.225, 70 m; CD: speed without gravity m/s,
# then time s and drop m with it, and drift m in a 5 m/s crosswind, and by the lag rule. Derived
# values of our list of references (closed form: McCoy, Modern Exterior Ballistics, ch. 5).
FLAT_FIRE = {
    1.5: (53.51, 1.2678, 7.717, 0.1996, 0.1980),
    2.6: (51.09, 1.2981, 7.967, 0.3515, 0.3486),
}


def _pellet(drag: float, **more: float) -> Parameters:
    area = np.pi * 0.005**2 / 4.0
    return VACUUM._replace(
        mass=0.02, constant_area=area, constant_length=0.005, constant_drag=drag, **more
    )


@pytest.mark.parametrize("drag", FLAT_FIRE)
def test_flat_fire_table(drag: float) -> None:
    speed, duration, drop, drift, lag = FLAT_FIRE[drag]
    start = launch_state(57.0)
    level = fly_to_planes(start, _pellet(drag, gravity_up=0.0), [70.0], 0.0)
    assert level.states[0, 3] == pytest.approx(speed, abs=0.005)
    fallen = fly_to_planes(start, _pellet(drag), [70.0], 0.0)
    assert fallen.times[0] == pytest.approx(duration, abs=5e-5)
    assert -fallen.states[0, 1] == pytest.approx(drop, abs=5e-4)
    assert fallen.states[0, 2] == 0.0
    windy = fly_to_planes(start, _pellet(drag, wind_right=5.0), [70.0], 0.0)
    assert windy.states[0, 2] == pytest.approx(drift, abs=5e-5)
    assert 5.0 * (level.times[0] - 70.0 / 57.0) == pytest.approx(lag, abs=5e-5)


@pytest.mark.parametrize("drag", FLAT_FIRE)
def test_flat_fire_closed_form_without_gravity(drag: float) -> None:
    """v = V e^(−kx), t = (e^(kx) − 1)/(kV), k = ρ S CD/2m: exact where nothing falls."""
    p = _pellet(drag, gravity_up=0.0)
    k = p.density * p.constant_area * drag / (2 * p.mass)
    planes = np.array([10.0, 70.0, 300.0])
    result = fly_to_planes(launch_state(57.0), p, planes, 0.0, tolerance=1e-9)
    np.testing.assert_allclose(result.states[:, 3], 57.0 * np.exp(-k * planes), rtol=1e-9)
    np.testing.assert_allclose(result.times, np.expm1(k * planes) / (k * 57.0), rtol=1e-9)


@pytest.mark.parametrize("body", [FLETCHED, BARE], ids=["fletched", "bare"])
def test_error_follows_the_tolerance(body: Parameters) -> None:
    """By regression: error ∝ tolerance^1 within a quarter, and never far above the tolerance."""
    start = launch_state(yaw=0.02, pitch=-0.01, yaw_rate=1.0, pitch_rate=-0.6, up_angle=0.01)
    p = body._replace(wind_right=3.0)

    def point(tolerance: float) -> FloatArray:
        state = fly_to_planes(start, p, [100 * YARD], p.point_position, tolerance=tolerance).states[
            0
        ]
        return np.asarray(state[0:3] + p.point_position * state[6:9])

    best = point(1e-12)
    tolerances = np.logspace(-4, -10, 13)
    errors = np.array([np.linalg.norm(point(t) - best) for t in tolerances])
    order = np.polyfit(np.log(tolerances), np.log(errors), 1)[0]
    assert 0.75 < order < 1.25
    # finer than any use of it, the error (0.05 µm) is that of the forces' small kinks
    used = tolerances > 9e-9
    assert np.all(errors[used] < 20.0 * tolerances[used])
    assert np.all(errors[~used] < 1e-7)


@settings(max_examples=50)
@given(
    planes=st.lists(st.floats(0.01, 60.0), min_size=1, max_size=6, unique=True),
    station=st.floats(-0.4465, 0.2977),
)
def test_planes_in_any_order_are_crossed_exactly(planes: list[float], station: float) -> None:
    """Each output lies on its plane to 1e-11 m, and does not depend on the other planes."""
    start = launch_state(yaw=0.05, yaw_rate=2.0)
    start[0] = -0.3  # so that no station begins beyond a plane
    result = fly_to_planes(start, FLETCHED, planes, station)
    assert result.status == REACHED
    at = result.states[:, 0] + station * result.states[:, 6]
    np.testing.assert_allclose(at, planes, atol=1e-11)
    # two planes may lie closer together than the crossing is found (1e-12 m)
    assert np.all(np.diff(result.times[np.argsort(planes)]) > -1e-12)
    alone = fly_to_planes(start, FLETCHED, planes[:1], station)
    # later planes add steps after this one, never before it
    np.testing.assert_array_equal(alone.states[0], result.states[0])
    assert alone.times[0] == result.times[0]


def test_dense_output_is_as_good_as_a_step() -> None:
    """Planes far closer than the steps: all lie on the fine flight within the tolerance."""
    start = launch_state(yaw=0.02, yaw_rate=1.0, up_angle=0.01)
    planes = np.linspace(0.05, 80.0, 900)
    coarse = fly_to_planes(start, FLETCHED, planes, 0.0, tolerance=1e-6)
    fine = fly_to_planes(start, FLETCHED, planes, 0.0, tolerance=1e-11)
    assert coarse.steps < 60
    np.testing.assert_allclose(coarse.states[:, 0:3], fine.states[:, 0:3], atol=1e-5)
    np.testing.assert_allclose(coarse.states[:, 6:9], fine.states[:, 6:9], atol=1e-5)


def test_axis_stays_a_unit_vector_and_the_rate_stays_across_it() -> None:
    """Nothing is renormalized, so their drift is a measure of the error."""
    start = launch_state(yaw=0.1, pitch=-0.05, yaw_rate=5.0, spin=50.0)
    result = fly_to_planes(start, FLETCHED, np.linspace(1.0, 90.0, 20), 0.0)
    axis, rate = result.states[:, 6:9], result.states[:, 9:12]
    np.testing.assert_allclose(np.linalg.norm(axis, axis=1), 1.0, atol=2e-6)
    np.testing.assert_allclose(np.sum(axis * rate, axis=1), 0.0, atol=1e-4)


def test_evaluations_are_counted_and_few() -> None:
    """About 30 steps to 100 yd, of 12 evaluations each, 3 more in a step with a plane in it."""
    start = launch_state(yaw=0.02, pitch=-0.01, yaw_rate=1.0, pitch_rate=-0.6)
    result = fly_to_planes(start, FLETCHED, [20.0, 100 * YARD], 0.0)
    assert result.steps < 45
    accepted = result.evaluations - 1 - 2 * 3 - 11 * result.steps
    assert 0.5 * result.steps < accepted <= result.steps


def test_every_status_has_a_message() -> None:
    assert set(MESSAGES) == {REACHED, NOT_REACHED, TOO_MANY_STEPS, NOT_FINITE, BEHIND}
    assert all(len(text) > 15 for text in MESSAGES.values())


# --- what goes wrong: a finite answer or a status, never a hang ------------------------------

#: s; plain Python, in which lines are counted, takes what it takes.
LONGEST = math.inf if numba.config.DISABLE_JIT else 2.0

ENDINGS = {
    "dropped: it falls past the floor": (launch_state(0.0), FLETCHED, NOT_REACHED),
    "at rest without gravity": (launch_state(0.0), FLETCHED._replace(gravity_up=0.0), NOT_REACHED),
    "at rest in a vacuum": (launch_state(0.0), VACUUM._replace(gravity_up=0.0), NOT_REACHED),
    "shot backwards": (launch_state(-40.0), FLETCHED, NOT_REACHED),
    "feather-light": (launch_state(), FLETCHED._replace(mass=1e-6), NOT_REACHED),
    "too light to follow": (launch_state(), FLETCHED._replace(mass=1e-9), TOO_MANY_STEPS),
    "no inertia to speak of": (
        launch_state(),
        FLETCHED._replace(inertia_across=1e-12, inertia_across_other=1e-12),
        TOO_MANY_STEPS,
    ),
    "no mass": (launch_state(), FLETCHED._replace(mass=0.0), NOT_FINITE),
    "no inertia": (
        launch_state(),
        FLETCHED._replace(inertia_across=0.0, inertia_across_other=0.0),
        NOT_FINITE,
    ),
    "tumbling at 1e4 rad/s": (launch_state(yaw_rate=1e4), FLETCHED, NOT_REACHED),
}


@pytest.mark.parametrize("ending", ENDINGS)
def test_endings(warm_kernel: None, ending: str) -> None:
    start, p, status = ENDINGS[ending]
    began = time.perf_counter()
    result = fly_to_planes(start, p, [70.0], 0.0)
    assert time.perf_counter() - began < LONGEST
    assert result.status == status
    assert np.all(np.isnan(result.states))


HARD_FLIGHTS = {
    "tail first": launch_state(60.0, yaw=np.pi),
    "tail first, a little off": launch_state(60.0, yaw=np.pi - 0.002),
    "broadside": launch_state(60.0, yaw=np.pi / 2),
    "nose straight up": launch_state(60.0, pitch=np.pi / 2),
    "spun at 1e6 rad/s": launch_state(spin=1e6),
}


@pytest.mark.parametrize("body", [FLETCHED, BARE], ids=["fletched", "bare"])
@pytest.mark.parametrize("flight", HARD_FLIGHTS)
def test_hard_flights_end_with_finite_numbers(
    warm_kernel: None, flight: str, body: Parameters
) -> None:
    began = time.perf_counter()
    result = fly_to_planes(HARD_FLIGHTS[flight], body, [20.0], 0.0)
    assert time.perf_counter() - began < LONGEST
    assert result.status == REACHED
    assert np.all(np.isfinite(result.states))
    if flight == "spun at 1e6 rad/s":
        return  # its vanes are a propeller
    speed = np.linalg.norm(result.states[0, 3:6])
    assert speed < np.hypot(60.0, 9.80665 * result.times[0])
    if body is FLETCHED:
        far = fly_to_planes(HARD_FLIGHTS[flight], body, [45.0], 0.0).states[0]
        assert np.dot(far[6:9], far[3:6]) > 0.9 * np.linalg.norm(far[3:6])  # vanes win in the end


def _flagged(start: FloatArray, p: Parameters, planes: list[float], station: float) -> bool:
    """Refused with a ValueError, or flown with a status that does not claim success."""
    try:
        return fly_to_planes(start, p, planes, station).status != REACHED
    except ValueError:
        return True


def test_a_state_that_is_no_number_is_flagged() -> None:
    for value in [np.nan, np.inf, -np.inf]:
        for index in range(13):
            start = launch_state()
            start[index] = value
            assert _flagged(start, FLETCHED, [20.0], 0.0)


def test_a_parameter_that_is_no_number_never_gives_false_numbers() -> None:
    """Flagged, or the field plays no part in this flight and the answer is the usual one."""
    for name in Parameters._fields:
        start = launch_state(yaw=0.02, yaw_rate=1.0)
        usual = fly_to_planes(start, FLETCHED, [20.0], 0.0).states
        spoilt = FLETCHED._replace(**{name: np.nan})
        assert _flagged(start, spoilt, [20.0], 0.0) or np.array_equal(
            fly_to_planes(start, spoilt, [20.0], 0.0).states, usual
        )


@pytest.mark.parametrize(
    "name", ["density", "wind_right", "gravity_up", "inertia_axial", "kinematic_viscosity"]
)
def test_an_infinite_parameter_is_flagged(name: str) -> None:
    assert _flagged(launch_state(), FLETCHED._replace(**{name: np.inf}), [20.0], 0.0)


@pytest.mark.parametrize("plane", [np.nan, np.inf, -np.inf, -1.0])
def test_a_plane_that_cannot_be_crossed_is_flagged(plane: float) -> None:
    """A plane behind the start is never crossed, so the status may not say that all were."""
    assert _flagged(launch_state(), FLETCHED, [plane, 20.0], 0.0)


def test_a_station_that_is_no_number_is_flagged() -> None:
    assert _flagged(launch_state(), FLETCHED, [20.0], np.nan)


def test_a_plane_at_the_very_start_is_read_there() -> None:
    result = fly_to_planes(launch_state(yaw=0.01), FLETCHED, [0.0], 0.0)
    assert result.status == REACHED
    assert result.times[0] == pytest.approx(0.0, abs=1e-12)
    np.testing.assert_allclose(result.states[0, :13], launch_state(yaw=0.01)[:13], atol=1e-12)
