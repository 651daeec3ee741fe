"""A study on a local cluster of separate processes, one of which dies."""

import os
import signal
import sys
from types import SimpleNamespace

import numpy as np
import pytest

from demo import INCH, YARD, mill_rig
from vireton.scatter.blocks import Block, run_here
from vireton.scatter.case import make_case
from vireton.scatter.cluster import _result, on_cluster
from vireton.scatter.sources import Scatter
from vireton.units.problems import InputProblem

distributed = pytest.importorskip("distributed")


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
    "trouble, said",
    [
        (distributed.KilledWorker("block", SimpleNamespace(address="tcp://x"), 3), "was lost"),
        (OSError("closed"), "was lost"),
        (ModuleNotFoundError("No module named 'vireton'"), "cannot load this Vireton"),
    ],
)
def test_what_goes_wrong_over_there_is_told_in_words(trouble, said):
    class Broken:
        def result(self):
            raise trouble

    with pytest.raises(InputProblem, match=said):
        _result(Broken())


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
    with pytest.raises(InputProblem, match=r"pip install 'vireton\[cluster\]'"), on_cluster("x"):
        pass
