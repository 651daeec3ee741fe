"""The decorators of all compiled functions, and where their machine code is kept.

numba checks only the file of a function for changes, not the files of what it calls, so its cache
goes stale in silence when a callee changes. Here the machine code lies in a folder named by a hash
of all rooms that hold compiled functions: any edit there starts a fresh folder.

Whoever can put a file there has it run by the user. So code is kept only where nobody else can,
and else compiled in each process.
"""

import contextlib
import hashlib
import os
import re
import stat
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

import numba
from numba.core.caching import FunctionCache

F = TypeVar("F", bound=Callable[..., Any])

_PACKAGE = Path(__file__).resolve().parent.parent
#: The rooms that hold compiled functions; a test fails for one that is missing here.
COMPILED_ROOMS = ("aerodynamics", "kernel", "launch")
_KEPT_FOLDERS = 4
_OURS = re.compile("[0-9a-f]{20}")  # a chosen cache folder may hold other people's files
_CONFIG: Any = numba.config


def sources_hash(*rooms: str) -> str:
    """Hex digest of the Python sources of these rooms, without any of the whole package, and of the
    numba and Python versions.
    """
    digest = hashlib.sha256(f"{numba.__version__} {sys.version}".encode())
    for path in sorted(_PACKAGE.rglob("*.py")):
        place = path.relative_to(_PACKAGE)
        if not rooms or place.parts[0] in rooms:
            digest.update(place.as_posix().encode())
            digest.update(path.read_bytes())
    return digest.hexdigest()[:20]


def _candidate_roots() -> list[Path]:
    """Where machine code may be kept, best first."""
    roots = []
    if chosen := os.environ.get("VIRETON_CACHE_DIR"):
        roots.append(Path(chosen))
    if xdg := os.environ.get("XDG_CACHE_HOME"):
        roots.append(Path(xdg) / "vireton")
    with contextlib.suppress(RuntimeError):  # no home folder at all
        roots.append(Path.home() / ".cache" / "vireton")
    user = os.getuid() if hasattr(os, "getuid") else "user"
    with contextlib.suppress(OSError):  # a full disk
        roots.append(Path(tempfile.gettempdir()) / f"vireton-{user}")
    return roots


def _own_folder(folder: Path) -> Path | None:
    """Its true path, made where it is not there; None where somebody else could change it.

    From the top down each folder of the path must be the user's or the administrator's and closed
    to the writing of others, but for one like ``/tmp``, where nobody can touch what is another's.
    What is so seen stays so: nobody else can put another folder in its place later. The last one
    is closed to others altogether, whatever is made within. Systems without owners are believed.
    """
    try:
        true = Path(os.path.realpath(folder))
        for place in (*reversed(true.parents), true):
            try:
                seen = place.lstat()
            except FileNotFoundError:
                with contextlib.suppress(FileExistsError):  # another process was faster: whose?
                    place.mkdir(mode=0o700)
                seen = place.lstat()
            if not _closed(seen, last=place == true):
                return None
        with tempfile.TemporaryFile(dir=true):
            return true
    except OSError:
        return None


def _closed(seen: os.stat_result, *, last: bool) -> bool:
    if not hasattr(os, "getuid"):
        return True
    if not stat.S_ISDIR(seen.st_mode) or seen.st_uid not in (0, os.getuid()):
        return False
    if last:
        return seen.st_uid == os.getuid() and not seen.st_mode & 0o077
    return bool(seen.st_mode & stat.S_ISVTX) or not seen.st_mode & 0o022


def _drop_old_folders(root: Path, current: Path) -> None:
    """Keep the newest few folders, so that years of updates do not fill the disk."""
    try:
        folders = sorted(
            (p for p in root.iterdir() if _OURS.fullmatch(p.name) and p.is_dir() and p != current),
            key=lambda p: p.stat().st_mtime,
            reverse=True,
        )
        for folder in folders[_KEPT_FOLDERS:]:
            for file in folder.rglob("*"):
                if file.suffix in {".nbi", ".nbc", ".said"}:
                    file.unlink(missing_ok=True)
            for sub in sorted(folder.rglob("*"), reverse=True):
                if sub.is_dir():
                    sub.rmdir()
            folder.rmdir()
    except OSError:
        pass  # housekeeping only: another process may be doing the same


def _cache_folder() -> Path | None:
    digest = sources_hash(*COMPILED_ROOMS)
    for root in _candidate_roots():
        folder = root / digest
        fresh = not folder.exists()
        if own := _own_folder(folder):
            if fresh:
                _drop_old_folders(own.parent, own)
            return own
    return None


CACHE_FOLDER: Path | None = _cache_folder()


class _KeptCode(FunctionCache):
    """numba's store of machine code, as a help that nothing depends on.

    A full disk while it is written, or a file that a power cut left half, costs a compilation, not
    the flight.
    """

    def load_overload(self, sig: Any, target_context: Any) -> Any:
        """What is kept for this signature, None where nothing is or where it cannot be read."""
        try:
            return super().load_overload(sig, target_context)  # type: ignore[no-untyped-call]
        except Exception:  # whatever damaged bytes make of a pickle
            with contextlib.suppress(OSError):
                self.flush()  # type: ignore[no-untyped-call]
            return None

    def save_overload(self, sig: Any, data: Any) -> None:
        """Keep it, where there is room."""
        with contextlib.suppress(OSError):
            super().save_overload(sig, data)  # type: ignore[no-untyped-call]


def _decorate(function: F, **options: Any) -> F:
    kept: Any = numba.njit(error_model="numpy", **options)(function)
    if CACHE_FOLDER is None:
        return cast(F, kept)
    before = _CONFIG.CACHE_DIR
    _CONFIG.CACHE_DIR = str(CACHE_FOLDER)  # read by numba while it makes the store, then put back
    try:
        store = _KeptCode(function)  # type: ignore[no-untyped-call]
    except RuntimeError:  # numba finds no place at all
        return cast(F, kept)
    finally:
        _CONFIG.CACHE_DIR = before
    # where it cannot write, numba goes elsewhere in silence: even below the working folder
    if CACHE_FOLDER in Path(store.cache_path).parents:
        kept._cache = store
    return cast(F, kept)


def compiled(function: F) -> F:
    """Compile ``function`` with numba, its machine code kept in :data:`CACHE_FOLDER`.

    Without a folder of the user's own it still compiles, afresh in each process. Division by zero
    gives inf or nan as in IEEE arithmetic; no fast-math, so the arithmetic is the one that is
    written. It lets go of the interpreter's lock while it runs, so that threads run side by side.
    """
    return _decorate(function, nogil=True)


def inlined(function: F) -> F:
    """The same, always inlined into its caller.

    The parameter record is some 70 floats; handing it to a called function costs more than the
    physics in it (measured when it was 55: 258 against 181 ns for one right-hand side).
    """
    return _decorate(function, forceinline=True)


def inlined_sums(function: F) -> F:
    """The same, and sums may be taken in any order, so that the compiler can do several at once.

    Only for quadrature sums, where the order of the terms has no meaning.
    """
    return _decorate(function, forceinline=True, fastmath={"reassoc", "contract"})


def is_compiled_before(*, derivatives: bool = False) -> bool:
    """Whether an earlier process already left machine code of these very sources.

    ``derivatives``: of the flight with complex numbers too, which is a second compilation.
    """
    if CACHE_FOLDER is None:
        return False
    kinds = sum(1 for _ in CACHE_FOLDER.rglob("batch.integrate_rows-*.nbc"))
    return kinds >= (2 if derivatives else 1)
