"""Symmetries and balances that every flight keeps, whatever the arrow."""

import numpy as np
import numpy.typing as npt
from hypothesis import given, settings
from hypothesis import strategies as st

from bodies import BARE, FLETCHED, VACUUM, launch_state
from vireton.kernel.door import fly_to_planes, rates
from vireton.kernel.parameters import Parameters

FloatArray = npt.NDArray[np.float64]

BODIES = st.sampled_from([FLETCHED, BARE])
SMALL = st.floats(-0.1, 0.1)
TURNING = st.floats(-4.0, 4.0)
LAUNCHES = st.fixed_dictionaries(
    {
        "speed": st.floats(40.0, 110.0),
        "up_angle": SMALL,
        "right_angle": SMALL,
        "yaw": SMALL,
        "pitch": SMALL,
        "yaw_rate": TURNING,
        "pitch_rate": TURNING,
        "spin": st.floats(-200.0, 200.0),
    }
)
WINDS = st.tuples(st.floats(-8.0, 8.0), st.floats(-8.0, 8.0))
FINE = 1e-9


def _flown(start: FloatArray, p: Parameters, plane: float) -> tuple[float, FloatArray]:
    result = fly_to_planes(start, p, [plane], 0.0, tolerance=FINE)
    assert result.status == 0
    return float(result.times[0]), np.asarray(result.states[0, :13])


def _close(a: FloatArray, b: FloatArray) -> None:
    """Position to 0.1 µm, the rest to match."""
    np.testing.assert_allclose(a[0:3], b[0:3], atol=1e-7)
    np.testing.assert_allclose(a[3:6], b[3:6], atol=1e-6)
    np.testing.assert_allclose(a[6:9], b[6:9], atol=1e-6)
    np.testing.assert_allclose(a[9:12], b[9:12], atol=1e-5)
    np.testing.assert_allclose(a[12], b[12], atol=1e-3)


@settings(max_examples=30)
@given(body=BODIES, launch=LAUNCHES, wind=WINDS)
def test_uniform_wind_is_a_moving_frame(
    body: Parameters, launch: dict[str, float], wind: tuple[float, float]
) -> None:
    """Galileo: a flight in a uniform wind is a flight in still air, seen from the ground."""
    blown = np.array([wind[0], 0.0, wind[1]])
    start = launch_state(**launch)
    time, on_ground = _flown(start, body._replace(wind_x=wind[0], wind_right=wind[1]), 50.0)
    moving = start.copy()
    moving[3:6] -= blown
    same_time, in_air = _flown(moving, body, 50.0 - wind[0] * time)
    assert abs(time - same_time) < 1e-8
    in_air[0:3] += blown * time
    in_air[3:6] += blown
    _close(on_ground, in_air)


def _mirrored(state: FloatArray) -> FloatArray:
    """Seen in a mirror that swaps left and right: rates are axial vectors, spin turns over."""
    out = state.copy()
    for right in (2, 5, 8):
        out[right] *= -1.0
    out[9:11] *= -1.0
    out[12] *= -1.0
    return out


@settings(max_examples=30)
@given(body=BODIES, launch=LAUNCHES, wind=WINDS)
def test_mirror_symmetry(
    body: Parameters, launch: dict[str, float], wind: tuple[float, float]
) -> None:
    """Left-handed everything flies the mirrored path: spin, offset, wind, sideways gravity."""
    p = body._replace(wind_x=wind[0], wind_right=wind[1], gravity_right=0.4)
    other = p._replace(
        wind_right=-wind[1], gravity_right=-0.4, vane_offset_sine=-body.vane_offset_sine
    )
    start = launch_state(**launch)
    time, right = _flown(start, p, 50.0)
    same_time, left = _flown(_mirrored(start), other, 50.0)
    assert abs(time - same_time) < 1e-8
    _close(_mirrored(left), right)


@settings(max_examples=30)
@given(body=BODIES, launch=LAUNCHES, angle=st.floats(-np.pi, np.pi))
def test_roll_invariance(body: Parameters, launch: dict[str, float], angle: float) -> None:
    """Everything turned about the downrange axis, gravity with it, flies the turned path."""
    c, s = np.cos(angle), np.sin(angle)
    turn = np.array([[1.0, 0.0, 0.0], [0.0, c, -s], [0.0, s, c]])
    start = launch_state(**launch)
    turned = start.copy()
    for first in (0, 3, 6, 9, 13):
        turned[first : first + 3] = turn @ start[first : first + 3]
    down = turn @ np.array([0.0, body.gravity_up, 0.0])
    time, plain = _flown(start, body, 50.0)
    same_time, found = _flown(
        turned, body._replace(gravity_up=float(down[1]), gravity_right=float(down[2])), 50.0
    )
    assert abs(time - same_time) < 1e-8
    for first in (0, 3, 6, 9):
        plain[first : first + 3] = turn @ plain[first : first + 3]
    _close(found, plain)


@settings(max_examples=30)
@given(body=BODIES, launch=LAUNCHES, shift=st.tuples(*[st.floats(-500.0, 500.0)] * 3))
def test_the_origin_does_not_matter(
    body: Parameters, launch: dict[str, float], shift: tuple[float, float, float]
) -> None:
    start = launch_state(**launch)
    moved = start.copy()
    moved[0:3] += shift
    time, plain = _flown(start, body, 50.0)
    same_time, found = _flown(moved, body, 50.0 + shift[0])
    assert abs(time - same_time) < 1e-8
    found[0:3] -= shift
    _close(found, plain)


@settings(max_examples=30)
@given(launch=LAUNCHES, wind=WINDS, cut=st.floats(5.0, 45.0))
def test_a_flight_may_be_taken_up_where_it_was_left(
    launch: dict[str, float], wind: tuple[float, float], cut: float
) -> None:
    """The state is all there is: flown in two legs or in one."""
    p = FLETCHED._replace(wind_x=wind[0], wind_right=wind[1])
    start = launch_state(**launch)
    time, whole = _flown(start, p, 50.0)
    middle = fly_to_planes(start, p, [cut], 0.0, tolerance=FINE)
    rest_time, end = _flown(middle.states[0], p, 50.0)
    assert abs(middle.times[0] + rest_time - time) < 1e-8
    _close(end, whole)


@settings(max_examples=40)
@given(launch=LAUNCHES)
def test_energy_in_a_vacuum(launch: dict[str, float]) -> None:
    """½mv² + mgh, and the energy of rotation apart from it, along the whole flight."""
    start = launch_state(**launch)
    flown = fly_to_planes(start, VACUUM, [10.0, 40.0, 90.0], 0.0, tolerance=FINE).states
    for state in flown:
        begun = 0.5 * start[3:6] @ start[3:6] + 9.80665 * start[1]
        ended = 0.5 * state[3:6] @ state[3:6] + 9.80665 * state[1]
        assert abs(begun - ended) < 1e-9 * begun
        rotation = [
            1e-6 * s[12] ** 2 + 1e-3 * s[9:12] @ s[9:12] for s in (np.asarray(start), state)
        ]
        assert abs(rotation[0] - rotation[1]) < 1e-8 + 1e-8 * rotation[0]


WILD = st.fixed_dictionaries(
    {
        "speed": st.floats(0.0, 150.0),
        "yaw": st.floats(-np.pi, np.pi),
        "pitch": st.floats(-1.5, 1.5),
    }
)


def _power(start: FloatArray, p: Parameters) -> tuple[float, float]:
    """Power of the air's force on the flight, and of its moment on the rotation, W."""
    still = p._replace(gravity_x=0.0, gravity_up=0.0, gravity_right=0.0)
    out, n = rates(start, still), start[6:9]
    force = p.mass * out[3:6]
    moment = p.inertia_across * out[9:12] + p.inertia_axial * (out[12] * n + start[12] * out[6:9])
    return float(force @ start[3:6]), float(moment @ (start[9:12] + start[12] * n))


@given(body=BODIES, launch=WILD)
def test_air_never_propels_an_arrow_that_does_not_turn(
    body: Parameters, launch: dict[str, float]
) -> None:
    """Force · airspeed ≤ 0 at any angle, nose or tail first."""
    force_power, _ = _power(launch_state(**launch), body)
    assert force_power <= 1e-12


@given(
    body=BODIES,
    launch=WILD,
    turning=st.tuples(*[st.floats(-30.0, 30.0)] * 2),
    spin=st.floats(-400.0, 400.0),
)
def test_air_never_gives_energy(
    body: Parameters, launch: dict[str, float], turning: tuple[float, float], spin: float
) -> None:
    """Force and moment together only take, though offset vanes trade flight for spin and back."""
    start = launch_state(**launch, yaw_rate=turning[0], pitch_rate=turning[1], spin=spin)
    assert sum(_power(start, body)) <= 1e-9


@settings(max_examples=40)
@given(
    launch=WILD,
    turning=st.tuples(*[st.floats(-1e3, 1e3)] * 2),
    spin=st.floats(-1e5, 1e5),
    mass=st.floats(1e-7, 1e3),
    body=BODIES,
)
def test_any_flight_ends_with_numbers_or_a_status(
    launch: dict[str, float],
    turning: tuple[float, float],
    spin: float,
    mass: float,
    body: Parameters,
) -> None:
    """Never a hang, never a NaN under a status of success."""
    start = launch_state(**launch, yaw_rate=turning[0], pitch_rate=turning[1], spin=spin)
    result = fly_to_planes(start, body._replace(mass=mass), [2.0, 30.0], 0.0)
    if result.status == 0:
        assert np.all(np.isfinite(result.states))
        assert np.all(np.isfinite(result.times))
    assert result.steps <= 20_000
