"""Shoot the blocks of a study on a cluster that is running already (dask.distributed)."""

import logging
import pickle
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import CancelledError
from contextlib import contextmanager, suppress
from typing import Any

from vireton.scatter.address import LIKE, checked
from vireton.scatter.blocks import Block, Runner, run_here
from vireton.scatter.case import Case
from vireton.scatter.record import Record
from vireton.units.problems import InputProblem

#: s to wait for the cluster, and for a first worker of it.
_PATIENCE = 20.0
#: s to wait for a worker when all are gone, and between two looks whether one is there.
_WAIT, _LOOK = 60.0, 1.0
#: s to say good-bye to a cluster that may be gone.
_LEAVE = 3.0

_LOG = logging.getLogger("vireton")


class _GoneError(Exception):
    """The cluster cannot shoot any more, in words."""


@contextmanager
def on_cluster(address: str) -> Iterator[Runner]:
    """A runner that shoots blocks on the cluster whose scheduler is at ``address``.

    Every worker needs the very same Vireton, numba and Python: each block checks it. A block is a
    pure function of plain data, so one that a lost worker held is shot again by another, with the
    same result to the last bit on processors of one kind. Where the scheduler is lost, or all
    workers and none comes back for a minute, what was shot is kept and the rest is shot here; the
    log says so.

    Raises InputProblem for what is no address, where dask.distributed is not installed, nobody
    answers, no worker is there, or a worker runs other sources.
    """
    try:
        address = checked(address)
    except ValueError as problem:
        raise InputProblem(f"--cluster: {problem}") from None
    distributed = _imported()
    if address.startswith("tls://"):
        _demand_keys(distributed.Security())
    with _quiet_libraries():
        client = _client(distributed, address)
        try:
            yield _runner(client)
        finally:
            with suppress(Exception):  # whatever a lost scheduler makes of it
                client.close(timeout=_LEAVE)


def _runner(client: Any) -> Runner:
    gone = False

    def run(cases: Sequence[Case], blocks: Sequence[Block]) -> Iterator[Record]:
        nonlocal gone
        done = 0
        if not gone:
            try:
                for record in _shot_there(client, cases, blocks):
                    yield record
                    done += 1
                return
            except _GoneError as problem:
                gone = True
                _LOG.warning(
                    "vireton: --cluster: %s. What it shot is kept; the rest is shot on this "
                    "machine",
                    problem,
                )
        yield from run_here(cases, blocks[done:])

    return run


def _shot_there(client: Any, cases: Sequence[Case], blocks: Sequence[Block]) -> Iterator[Record]:
    """Records in the order of the blocks. Raises _GoneError."""
    same, shoot = _tasks()
    try:
        # a task and not scattered data: what a lost worker held can then be made again
        held = [client.submit(same, pickle.dumps(case), pure=False) for case in cases]
        futures = [
            client.submit(shoot, held[one.case], pickle.dumps(one), pure=False) for one in blocks
        ]
    except Exception:  # a closed client has many ways to say so
        raise _GoneError("it cannot be reached any more") from None
    for future in futures:
        yield _result(client, future)
        future.release()


def _tasks() -> tuple[Callable[[bytes], bytes], Callable[[bytes, bytes], bytes]]:
    """What workers do. Functions inside a function travel whole, and data as bytes: a worker
    without Vireton would otherwise die of the message alone, and the scheduler needs none.
    """

    def same(case: bytes) -> bytes:
        return case

    def shoot(case: bytes, block: bytes) -> bytes:
        import pickle  # noqa: PLC0415 (on the worker)

        from vireton.scatter.blocks import shoot_block  # noqa: PLC0415

        return pickle.dumps(shoot_block(pickle.loads(case), pickle.loads(block)))

    return same, shoot


def _result(client: Any, future: Any) -> Record:
    """Wait for it as long as there is a worker, or may be one again."""
    alone = 0.0
    while True:
        try:
            record: Record = pickle.loads(future.result(timeout=_LOOK))
            return record
        except (ImportError, AttributeError) as problem:
            raise InputProblem(
                f"--cluster: a worker cannot load this Vireton ({problem}): install the same "
                "version on every worker"
            ) from None
        except TimeoutError:
            alone = 0.0 if _has_worker(client) else alone + _LOOK
        except _lost():
            raise _GoneError(
                "the scheduler, or worker after worker, was lost; look at their logs"
            ) from None
        if alone == _LOOK:
            _LOG.warning(
                "vireton: --cluster: all its workers are gone; waiting for workers, %.0f s at most",
                _WAIT,
            )
        if alone > _WAIT:
            raise _GoneError(f"none of its workers came back within {_WAIT:.0f} s")


def _has_worker(client: Any) -> bool:
    """Whether the scheduler has one. Raises _GoneError where there is no scheduler."""
    try:
        return bool(client.sync(client.scheduler.ncores, callback_timeout=_PATIENCE))
    except Exception:  # a lost scheduler has many ways to show
        raise _GoneError("its scheduler does not answer any more") from None


def _lost() -> tuple[type[BaseException], ...]:
    from distributed import KilledWorker  # noqa: PLC0415 (an extra)

    return KilledWorker, CancelledError, OSError


def _imported() -> Any:
    """The library, which has no types."""
    try:
        import distributed  # noqa: PLC0415 (an extra, and a second to import)
    except ImportError:
        raise InputProblem(
            "--cluster needs dask.distributed, which is not installed: "
            "pip install 'vireton[cluster]'"
        ) from None
    return distributed


def _client(distributed: Any, address: str) -> Any:
    try:
        client = distributed.Client(address, timeout=_PATIENCE, set_as_default=False)
    except (OSError, ValueError) as problem:  # TimeoutError is an OSError
        raise InputProblem(
            f"--cluster: nobody answers at {address!r} ({problem}); give the address that the "
            f"scheduler prints, such as {LIKE}"
        ) from None
    try:
        if not _has_worker(client):
            _LOG.warning(
                "vireton: --cluster: waiting for workers at %s, %.0f s at most", address, _PATIENCE
            )
        client.wait_for_workers(1, timeout=_PATIENCE)
    except _GoneError as problem:
        client.close(timeout=_LEAVE)
        raise InputProblem(f"--cluster: {problem}") from None
    except TimeoutError:
        client.close(timeout=_LEAVE)
        raise InputProblem(
            f"--cluster: the scheduler at {address!r} has no worker; start some first"
        ) from None
    return client


def _demand_keys(security: Any) -> None:
    """Refuse tls:// without keys before anybody is called."""
    if security.get_connection_args("client").get("ssl_context") is None:
        raise InputProblem(
            "--cluster: tls:// needs the cluster's certificate and your key; name them in dask's "
            "configuration, distributed.comm.tls.ca-file and distributed.comm.tls.client.cert and "
            ".key"
        )


@contextmanager
def _quiet_libraries() -> Iterator[None]:
    """Without what the libraries log of a lost connection: we say it, in words."""
    names = [
        name
        for name in logging.root.manager.loggerDict
        if name.split(".")[0] in ("distributed", "tornado", "asyncio")
    ]
    before = {name: logging.getLogger(name).level for name in (*names, "distributed", "asyncio")}
    for name in before:
        logging.getLogger(name).setLevel(logging.CRITICAL + 1)
    try:
        yield
    finally:
        for name, level in before.items():
            logging.getLogger(name).setLevel(level)
