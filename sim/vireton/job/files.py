"""A lock that dies with its owner, and files that appear whole or not at all."""

import contextlib
import os
import stat
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from vireton.job.errors import refused
from vireton.units.problems import named

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

#: A write takes milliseconds; whoever holds the lock this long hangs, s.
PATIENCE = 10.0
_BETWEEN_TRIES = 0.005


def _reason(problem: OSError) -> str:
    return problem.strerror or str(problem)


@contextmanager
def locked(path: Path, patience: float = PATIENCE) -> Iterator[None]:
    """Hold the lock of the log at ``path`` against every other thread and process.

    The lock is one of the operating system's on a hidden file beside the log: it ends with the
    process that holds it, even a killed one, so none is ever left behind. Raises LogError where
    another holds it for longer than ``patience`` s or where there can be none.
    """
    lock = path.with_name(f".{path.name}.lock")
    descriptor = _acquire(path, lock, time.monotonic() + patience)
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


def _acquire(path: Path, lock: Path, deadline: float) -> int:
    while True:
        try:
            descriptor = os.open(lock, os.O_RDWR | os.O_CREAT, 0o666)
        except FileNotFoundError:
            raise refused(path, f"there is no folder {named(path.parent)}; make it first") from None
        except OSError as problem:
            raise refused(
                path,
                f"cannot be written: {_reason(problem)} in {named(path.parent)}; nothing was "
                "recorded",
            ) from None
        try:
            if _try_lock(descriptor) and _is_at(descriptor, lock):
                return descriptor
        except OSError as problem:
            os.close(descriptor)
            raise refused(
                path,
                f"cannot be locked on this disk ({_reason(problem)}); nothing was recorded. Keep "
                "the log on a local disk",
            ) from None
        os.close(descriptor)
        if time.monotonic() > deadline:
            raise refused(
                path, "another program is writing to it; nothing was recorded, try once more"
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


def replace_bytes(path: Path, raw: bytes) -> None:
    """Put ``raw`` in the place of what ``path`` holds, at once: a reader sees the old or the new.

    Call it with the lock held. Raises LogError, and leaves the old, where that cannot be done.
    """
    if not os.access(path, os.W_OK):
        raise refused(path, "is write-protected; nothing was recorded")
    try:
        mode = stat.S_IMODE(path.stat().st_mode)
        with _part_of(path, raw, mode) as part:
            os.replace(part, path)  # noqa: PTH105 (one name for the tests that break it)
    except OSError as problem:
        raise refused(
            path, f"cannot be written: {_reason(problem)}; nothing was recorded"
        ) from None
    _sync_folder(path)


def create_bytes(path: Path, raw: bytes) -> None:
    """Make a file with these bytes, whole or not at all. Raises FileExistsError, or LogError."""
    try:
        with _part_of(path, raw, None) as part:
            try:
                os.link(part, path)  # unlike a rename it never replaces what is there
            except FileExistsError:
                raise
            except OSError:  # a disk without hard links (many USB sticks)
                if os.path.lexists(path):
                    raise FileExistsError from None
                os.replace(part, path)  # noqa: PTH105
    except FileExistsError:
        raise
    except OSError as problem:
        raise refused(path, f"cannot be written: {_reason(problem)}") from None
    _sync_folder(path)


@contextmanager
def _part_of(path: Path, raw: bytes, mode: int | None) -> Iterator[Path]:
    """A file beside ``path`` with these bytes on the disk; gone afterwards unless renamed.

    Its name is always the same: the lock keeps others away, and one that a killed process left
    behind is written anew.
    """
    part = path.with_name(f".{path.name}.part")
    try:
        part.unlink(missing_ok=True)
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
        descriptor = os.open(part, flags, 0o666)
        try:
            left = memoryview(raw)
            while left:
                left = left[os.write(descriptor, left) :]
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
        if mode is not None:
            part.chmod(mode)
        yield part
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)


def _sync_folder(path: Path) -> None:
    """Put the new name on the disk too. It is in place already, so no failure is told."""
    with contextlib.suppress(OSError):
        descriptor = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
