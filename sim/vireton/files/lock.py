"""A lock that dies with its owner."""

import contextlib
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from vireton.files.problems import FileKind
from vireton.units.problems import named

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

#: A write takes milliseconds; whoever holds the lock this long hangs, s.
PATIENCE = 10.0
_BETWEEN_TRIES = 0.005


@contextmanager
def locked(path: Path, kind: FileKind, patience: float = PATIENCE) -> Iterator[None]:
    """Hold the lock of the file at ``path`` against every other thread and process.

    The lock is one of the operating system's on a hidden file beside it: it ends with the process
    that holds it, even a killed one, so none is ever left behind. Raises the kind's error where
    another holds it for longer than ``patience`` s or where there can be none.
    """
    lock = path.with_name(f".{path.name}.lock")
    descriptor = _acquire(path, lock, kind, time.monotonic() + patience)
    try:
        yield
    finally:
        try:
            # removed while it is held: who waits for it sees that it is another file (_is_at)
            with contextlib.suppress(OSError):
                lock.unlink()
        finally:
            with contextlib.suppress(OSError):
                os.close(descriptor)


def _acquire(path: Path, lock: Path, kind: FileKind, deadline: float) -> int:
    while True:
        try:
            descriptor = os.open(lock, os.O_RDWR | os.O_CREAT, 0o666)
        except FileNotFoundError:
            folder = named(path.parent)
            raise kind.refused(path, f"there is no folder {folder}; make it first") from None
        except OSError as problem:
            raise kind.refused(
                path,
                f"cannot be written: {problem.strerror or problem} in {named(path.parent)}; "
                f"{kind.kept}",
            ) from None
        try:
            if _try_lock(descriptor) and _is_at(descriptor, lock):
                return descriptor
        except OSError as problem:
            os.close(descriptor)
            raise kind.refused(
                path,
                f"cannot be locked on this disk ({problem.strerror or problem}); {kind.kept}. Keep "
                f"the {kind.name} on a local disk",
            ) from None
        os.close(descriptor)
        if time.monotonic() > deadline:
            raise kind.refused(
                path, f"another program is writing to it; {kind.kept}, try once more"
            )
        time.sleep(_BETWEEN_TRIES)


if sys.platform == "win32":

    def _try_lock(descriptor: int) -> bool:
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except PermissionError:
            return False
        return True

else:

    def _try_lock(descriptor: int) -> bool:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


def _is_at(descriptor: int, path: Path) -> bool:
    """Whether the open file still has this name."""
    try:
        return os.path.samestat(os.fstat(descriptor), path.stat())
    except FileNotFoundError:
        return False
