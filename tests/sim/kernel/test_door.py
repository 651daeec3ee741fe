"""The door: everything becomes floats, and what does not fit is refused."""

from typing import Any

import numpy as np
import pytest

from bodies import BARE, FLETCHED, launch_state
from vireton.kernel.batch import integrate_rows
from vireton.kernel.door import DEFAULT_TOLERANCE, Crossings, fly_to_planes, rates
from vireton.kernel.motion import derivatives


def test_shapes() -> None:
    result = fly_to_planes(launch_state(), FLETCHED, [5.0, 10.0, 20.0], 0.1)
    assert isinstance(result, Crossings)
    assert result.times.shape == (3,)
    assert result.states.shape == (3, 16)
    assert result.status == 0
    one = fly_to_planes(launch_state(), FLETCHED, 10.0, 0.1)
    np.testing.assert_array_equal(one.states[0], result.states[1])


def test_no_planes_is_no_flight() -> None:
    result = fly_to_planes(launch_state(), FLETCHED, [], 0.0)
    assert (result.status, result.steps, result.times.size) == (0, 0, 0)


def test_one_station_serves_all_planes_and_each_may_have_its_own() -> None:
    both = fly_to_planes(launch_state(yaw=0.02), FLETCHED, [10.0, 10.0], [0.25, -0.4])
    for i, station in enumerate((0.25, -0.4)):
        alone = fly_to_planes(launch_state(yaw=0.02), FLETCHED, [10.0], station)
        np.testing.assert_array_equal(both.states[i], alone.states[0])
    assert both.times[0] < both.times[1]


def test_the_given_state_is_left_as_it_is() -> None:
    start = launch_state(yaw=0.02)
    before = start.copy()
    fly_to_planes(start, FLETCHED, [10.0], 0.0)
    rates(start, FLETCHED)
    np.testing.assert_array_equal(start, before)


def _copies() -> tuple[int, int]:
    """How many kinds of real argument the two compiled entries were built for."""
    entries: tuple[Any, Any] = integrate_rows, derivatives
    many, single = (
        [kinds for kinds in entry.signatures if "float64" in str(kinds[0])] for entry in entries
    )
    return len(many), len(single)


def test_ints_lists_and_strides_need_no_second_machine_code() -> None:
    wide = np.zeros((16, 2))
    wide[:, 0] = launch_state(80.0)
    plain = fly_to_planes(launch_state(80.0), FLETCHED, [10.0], 0.0)
    rates(launch_state(), FLETCHED)
    assert _copies() == (1, 1)
    whole = FLETCHED._replace(vane_count=3, wind_x=0, friction_factor=1)
    for start in (wide[:, 0], [float(v) for v in wide[:, 0]], wide[:, 0].astype(np.float32)):
        again = fly_to_planes(start, whole, np.array([10]), np.int64(0), tolerance=1e-6)
        np.testing.assert_allclose(again.states, plain.states, rtol=1e-6, atol=1e-6)
    rates([int(v) for v in wide[:, 0]], whole)
    assert _copies() == (1, 1)


def test_default_tolerance_is_a_micrometer_a_step() -> None:
    assert DEFAULT_TOLERANCE == 1e-6
    a = fly_to_planes(launch_state(yaw=0.02), BARE, [50.0], 0.0)
    b = fly_to_planes(launch_state(yaw=0.02), BARE, [50.0], 0.0, tolerance=1e-6)
    np.testing.assert_array_equal(a.states, b.states)


@pytest.mark.parametrize("size", [0, 13, 15, 17])
def test_a_state_of_another_size_is_refused(size: int) -> None:
    with pytest.raises(ValueError, match=f"16 numbers.*{size}"):
        fly_to_planes(np.ones(size), FLETCHED, [10.0], 0.0)


@pytest.mark.parametrize("tolerance", [0.0, -1e-6, np.nan, np.inf])
def test_a_tolerance_that_is_not_a_positive_number_is_refused(tolerance: float) -> None:
    with pytest.raises(ValueError, match="tolerance"):
        fly_to_planes(launch_state(), FLETCHED, [10.0], 0.0, tolerance=tolerance)


def test_stations_that_do_not_fit_the_planes_are_refused() -> None:
    with pytest.raises(ValueError, match=r"\(3,\)"):
        fly_to_planes(launch_state(), FLETCHED, [10.0, 20.0], [0.0, 0.1, 0.2])


def test_planes_in_two_dimensions_are_refused() -> None:
    with pytest.raises(ValueError, match="plane"):
        fly_to_planes(launch_state(), FLETCHED, [[10.0, 20.0]], 0.0)


@pytest.mark.parametrize("length", [0.0, 0.5, 2.0])
def test_an_axis_that_is_no_unit_vector_is_refused(length: float) -> None:
    """Unchecked, an axis of length 2 drives the arrow forwards without limit."""
    start = launch_state()
    start[6:9] *= length
    with pytest.raises(ValueError, match="axis"):
        fly_to_planes(start, FLETCHED, [20.0], 0.0)


def test_rates_are_those_that_the_integrator_uses() -> None:
    """The flight's first instant moves at these rates: a difference over a tiny distance."""
    start = launch_state(yaw=0.03, yaw_rate=1.0, up_angle=0.02)
    result = fly_to_planes(start, FLETCHED, [1e-3], 0.0, tolerance=1e-12)
    change = (result.states[0] - start)[:13] / result.times[0]
    np.testing.assert_allclose(change, rates(start, FLETCHED)[:13], rtol=2e-3, atol=1e-2)


def test_rates_of_a_state_that_is_no_number_are_refused() -> None:
    start = launch_state()
    start[3] = np.nan
    with pytest.raises(ValueError, match="finite"):
        rates(start, FLETCHED)
