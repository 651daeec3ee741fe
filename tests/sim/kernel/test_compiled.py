"""Where machine code is kept, and when it is made afresh."""

import errno
import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numba
import numpy as np
import pytest

from vireton.kernel import compiled as module
from vireton.kernel.compiled import COMPILED_ROOMS, compiled, inlined, inlined_sums, sources_hash


@pytest.fixture
def sources(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A package of two files, one in a folder below."""
    package = tmp_path / "package"
    (package / "inner").mkdir(parents=True)
    (package / "caller.py").write_text("import inner.callee\n")
    (package / "inner" / "callee.py").write_text("GAIN = 1.0\n")
    monkeypatch.setattr(module, "_PACKAGE", package)
    return package


def test_hash_names_a_folder() -> None:
    assert len(sources_hash()) == 20
    assert set(sources_hash()) <= set("0123456789abcdef")
    assert sources_hash() == sources_hash()


def _edit(package: Path) -> None:
    (package / "inner" / "callee.py").write_text("GAIN = 2.0\n")


def _add(package: Path) -> None:
    (package / "new.py").write_text("")


def _remove(package: Path) -> None:
    (package / "caller.py").unlink()


def _rename(package: Path) -> None:
    (package / "caller.py").rename(package / "other.py")


@pytest.mark.parametrize("change", [_edit, _add, _remove, _rename])
def test_any_edit_of_any_source_opens_a_fresh_folder(
    sources: Path, change: Callable[[Path], None]
) -> None:
    """The very thing that numba's own cache misses: a change in what a function calls."""
    before = sources_hash()
    (sources / "notes.txt").write_text("not a source")
    assert sources_hash() == before
    change(sources)
    assert sources_hash() != before


def test_chosen_folder_comes_first_then_the_users_cache(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("VIRETON_CACHE_DIR", str(tmp_path / "chosen"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "xdg"))
    roots = module._candidate_roots()
    assert roots[:2] == [tmp_path / "chosen", tmp_path / "xdg" / "vireton"]
    assert roots[2] == Path.home() / ".cache" / "vireton"
    assert len(roots) == 4
    assert module._cache_folder() == tmp_path / "chosen" / sources_hash(*COMPILED_ROOMS)
    assert not (tmp_path / "xdg").exists()


def test_a_root_that_cannot_be_written_is_passed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "chosen").write_text("a file where a folder should be")
    monkeypatch.setenv("VIRETON_CACHE_DIR", str(tmp_path / "chosen"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "xdg"))
    assert module._cache_folder() == tmp_path / "xdg" / "vireton" / sources_hash(*COMPILED_ROOMS)


with_owners = pytest.mark.skipif(not hasattr(os, "getuid"), reason="no owners on this system")


@with_owners
def test_somebody_elses_folder_is_not_trusted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    mine = os.getuid()
    assert module._own_folder(tmp_path / "a") == tmp_path / "a"
    monkeypatch.setattr(os, "getuid", lambda: mine + 1)
    assert module._own_folder(tmp_path / "a") is None


@with_owners
def test_fresh_folders_are_private(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        assert module._own_folder(tmp_path / "a" / "b") == tmp_path / "a" / "b"
    finally:
        os.umask(before)
    for folder in (tmp_path / "a", tmp_path / "a" / "b"):
        assert folder.stat().st_mode & 0o777 == 0o700


@with_owners
@pytest.mark.parametrize(
    ("above", "last", "is_own"),
    [
        (0o755, 0o700, True),
        (0o1777, 0o700, True),  # like /tmp: what is in it is its owner's alone
        (0o777, 0o700, False),
        (0o775, 0o700, False),
        (0o757, 0o700, False),
        (0o700, 0o755, False),
        (0o700, 0o710, False),
        (0o700, 0o1777, False),
    ],
)
def test_every_folder_on_the_way_counts(
    tmp_path: Path, above: int, last: int, is_own: bool
) -> None:
    folder = tmp_path / "above" / "between" / "last"
    folder.mkdir(parents=True)
    for place, mode in ((folder.parent, 0o700), (folder, last), (tmp_path / "above", above)):
        place.chmod(mode)
    assert module._own_folder(folder) == (folder if is_own else None)


@with_owners
@pytest.mark.parametrize("mode", [0o700, 0o777])
def test_a_link_counts_as_what_it_leads_to(tmp_path: Path, mode: int) -> None:
    (tmp_path / "true").mkdir()
    (tmp_path / "true").chmod(mode)
    (tmp_path / "link").symlink_to(tmp_path / "true")
    found = module._own_folder(tmp_path / "link" / "a")
    assert found == (tmp_path / "true" / "a" if mode == 0o700 else None)


@with_owners
def test_what_another_put_there_in_the_last_moment_is_looked_at(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "elsewhere").mkdir(mode=0o700)

    def too_late(folder: Path, mode: int) -> None:
        folder.symlink_to(tmp_path / "elsewhere")
        raise FileExistsError

    monkeypatch.setattr(Path, "mkdir", too_late)
    assert module._own_folder(tmp_path / "a") is None


def test_where_the_folder_cannot_be_written_any_more_nothing_is_kept_elsewhere(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """numba would go to its own places, down to one below the working folder."""
    (tmp_path / "kept").write_text("a file in the place of the folder")
    monkeypatch.setattr(module, "CACHE_FOLDER", tmp_path / "kept")
    double = _doubler()
    assert double(2.0) == 4.0
    assert double.stats.cache_path is None


def _old_folders(root: Path, count: int) -> list[Path]:
    """Folders of machine code, the oldest first."""
    folders = []
    for i in range(count):
        folder = root / f"{i:020x}"
        (folder / "kernel_1").mkdir(parents=True)
        (folder / "kernel_1" / "f.nbi").write_text("index")
        (folder / "kernel_1" / "f.nbc").write_text("code")
        os.utime(folder, (1e9 + i, 1e9 + i))
        folders.append(folder)
    return folders


def test_old_folders_go_and_the_newest_four_stay(tmp_path: Path) -> None:
    folders = _old_folders(tmp_path, 7)
    current = folders[0]  # the one in use stays however old it is
    module._drop_old_folders(tmp_path, current)
    assert [f for f in folders if f.exists()] == [current, *folders[3:]]


def test_housekeeping_leaves_other_peoples_files_alone(tmp_path: Path) -> None:
    """A chosen root may be any folder: only what this package made there may be dropped."""
    folders = _old_folders(tmp_path, 6)
    others = [tmp_path / name for name in ("photos", "projects")]
    for folder in others:
        (folder / "empty").mkdir(parents=True)
        (folder / "kept.nbc").write_text("another program's machine code")
        os.utime(folder, (1, 1))
    module._drop_old_folders(tmp_path, folders[-1])
    for folder in others:
        assert (folder / "empty").is_dir()
        assert (folder / "kept.nbc").is_file()


def test_without_a_folder_it_still_compiles(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "CACHE_FOLDER", None)

    @compiled
    def twice(x: float) -> float:
        return 2.0 * x

    assert twice(1.5) == 3.0
    assert twice.signatures  # type: ignore[attr-defined]
    assert not module.is_compiled_before()


def test_with_a_folder_the_code_is_kept_and_numbas_setting_put_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "CACHE_FOLDER", tmp_path)
    config: Any = numba.config
    before = config.CACHE_DIR
    assert not module.is_compiled_before()

    @compiled
    def thrice(x: float) -> float:
        return 3.0 * x

    assert before == config.CACHE_DIR
    assert thrice(2.0) == 6.0
    assert any(tmp_path.rglob("*.nbc"))


def test_a_full_disk_leaves_no_folder_to_try(monkeypatch: pytest.MonkeyPatch) -> None:
    def nowhere() -> str:
        raise FileNotFoundError(errno.ENOENT, "No usable temporary directory found")

    monkeypatch.setattr("tempfile.gettempdir", nowhere)
    monkeypatch.setattr(module, "_own_folder", lambda _: None)
    assert module._cache_folder() is None


def _doubler() -> Any:
    # its machine code is kept under its name: the same function once more finds the first one's
    @compiled
    def double(x: float) -> float:
        return 2.0 * x

    return double


@pytest.mark.parametrize("suffix", ["nbi", "nbc"])
@pytest.mark.parametrize("left", [b"", b"\x80\x04", b"rubbish" * 100])
def test_damaged_machine_code_is_made_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, suffix: str, left: bytes
) -> None:
    monkeypatch.setattr(module, "CACHE_FOLDER", tmp_path)
    assert _doubler()(2.0) == 4.0
    (file,) = tmp_path.rglob(f"*.{suffix}")
    sound = file.read_bytes()
    for raw in (left, sound[: len(sound) // 2]):
        file.write_bytes(raw)
        assert _doubler()(2.0) == 4.0
        assert len(file.read_bytes()) >= len(sound) // 2 + 1
    again = _doubler()
    assert again(2.0) == 4.0
    assert sum(again.stats.cache_hits.values()) == 1


def test_a_full_disk_only_costs_the_keeping(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "CACHE_FOLDER", tmp_path)

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", full)
        assert _doubler()(2.0) == 4.0
        assert not list(tmp_path.rglob("*.nb*"))
    assert _doubler()(2.0) == 4.0
    assert list(tmp_path.rglob("*.nbc"))


def test_only_the_flights_own_code_counts_as_compiled(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "CACHE_FOLDER", tmp_path)
    (tmp_path / "batch.other-1.py311.1.nbc").touch()
    assert not module.is_compiled_before()
    (tmp_path / "batch.integrate_rows-1.py311.1.nbc").touch()
    assert module.is_compiled_before()
    assert not module.is_compiled_before(derivatives=True)
    (tmp_path / "batch.integrate_rows-1.py311.2.nbc").touch()
    assert module.is_compiled_before(derivatives=True)


def test_the_flights_code_has_that_name(warm_kernel: None) -> None:
    assert module.is_compiled_before()


def test_arithmetic_is_ieee_and_in_the_written_order() -> None:
    @compiled
    def ratio(a: float, b: float) -> float:
        return a / b

    @inlined
    def left_over(a: float, b: float) -> float:
        return (a + b) - a

    assert ratio(1.0, 0.0) == np.inf
    assert ratio(-1.0, 0.0) == -np.inf
    assert np.isnan(ratio(0.0, 0.0))
    assert left_over(1e16, 1.0) == (1e16 + 1.0) - 1e16 == 0.0
    assert np.isnan(left_over(np.inf, 1.0))


def test_sums_in_any_order_still_keep_nan_and_infinity() -> None:
    """Only the order and fused products are freed: "no NaN" is not assumed."""

    @inlined_sums
    def total(values: np.ndarray) -> float:
        result = 0.0
        for value in values:
            result += value
        return result

    values = np.linspace(0.1, 10.0, 64)
    assert total(values) == pytest.approx(values.sum(), rel=1e-14)
    values[7] = np.nan
    assert np.isnan(total(values))
    values[7] = np.inf
    assert total(values) == np.inf


def test_what_is_compiled_imports_only_from_the_rooms_that_the_hash_covers() -> None:
    """A compiled function freezes what it reads from elsewhere: an edit there would go unseen."""
    package = Path(module.__file__).parent.parent
    seen = 0
    for path in package.rglob("*.py"):
        text = path.read_text()
        if not re.search(r"^@(compiled|inlined|inlined_sums)$", text, re.MULTILINE):
            continue
        seen += 1
        assert path.relative_to(package).parts[0] in COMPILED_ROOMS
        used = re.findall(r"^from vireton\.(\w+)", text, re.MULTILINE)
        assert set(used) <= set(COMPILED_ROOMS), path
    assert seen > 8
