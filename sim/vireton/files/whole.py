"""Files that appear whole or not at all."""

import contextlib
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def is_there(path: Path) -> bool:
    """Whether something of this name is there; a name that is too long to be one is not."""
    return os.path.exists(path)  # noqa: PTH110 (Path.exists raises)


def replace_whole(target: Path, content: bytes, *, is_locked: bool = False) -> None:
    """Put ``content`` in ``target``; whoever reads it sees the old or the new. Raises OSError.

    The rights of an older file are kept. ``is_locked``: the caller holds the target's lock, so the
    part that a killed process left behind is nobody's and is written anew.
    """
    mode = stat.S_IMODE(target.stat().st_mode) if is_there(target) else None
    with _part_of(target, content, mode, is_locked) as part:
        os.replace(part, target)  # noqa: PTH105 (one name for the tests that break it)
    _sync_folder(target)


def create_whole(target: Path, content: bytes, *, is_locked: bool = False) -> None:
    """Make a file with ``content``; what is there already is never replaced.

    Raises FileExistsError for that, OSError where it cannot be written.
    """
    with _part_of(target, content, None, is_locked) as part:
        try:
            os.link(part, target)  # unlike a rename it never replaces what is there
        except FileExistsError:
            raise
        except OSError:  # a disk without hard links (many USB sticks): the name is taken first
            os.close(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666))
            try:
                os.replace(part, target)  # noqa: PTH105
            except BaseException:
                target.unlink(missing_ok=True)
                raise
    _sync_folder(target)


@contextmanager
def _part_of(target: Path, content: bytes, mode: int | None, is_locked: bool) -> Iterator[Path]:
    """A file beside ``target`` with this content on the disk; gone afterwards unless renamed."""
    own = "" if is_locked else f".{os.urandom(4).hex()}"
    part = target.with_name(f".{target.name if is_locked else target.name[:100]}{own}.part")
    try:
        if is_locked:
            part.unlink(missing_ok=True)
        # opened by name rather than by tempfile, whose files nobody else may read
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
        descriptor = os.open(part, flags, 0o666)
        try:
            left = memoryview(content)
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
