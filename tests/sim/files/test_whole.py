"""Files that appear whole or not at all."""

import errno
import os
import stat
from pathlib import Path

import pytest

from vireton.files.whole import create_whole, replace_whole


def test_a_file_is_made_and_replaced_and_nothing_lies_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "one"
    replace_whole(path, b"first")
    replace_whole(path, b"second")
    assert path.read_bytes() == b"second"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("is_locked", [False, True])
@pytest.mark.parametrize("name", ["write", "fsync", "replace"])
def test_the_old_one_stays_when_the_new_one_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, is_locked: bool
) -> None:
    path = tmp_path / "one"
    replace_whole(path, b"first")

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(os, name, full)
    with pytest.raises(OSError, match="full"):
        replace_whole(path, b"second", is_locked=is_locked)
    assert path.read_bytes() == b"first"
    assert list(tmp_path.iterdir()) == [path]


def test_replacing_keeps_the_rights_of_the_file(tmp_path: Path) -> None:
    path = tmp_path / "one"
    path.write_bytes(b"old")
    path.chmod(0o640)
    replace_whole(path, b"new" * 100_000)
    assert path.read_bytes() == b"new" * 100_000
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_part_that_a_killed_process_left_is_in_nobodys_way(tmp_path: Path) -> None:
    path = tmp_path / "log.toml"
    path.write_bytes(b"old")
    (tmp_path / ".log.toml.part").write_bytes(b"half a rou")
    replace_whole(path, b"new", is_locked=True)
    assert path.read_bytes() == b"new"
    assert list(tmp_path.iterdir()) == [path]


def test_short_writes_are_carried_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "one"
    write = os.write
    monkeypatch.setattr(os, "write", lambda file, data: write(file, data[:7]))
    replace_whole(path, bytes(range(256)))
    assert path.read_bytes() == bytes(range(256))


@pytest.mark.parametrize("links", [True, False])
def test_creating_never_replaces(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    if not links:

        def unable(*_: object) -> None:
            raise OSError(errno.EPERM, "Operation not permitted")

        monkeypatch.setattr(os, "link", unable)
    path = tmp_path / "one"
    create_whole(path, b"first")
    assert list(tmp_path.iterdir()) == [path]
    with pytest.raises(FileExistsError):
        create_whole(path, b"second")
    assert path.read_bytes() == b"first"
    assert list(tmp_path.iterdir()) == [path]
