"""Shoot the blocks of a study on a cluster that is running already (dask.distributed)."""

from collections.abc import Iterator, Sequence
from concurrent.futures import CancelledError
from contextlib import contextmanager
from typing import Any

from vireton.scatter.blocks import Block, Runner, shoot_block
from vireton.scatter.case import Case
from vireton.scatter.record import Record
from vireton.units.problems import InputProblem

#: s to wait for the cluster, and for a first worker of it.
_PATIENCE = 20.0


@contextmanager
def on_cluster(address: str) -> Iterator[Runner]:
    """A runner that shoots blocks on the cluster whose scheduler is at ``address``.

    Every worker needs the very same Vireton, numba and Python: each block checks it. A block is a
    pure function of plain data, so one that a lost worker held is shot again by another, with the
    same result to the last bit on processors of one kind.

    Raises InputProblem where dask.distributed is not installed, nobody answers, no worker is there,
    or a worker runs other sources.
    """
    with _client(address) as client:

        def run(cases: Sequence[Case], blocks: Sequence[Block]) -> Iterator[Record]:
            # a task and not scattered data: what a lost worker held can then be made again
            held = [client.submit(_same, case) for case in cases]
            futures = [client.submit(shoot_block, held[one.case], one) for one in blocks]
            for future in futures:
                yield _result(future)
                future.release()

        yield run


def _same(case: Case) -> Case:
    return case


def _result(future: Any) -> Record:
    try:
        record: Record = future.result()
    except (ImportError, AttributeError) as problem:
        raise InputProblem(
            f"--cluster: a worker cannot load this Vireton ({problem}): install the same version "
            "on every worker"
        ) from None
    except _lost() as problem:
        raise InputProblem(
            f"--cluster: the scheduler, or worker after worker, was lost ({problem}); look at "
            "their logs, start them again and ask once more: the same seed gives the same answer"
        ) from None
    return record


def _lost() -> tuple[type[BaseException], ...]:
    from distributed import KilledWorker  # noqa: PLC0415 (an extra)

    return KilledWorker, CancelledError, OSError


def _client(address: str) -> Any:
    try:
        import distributed  # noqa: PLC0415 (an extra, and a second to import)
    except ImportError:
        raise InputProblem(
            "--cluster needs dask.distributed, which is not installed: "
            "pip install 'vireton[cluster]'"
        ) from None
    make_client: Any = distributed.Client  # it has no types
    try:
        client = make_client(address, timeout=_PATIENCE, set_as_default=False)
    except (OSError, ValueError) as problem:  # TimeoutError is an OSError
        raise InputProblem(
            f"--cluster: nobody answers at {address!r} ({problem}); give the address that the "
            "scheduler prints, such as tcp://192.0.2.7:8786"
        ) from None
    try:
        client.wait_for_workers(1, timeout=_PATIENCE)
    except TimeoutError:
        client.close()
        raise InputProblem(
            f"--cluster: the scheduler at {address!r} has no worker; start some first"
        ) from None
    return client
