"""Another user of the machine tries to have code of his own loaded as the kept machine code.

He is played twice: as whoever can write the chosen cache folder, and, where the tests run as the
administrator, as a true other user who was first at the name that the shared temporary folder is
to hold. Both wait until the victim has looked at its folder, and then put another in its place.
"""

import os
import pickle
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

import vireton

pytestmark = pytest.mark.skipif(not hasattr(os, "getuid"), reason="no owners on this system")

PACKAGE = Path(vireton.__file__).parent
VICTIM, ATTACKER = 60002, 60001  # nobody's numbers, without a home

#: Becomes the user of its first argument, looks for a place for its code, says which, waits, and
#: runs one compiled function; says how often its code was found.
VICTIM_SAYS = """
import os, sys
import numba
numba.njit(lambda x: x)(1.0)  # all that it imports, while everything can still be read
if user := int(sys.argv[1]):
    os.setgroups([])
    os.setresgid(user, user, user)
    os.setresuid(user, user, user)
from vireton.kernel import compiled
import aimed
print(compiled.CACHE_FOLDER, flush=True)
input()
assert aimed.double(2.0) == 4.0
print(sum(aimed.double.stats.cache_hits.values()))
"""
AIMED = """
from vireton.kernel.compiled import compiled

@compiled
def double(x: float) -> float:
    return 2.0 * x
"""


class Poison:
    """What a pickle may do to whoever loads it."""

    def __init__(self, mark: Path) -> None:
        self._mark = str(mark)

    def __reduce__(self):
        return open, (self._mark, "w")


@pytest.fixture
def shared() -> Iterator[Path]:
    """A folder like ``/tmp``: all may write, nobody may touch what is another's."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o1777)
    code = folder / "code"
    # where the tests run nobody else may be able to read
    shutil.copytree(PACKAGE, code / "vireton", ignore=shutil.ignore_patterns("__pycache__"))
    (code / "aimed.py").write_text(AIMED)
    for place in (code, *code.rglob("*")):
        place.chmod(0o755)
    yield folder
    shutil.rmtree(folder)


def start(shared: Path, user: int = 0, **where: Path) -> "subprocess.Popen[str]":
    """The victim, as far as its first look; ``where`` it may keep its code."""
    leave = {"HOME", "XDG_CACHE_HOME", "VIRETON_CACHE_DIR", "TMPDIR"}
    own = {name: value for name, value in os.environ.items() if name not in leave}
    paths = [str(shared / "code"), *own.get("PYTHONPATH", "").split(os.pathsep)]
    own |= {"PYTHONPATH": os.pathsep.join(paths), "PYTHONDONTWRITEBYTECODE": "1"}
    own |= {name: str(place) for name, place in where.items()}
    return subprocess.Popen(
        [sys.executable, "-c", VICTIM_SAYS, str(user)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env=own,
        cwd=shared,
    )


def look(victim: "subprocess.Popen[str]") -> Path | None:
    """Where it will keep its code."""
    assert victim.stdout is not None
    said = victim.stdout.readline().strip()
    assert said
    return None if said == "None" else Path(said)


def end(victim: "subprocess.Popen[str]") -> int:
    """Let it go on; how much kept code it found."""
    said, _ = victim.communicate("\n", timeout=120)
    assert victim.returncode == 0
    return int(said)


def poison(folder: Path, like: Path, mark: Path) -> None:
    """Put a folder of the attacker's in the place of this one, its files named as in ``like``."""
    if folder.exists():
        folder.rename(folder.with_name("aside"))
    shutil.copytree(like, folder)
    for place in (folder, *folder.rglob("*")):
        if place.suffix == ".nbi":
            place.write_bytes(pickle.dumps(Poison(mark)))
        place.chmod(0o755)


def kept_by_the_attacker(shared: Path) -> Path:
    """What the victim's code looks like, from a run of the attacker's own."""
    own = shared / "attacker"
    own.mkdir(mode=0o700)
    run = start(shared, VIRETON_CACHE_DIR=own)
    folder = look(run)
    assert folder is not None and folder.parent == own
    assert end(run) == 0
    assert list(folder.rglob("*.nbi"))
    return folder


def test_a_chosen_folder_that_others_can_write_is_not_used(shared: Path) -> None:
    like, mark = kept_by_the_attacker(shared), shared / "mark"
    open_to_others, private = shared / "open", shared / "private"
    open_to_others.mkdir()
    open_to_others.chmod(0o777)
    private.mkdir(mode=0o700)
    victim = start(shared, VIRETON_CACHE_DIR=open_to_others, XDG_CACHE_HOME=private)
    folder = look(victim)
    poison(open_to_others / like.name, like, mark)
    assert end(victim) == 0
    assert not mark.exists()
    assert folder == private / "vireton" / like.name
    assert list(folder.rglob("*.nbc"))


@pytest.mark.skipif(os.name != "posix" or os.getuid() != 0, reason="needs two other users")
def test_whoever_is_first_in_the_temporary_folder_gains_nothing(shared: Path) -> None:
    like, mark = kept_by_the_attacker(shared), shared / "mark"
    first = shared / f"vireton-{VICTIM}"
    first.mkdir()
    os.chown(first, ATTACKER, ATTACKER)
    first.chmod(0o777)
    victim = start(shared, VICTIM, TMPDIR=shared)
    folder = look(victim)
    poison(first / like.name, like, mark)
    assert end(victim) == 0
    assert not mark.exists()
    assert folder is None


@pytest.mark.skipif(os.name != "posix" or os.getuid() != 0, reason="needs another user")
def test_without_a_home_code_is_kept_in_a_temporary_folder_of_its_own(shared: Path) -> None:
    for found in (0, 1):
        victim = start(shared, VICTIM, TMPDIR=shared)
        folder = look(victim)
        assert folder is not None and folder.parent == shared / f"vireton-{VICTIM}"
        assert end(victim) == found
        for place in (folder, folder.parent):
            assert place.stat().st_uid == VICTIM
            assert place.stat().st_mode & 0o777 == 0o700
