"""Processes that compute: order, errors, and a process that dies."""

import os
import time
from collections.abc import Iterator

import pytest

from vireton_bench.lanes import LaneLostError, Lanes


@pytest.fixture(scope="module")
def lanes() -> Iterator[Lanes]:
    found = Lanes(1)
    yield found
    found.close()


def test_what_is_asked_comes_back_in_order(lanes: Lanes) -> None:
    found = [lanes.ask("mill", divmod, k, 7) for k in range(20)]
    assert [one.result(60) for one in found] == [divmod(k, 7) for k in range(20)]


def test_an_error_reaches_who_asked(lanes: Lanes) -> None:
    with pytest.raises(ZeroDivisionError):
        lanes.ask("mill", divmod, 1, 0).result(60)
    assert lanes.ask("mill", divmod, 7, 2).result(60) == (3, 1)


def test_what_somebody_waits_for_goes_first(lanes: Lanes) -> None:
    lanes.ask("mill", time.sleep, 0.3)
    later = lanes.ask("mill", time.monotonic, later=True)
    now = lanes.ask("mill", time.monotonic)
    assert now.result(60) < later.result(60)


def test_a_process_that_dies_is_begun_anew(lanes: Lanes) -> None:
    with pytest.raises(LaneLostError):
        lanes.ask("mill", os._exit, 3).result(60)
    assert lanes.ask("mill", divmod, 7, 2).result(60) == (3, 1)
