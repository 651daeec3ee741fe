"""A shop's folder of jobs: one line for each file, without reading what has not changed.

An index in the folder keeps what was read. It is a copy only: where it is missing, damaged, of
another version or cannot be written, the files are read.
"""

import contextlib
import json
import os
import re
import time
import unicodedata
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import astuple
from pathlib import Path

from vireton.files.whole import replace_whole
from vireton.job.line import JobLine, damaged, read_line
from vireton.units.problems import InputProblem, named

__all__ = ["INDEX", "JobLine", "jobs_in", "search"]

#: The index, beside the files.
INDEX = ".vireton-jobs.json"

#: Of the index. One more whenever a line of it, or what is read into one, changes.
_VERSION = 1

#: Fewer files than this are read in the time that an index takes, so they get none.
_WORTH_AN_INDEX = 20

#: Two changes within it may leave one and the same time on a file (FAT: 2 s), ns.
_COARSEST_TIME = 2_000_000_000

_ISO_DATE = re.compile(r"\d{4}-\d\d-\d\d")


#: Of a file: time of its last change in ns, size, inode. Who has the same has not changed.
_Stamp = tuple[int, int, int]
#: What the index holds of each file; None for one that is no job.
_Known = dict[str, tuple[_Stamp, JobLine | None]]


def jobs_in(folder: Path | str) -> list[JobLine]:
    """The jobs of a folder: open ones, then done ones, the latest first, then the damaged.

    Looks at ``*.toml`` directly in it; setup files and other TOML are left out. Raises InputProblem
    where there is no such folder or it may not be read.
    """
    folder = Path(folder)
    now = time.time_ns()
    known = _read_index(folder)
    found: _Known = {}
    lines: list[JobLine | None] = []
    for name, stamp, problem in _files(folder):
        if stamp is None:
            lines.append(damaged(name, problem))
        elif name in known and known[name][0] == stamp:
            found[name] = known[name]
        else:
            line, is_lasting = read_line(folder / name)
            if is_lasting:
                found[name] = (stamp, line)
            else:
                lines.append(line)
    if found != known and len(found) >= _WORTH_AN_INDEX:
        _write_index(folder, found, now)
    lines += [line for _, line in found.values()]
    return sorted((one for one in lines if one), key=_rank)


def search(lines: Sequence[JobLine], words: str) -> list[JobLine]:
    """The lines that hold every word in bow, owner, complaint or file name.

    Upper and lower case and accents are one.
    """
    wanted = _folded(words).split()
    return [
        line
        for line in lines
        if all(
            word in hay
            for hay in [_folded(f"{line.bow}\n{line.owner}\n{line.complaint}\n{line.file}")]
            for word in wanted
        )
    ]


def _folded(text: str) -> str:
    if text.isascii():
        return text.lower()
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(one for one in apart if not unicodedata.combining(one))


def _rank(line: JobLine) -> tuple[bool, bool, tuple[int, ...], str, str]:
    """Dates as people write them have no order but for those of TOML: the others come behind."""
    date = _ISO_DATE.match(line.last_date)
    latest_first = tuple(-int(part) for part in date[0].split("-")) if date else (1,)
    return bool(line.problem), not line.is_open, latest_first, line.bow.casefold(), line.file


def _files(folder: Path) -> Iterator[tuple[str, _Stamp | None, str]]:
    """Name and stamp of each ``*.toml``, or what is wrong with it."""
    try:
        with os.scandir(folder) as entries:
            for one in entries:
                if not one.name.lower().endswith(".toml") or one.name.startswith("."):
                    continue
                try:
                    if one.is_dir():
                        continue
                    status = one.stat()
                    if one.is_file():  # opening a pipe would wait for somebody to write
                        yield one.name, (status.st_mtime_ns, status.st_size, status.st_ino), ""
                except FileNotFoundError:
                    if one.is_symlink():
                        yield one.name, None, "is a link to a file that is not there"
                except OSError as problem:
                    yield one.name, None, f"cannot be read: {problem.strerror}"
    except FileNotFoundError:
        raise InputProblem(f"{named(folder)}: there is no such folder") from None
    except NotADirectoryError:
        raise InputProblem(f"{named(folder)}: is a file; give the folder that it lies in") from None
    except PermissionError:
        raise InputProblem(
            f"{named(folder)}: may not be read; check the folder's permissions"
        ) from None
    except (OSError, ValueError) as problem:  # ValueError: a NUL in the name
        reason = getattr(problem, "strerror", None) or problem
        raise InputProblem(f"{named(folder)}: cannot be read: {reason}") from None


# --- the index ---


def _read_index(folder: Path) -> _Known:
    """What the index holds that can be relied on; nothing where there is any doubt about it."""
    path = folder / INDEX
    try:
        if not path.is_file():
            return {}
        head, _, body = path.read_bytes().partition(b"\n")
        if head != _head(body):
            return {}
        data = json.loads(body)
        sure_before = data["written"] - _COARSEST_TIME
        return {
            name: ((changed, size, inode), None if line is None else JobLine(name, *line))
            for name, ((changed, size, inode), line) in data["files"].items()
            if changed < sure_before
        }
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return {}


def _write_index(folder: Path, found: _Known, now: int) -> None:
    """Keep what was found, as of ``now``, when the reading began. A failure is nobody's concern."""
    files = {
        name: [stamp, None if line is None else astuple(line)[1:]]
        for name, (stamp, line) in found.items()
    }
    body = json.dumps({"written": now, "files": files}, separators=(",", ":")).encode()
    with contextlib.suppress(OSError):
        replace_whole(folder / INDEX, _head(body) + b"\n" + body)


def _head(body: bytes) -> bytes:
    """Its first line: a flipped bit in a name would read like any other."""
    return json.dumps({"version": _VERSION, "crc32": zlib.crc32(body)}).encode()
