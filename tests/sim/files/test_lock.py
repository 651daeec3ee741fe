"""A lock that dies with its owner."""

import errno
import os
import subprocess
import sys
import threading
import time
from contextlib import AbstractContextManager
from pathlib import Path

import pytest

from vireton.files import lock
from vireton.job.errors import LOG_FILE, LogError


def locked(path: Path, patience: float = lock.PATIENCE) -> AbstractContextManager[None]:
    return lock.locked(path, LOG_FILE, patience)


def test_a_lock_keeps_others_out_and_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "log.toml"
    with locked(path):
        started = time.monotonic()
        with (
            pytest.raises(LogError, match="another program is writing to it"),
            locked(path, patience=0.05),
        ):
            pass
        assert time.monotonic() - started >= 0.05
    assert list(tmp_path.iterdir()) == []
    with locked(path, patience=0.0):
        pass


def test_a_lock_is_free_again_after_an_error(tmp_path: Path) -> None:
    path = tmp_path / "log.toml"
    with pytest.raises(ZeroDivisionError), locked(path):
        raise ZeroDivisionError
    with locked(path, patience=0.0):
        pass


def test_threads_take_turns(tmp_path: Path) -> None:
    path = tmp_path / "log.toml"
    inside: list[int] = []
    most: list[int] = []

    def work() -> None:
        for _ in range(30):
            with locked(path):
                inside.append(1)
                most.append(len(inside))
                time.sleep(0.0005)
                inside.pop()

    threads = [threading.Thread(target=work) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert len(most) == 120
    assert max(most) == 1


@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL is of POSIX")
def test_a_killed_owner_leaves_no_lock(tmp_path: Path) -> None:
    path = tmp_path / "log.toml"
    code = (
        "import sys, time\nfrom pathlib import Path\nfrom vireton.files.lock import locked\n"
        "from vireton.job.errors import LOG_FILE\nwith locked(Path(sys.argv[1]), LOG_FILE):\n"
        "    print('held', flush=True)\n    time.sleep(60)\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, str(path)], stdout=subprocess.PIPE, text=True
    ) as owner:
        assert owner.stdout is not None
        assert owner.stdout.readline() == "held\n"
        with pytest.raises(LogError, match="another program"), locked(path, patience=0.02):
            pass
        owner.kill()
        owner.wait()
        with locked(path, patience=1.0):
            pass


def test_a_lock_on_a_file_that_lost_its_name_does_not_count(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # the owner before removed the lock's file, and somebody else holds a new one of that name
    lock = tmp_path / ".log.toml.lock"
    others: list[int] = []

    def late(_: int) -> bool:
        if len(others) < 3:
            lock.unlink()
            if others:
                lock.touch()
            others.append(1)
        return True

    monkeypatch.setattr("vireton.files.lock._try_lock", late)
    with locked(tmp_path / "log.toml"):
        assert len(others) == 3
    assert not lock.exists()


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(LogError, match="there is no folder"), locked(tmp_path / "no" / "log.toml"):
        pass


def test_a_folder_that_may_not_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # not by chmod: root may write everywhere
    def denied(*_: object) -> int:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(os, "open", denied)
    with (
        pytest.raises(LogError, match=r"cannot be written: Permission denied in .*; nothing was"),
        locked(tmp_path / "log.toml"),
    ):
        pass


def test_a_disk_without_locks_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def unable(_: int) -> bool:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr("vireton.files.lock._try_lock", unable)
    with pytest.raises(LogError, match="Keep the job file on a local disk"), locked(tmp_path / "a"):
        pass
