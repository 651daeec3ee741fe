"""Many flights in one call are the single flights, to the last bit."""

import numpy as np
import pytest

from bodies import BARE, FLETCHED, YARD, launch_state
from vireton.kernel.batch import PARAMETER_COUNT, record_of
from vireton.kernel.door import fly_many, fly_to_planes
from vireton.kernel.integrator import BEHIND, NOT_REACHED, REACHED
from vireton.kernel.parameters import Parameters

PLANES = [5.0 * YARD, 20.0 * YARD, 60.0 * YARD]
COUNT = 700  # more than two helpings for a thread


def _states() -> np.ndarray:
    random = np.random.default_rng(5)
    return np.array(
        [
            launch_state(speed=80.0 + random.normal(), yaw=0.01 * random.normal())
            for _ in range(COUNT)
        ]
    )


STATES = _states()


def test_a_row_becomes_the_record():
    assert record_of(np.array(FLETCHED)) == Parameters(*map(float, FLETCHED))
    assert len(FLETCHED) == PARAMETER_COUNT


@pytest.mark.parametrize("threads", [1, 2, 3])
def test_batch_is_the_single_flights_to_the_last_bit(threads: int) -> None:
    bodies = [FLETCHED if i % 2 else BARE for i in range(COUNT)]
    batch = fly_many(STATES, bodies, PLANES, 0.29, threads=threads)
    assert (batch.statuses == REACHED).all()
    for i in (0, 1, 255, 256, 400, COUNT - 1):
        alone = fly_to_planes(STATES[i], bodies[i], PLANES, 0.29)
        np.testing.assert_array_equal(batch.times[i], alone.times)
        np.testing.assert_array_equal(batch.states[i], alone.states)
        assert (batch.steps[i], batch.evaluations[i]) == (alone.steps, alone.evaluations)


def test_one_body_serves_all_and_each_may_have_its_own_stations() -> None:
    stations = np.column_stack([np.full(COUNT, 0.29), np.linspace(-0.4, 0.2, COUNT)])
    batch = fly_many(STATES, [FLETCHED], [10.0, 10.0], stations)
    same = fly_many(STATES, [FLETCHED] * COUNT, [10.0, 10.0], stations)
    np.testing.assert_array_equal(batch.states, same.states)
    alone = fly_to_planes(STATES[3], FLETCHED, [10.0, 10.0], stations[3])
    np.testing.assert_array_equal(batch.states[3], alone.states)


def test_each_flight_has_its_own_end() -> None:
    states = STATES[:3].copy()
    states[1, 3] = -80.0  # backwards, never to be seen
    states[2, 0] = 7.0  # beyond the first plane
    batch = fly_many(states, [FLETCHED], [5.0, 20.0], 0.0)
    assert batch.statuses.tolist() == [REACHED, NOT_REACHED, BEHIND]
    assert np.isfinite(batch.times).tolist() == [[True, True], [False, False], [False, True]]


def test_progress_adds_up() -> None:
    told: list[int] = []
    fly_many(STATES, [BARE], [5.0], 0.0, threads=2, progress=told.append)
    assert sum(told) == COUNT
    assert len(told) > 2
    told.clear()
    fly_many(STATES[:10], [BARE], [5.0], 0.0, progress=told.append)
    assert told == [10]


def test_an_interrupt_ends_the_batch() -> None:
    def interrupt(_: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        fly_many(STATES, [BARE], [5.0], 0.0, threads=2, progress=interrupt)


def test_complex_flights_have_the_real_parts_of_the_plain_ones() -> None:
    tilted = STATES[:20].astype(complex)
    tilted[:, 10] += 1e-30j
    plain = fly_many(STATES[:20], [FLETCHED], PLANES, 0.29)
    carried = fly_many(tilted, [FLETCHED], PLANES, 0.29)
    np.testing.assert_allclose(carried.states.real, plain.states, rtol=1e-9, atol=1e-9)
    np.testing.assert_array_equal(carried.statuses, plain.statuses)
    assert np.abs(carried.states.imag).max() > 0.0


@pytest.mark.parametrize(
    ("states", "bodies", "planes", "words"),
    [
        (np.zeros((2, 15)), [BARE], [5.0], "16 numbers each"),
        (STATES[:3], [BARE, BARE], [5.0], "3 states need 3 rows of"),
        (STATES[:1] * np.nan, [BARE], [5.0], "no finite number"),
        (STATES[:1] * 2.0, [BARE], [5.0], "unit vector"),
        (STATES[:1], [BARE], [[5.0]], "list of distances"),
    ],
)
def test_what_does_not_fit_is_refused(states, bodies, planes, words) -> None:
    with pytest.raises(ValueError, match=words):
        fly_many(states, bodies, planes, 0.0)


def test_no_states_are_no_flights() -> None:
    assert fly_many(np.zeros((0, 16)), [BARE], [5.0], 0.0).states.shape == (0, 1, 16)
