"""Processes that compute, so that no tap waits for another bow's answer.

A job always goes to the same lane: its entries are taken in order, and its tuner is warm there.
"""

import itertools
import multiprocessing
import queue
import signal
import threading
import zlib
from collections.abc import Callable
from concurrent.futures import Future
from multiprocessing.connection import Connection
from typing import Any

_Work = tuple[Callable[..., Any], tuple[Any, ...], "Future[Any]"]
_NOW, _LATER = 1, 2


class LaneLostError(Exception):
    """The process ended in the middle; what it wrote is whole all the same."""


def _serve(pipe: Connection) -> None:
    """The child: one call after the other, until the parent is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the parent's
    while True:
        try:
            call, given = pipe.recv()
        except (EOFError, OSError):
            return
        try:
            told = True, call(*given)
        except Exception as error:  # handed to who asked
            told = False, error
        try:
            pipe.send(told)
        except (BrokenPipeError, OSError):
            return
        except Exception as error:  # what cannot be sent
            pipe.send((False, RuntimeError(f"{type(error).__name__}: {error}")))


class _Lane:
    """A thread that feeds one process, and begins another where that has died."""

    def __init__(self) -> None:
        # what somebody waits for goes before what only warms up, each in its order
        self.waiting: queue.PriorityQueue[tuple[int, int, _Work | None]] = queue.PriorityQueue()
        self.count = itertools.count()
        self.closing = False
        self.thread = threading.Thread(target=self._feed, daemon=True)
        self.thread.start()

    def put(self, rank: int, work: _Work | None) -> None:
        self.waiting.put((rank, next(self.count), work))

    def _begin(self) -> None:
        context = multiprocessing.get_context("spawn")
        self.pipe, theirs = context.Pipe()
        self.process = context.Process(target=_serve, args=(theirs,), daemon=True)
        self.process.start()
        theirs.close()

    def _feed(self) -> None:
        self._begin()
        while (work := self.waiting.get()[2]) is not None:
            call, given, future = work
            if not future.set_running_or_notify_cancel():
                continue
            try:
                self.pipe.send((call, given))
                fine, told = self.pipe.recv()
            except (EOFError, OSError):
                if not self.closing:
                    self._begin()
                future.set_exception(LaneLostError("the process that computes ended; it runs anew"))
                continue
            if fine:
                future.set_result(told)
            else:
                future.set_exception(told)
        self.pipe.close()
        self.process.terminate()


class Lanes:
    """``count`` processes; 0 for tests: all in one thread of this one."""

    def __init__(self, count: int) -> None:
        self.count = count
        self._lanes = [_Lane() for _ in range(count)]
        self._turn = threading.Lock()

    def ask(
        self, name: str, call: Callable[..., Any], *given: Any, later: bool = False
    ) -> "Future[Any]":
        """``call(*given)`` in the lane of the job ``name``; ``later``: nobody waits for it."""
        if self._lanes:
            place = zlib.crc32(name.encode()) % len(self._lanes)
            return self._put(place, call, given, _LATER if later else _NOW)
        future: Future[Any] = Future()
        with self._turn:
            try:
                future.set_result(call(*given))
            except Exception as error:
                future.set_exception(error)
        return future

    def ask_all(self, call: Callable[..., Any], *given: Any) -> "list[Future[Any]]":
        """``call(*given)`` in every lane."""
        return [self._put(place, call, given, _NOW) for place in range(len(self._lanes))]

    def _put(
        self, place: int, call: Callable[..., Any], given: tuple[Any, ...], rank: int
    ) -> "Future[Any]":
        future: Future[Any] = Future()
        self._lanes[place].put(rank, (call, given, future))
        return future

    def close(self) -> None:
        """End them, whatever they are at."""
        for lane in self._lanes:
            lane.closing = True
            lane.put(0, None)
            if hasattr(lane, "process"):
                lane.process.terminate()
        for lane in self._lanes:
            lane.thread.join(2.0)
