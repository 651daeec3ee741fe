"""A round that was acknowledged survives the death of its writer."""

import sys
from pathlib import Path

import pytest

from faults import kills as module
from faults.kills import kill_writers
from vireton.job import NewRound, append_round
from vireton.tuning.rounds import Round

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL and fork are of POSIX")


def test_killed_writers_lose_no_round_that_they_told(tmp_path: Path) -> None:
    tally = kill_writers(tmp_path, 20, 7)
    assert not tally.faults, tally.faults
    assert tally.kills == 20
    assert tally.told > 0


def _not_written(path: Path, new: NewRound) -> Round:
    """Tells a round that is not there."""
    whole = path.read_bytes()
    told = append_round(path, new)
    path.write_bytes(whole)
    return told


def _twice(path: Path, new: NewRound) -> Round:
    append_round(path, new)
    return append_round(path, new)


def _over_the_old(path: Path, new: NewRound) -> Round:
    """Changes what was there."""
    told = append_round(path, new)
    path.write_bytes(b"# later\n" + path.read_bytes())
    return told


def _refused(path: Path, new: NewRound) -> Round:
    raise RuntimeError("no")


@pytest.mark.parametrize("broken", [_not_written, _twice, _over_the_old, _refused])
def test_faults_are_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, broken) -> None:
    def record(path: Path, new: NewRound) -> Round:
        return (append_round if new.note == "begun" else broken)(path, new)

    monkeypatch.setattr(module, "append_round", record)
    assert kill_writers(tmp_path, 5, 7).faults
