"""A study on a local cluster of separate processes, one of which dies."""

import logging
import os
import pickle
import signal
import sys
from concurrent.futures import CancelledError
from types import SimpleNamespace

import numpy as np
import pytest

from demo import INCH, YARD, mill_rig
from vireton.scatter.blocks import Block, run_here
from vireton.scatter.case import make_case
from vireton.scatter.cluster import (
    _GoneError,
    _quiet_libraries,
    _result,
    _runner,
    on_cluster,
)
from vireton.scatter.sources import Scatter
from vireton.units.problems import InputProblem

distributed = pytest.importorskip("distributed")
KilledWorker = distributed.KilledWorker


@pytest.fixture(scope="module")
def cluster():
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0"
    ) as local:
        yield local


def case(**changes):
    spread = Scatter(aim_up=1e-3, yaw_rate=0.1, gust_across=0.5, mass=6e-5)
    some = make_case(mill_rig(), spread, [20 * YARD, 60 * YARD], 8 * INCH, seed=1)
    return type(some)(**(vars(some) | changes))


def same(one, other):
    return all(np.array_equal(value, getattr(other, name)) for name, value in vars(one).items())


def test_the_cluster_shoots_the_same_bits_though_a_worker_is_killed(cluster):
    cases = [case()]
    blocks = [Block(0, replicate, first, 128) for replicate in range(16) for first in (0, 128, 256)]
    here = list(run_here(cases, blocks))
    victim = next(iter(cluster.workers.values())).pid
    alive_before = {worker.pid for worker in cluster.workers.values()}
    with on_cluster(cluster.scheduler_address) as runner:
        there = []
        for record in runner(cases, blocks):
            there.append(record)
            if len(there) == 4:
                os.kill(victim, signal.SIGKILL)  # a child of this very test
    assert len(there) == len(blocks)
    assert all(map(same, here, there))
    assert {worker.pid for worker in cluster.workers.values()} != alive_before


def test_a_worker_with_other_sources_is_refused(cluster):
    with (
        on_cluster(cluster.scheduler_address) as runner,
        pytest.raises(InputProblem, match="install the same everywhere"),
    ):
        list(runner([case(program="another")], [Block(0, 0, 0, 16)]))


@pytest.mark.parametrize(
    "trouble, kind, said",
    [
        (KilledWorker("block", SimpleNamespace(address="tcp://x"), 3), _GoneError, "was lost"),
        (CancelledError("block"), _GoneError, "was lost"),
        (OSError("closed"), _GoneError, "was lost"),
        (ModuleNotFoundError("No module named 'vireton'"), InputProblem, "cannot load this"),
    ],
)
def test_what_goes_wrong_over_there_is_told_in_words(trouble, kind, said):
    with pytest.raises(kind, match=said):
        _result(FakeClient(), FakeFuture([trouble]))


def own_words(caplog):
    """What we logged, the libraries left out."""
    return [one.getMessage() for one in caplog.records if one.name == "vireton"]


class FakeFuture:
    """Its troubles one after the other, then a record."""

    def __init__(self, troubles):
        self.troubles = list(troubles)

    def result(self, timeout):
        if self.troubles:
            raise self.troubles.pop(0)
        return pickle.dumps("a record")


class FakeClient:
    """A scheduler that has workers or none, look after look, or does not answer."""

    scheduler = SimpleNamespace(ncores=None)

    def __init__(self, looks=()):
        self.looks = list(looks)

    def sync(self, _asked, callback_timeout):
        found = self.looks.pop(0) if self.looks else {"tcp://x": 1}
        if isinstance(found, Exception):
            raise found
        return found


def test_slow_blocks_are_waited_for(caplog):
    slow = [TimeoutError()] * 500
    assert _result(FakeClient(), FakeFuture(slow)) == "a record"
    assert not own_words(caplog)


def test_a_worker_that_comes_back_is_waited_for_and_said_once(caplog):
    looks = [{}, {}, {}, {"tcp://x": 1}]
    assert _result(FakeClient(looks), FakeFuture([TimeoutError()] * 6)) == "a record"
    (said,) = own_words(caplog)
    assert "waiting for workers, 60 s at most" in said


def test_where_none_comes_back_it_ends_at_the_time_that_was_said():
    looks = FakeClient([{}] * 100)
    with pytest.raises(_GoneError, match="within 60 s"):
        _result(looks, FakeFuture([TimeoutError()] * 100))
    assert len(looks.looks) == 100 - 61


def test_a_scheduler_that_does_not_answer_any_more_is_told():
    with pytest.raises(_GoneError, match="does not answer"):
        _result(FakeClient([OSError("closed")]), FakeFuture([TimeoutError()]))


def test_what_a_lost_cluster_shot_is_kept_and_the_rest_shot_here(monkeypatch, caplog):
    cases, blocks = [case()], [Block(0, replicate, 0, 16) for replicate in range(4)]
    here = list(run_here(cases, blocks))
    asked = []

    def two_and_no_more(_client, _cases, some):
        asked.append(len(some))
        yield from here[:2]
        raise _GoneError("its workers went home")

    monkeypatch.setattr("vireton.scatter.cluster._shot_there", two_and_no_more)
    run = _runner(None)
    found = list(run(cases, blocks))
    assert all(one is other for one, other in zip(found[:2], here, strict=False))
    assert len(found) == 4
    assert all(map(same, found, here))
    assert len(list(run(cases, blocks))) == 4
    assert asked == [4]  # a cluster that is gone is not asked again
    (said,) = own_words(caplog)
    assert "its workers went home. What it shot is kept; the rest is shot on this machine" in said


def test_a_worker_without_vireton_is_told(tmp_path):
    blocker = tmp_path / "blocker.py"
    blocker.write_text(
        "import sys\n"
        "class Block:\n"
        "    def find_spec(self, name, path=None, target=None):\n"
        "        if name.split('.')[0] == 'vireton':\n"
        "            raise ModuleNotFoundError(f'No module named {name!r}', name=name)\n"
        "sys.meta_path.insert(0, Block())\n"
    )
    with (
        distributed.LocalCluster(
            n_workers=1, processes=True, dashboard_address=":0", preload=[str(blocker)]
        ) as local,
        on_cluster(local.scheduler_address) as runner,
        pytest.raises(InputProblem, match="install the same version on every worker"),
    ):
        list(runner([case()], [Block(0, 0, 0, 16)]))


def test_keys_are_asked_for_before_anybody_is_called():
    with pytest.raises(InputProblem, match="certificate"), on_cluster("tls://192.0.2.7:8786"):
        pass


def test_the_libraries_are_loud_again_afterwards():
    logger = logging.getLogger("distributed.comm")
    before = logger.level
    with _quiet_libraries():
        assert not logger.isEnabledFor(logging.CRITICAL)
        assert not logging.getLogger("distributed.core").isEnabledFor(logging.ERROR)
    assert logger.level == before


def test_where_nobody_answers_it_says_so(monkeypatch):
    monkeypatch.setattr("vireton.scatter.cluster._PATIENCE", 0.5)
    with (
        pytest.raises(InputProblem, match="nobody answers at 'tcp"),
        on_cluster("tcp://127.0.0.1:1"),
    ):
        pass


def test_an_address_that_is_none_is_told(monkeypatch):
    monkeypatch.setattr("vireton.scatter.cluster._PATIENCE", 0.5)
    with pytest.raises(InputProblem, match="--cluster"), on_cluster("nonsense://x"):
        pass


def test_a_cluster_without_workers_is_told(monkeypatch):
    monkeypatch.setattr("vireton.scatter.cluster._PATIENCE", 1.0)
    with (
        distributed.LocalCluster(n_workers=0, processes=False, dashboard_address=":0") as empty,
        pytest.raises(InputProblem, match="has no worker"),
        on_cluster(empty.scheduler_address),
    ):
        pass


def test_without_the_extra_it_names_it(monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    with (
        pytest.raises(InputProblem, match=r"pip install 'vireton\[cluster\]'"),
        on_cluster("tcp://127.0.0.1:1"),
    ):
        pass
